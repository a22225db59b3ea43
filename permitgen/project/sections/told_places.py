"""Where things are, as people say it: a wall and a corner with a distance, a building beside another, a roof by its ridge."""

from __future__ import annotations

from typing import Annotated

from permitgen.project.directions import Pitch
from permitgen.project.fields import Count, Length, Section, SmallLength, Text, choice_schema, described, one_of
from permitgen.project.sections import meanings

RIDGES = ("along the length", "left to right", "front to back")
ROOF_SHAPES = ("gable", "hip")
LAID = ("portrait", "landscape")


class GroundModel(
    Section,
    says="A place on the ground: so far ``away_from`` a wall or a lot line, squarely, and so far ``along`` it ``from`` a corner or "
    "``past`` one. Distances are to the middle of the thing.",
):
    away_from: Text = described(
        ...,
        "Wall or lot line from which it is measured, as garage right, garage right inside or lot left.",
    )
    distance: Length = described(None, "Distance from that wall or lot line, squarely, to the middle of the thing, in feet, by tape.")
    along: Length = described(None, "Distance along that wall or lot line from the corner named, in feet, by tape.")
    from_: Text = described("", "Corner from which the distance along the wall is measured toward the other one.", alias="from")
    past: Text = described("", "Corner past which it stands, where it stands beyond the end of the wall.")


class SpotModel(Section, says="A place told by a wall or from one."):
    wall: Text = described("", meanings.TOLD_WALL)
    from_: Text = described("", "Corner of that wall from which the distance is measured, as front corner or left corner.", alias="from")
    distance: Length = described(None, "Distance along the wall from that corner to the middle of the thing, in feet or inches, by tape.")
    ground: GroundModel | None = described(None, "Its place on the ground, measured from a wall or a lot line.")


class SetbackModel(
    Section,
    says="Distances of a building's walls from the lot lines: one of left and right, and one of front and back.",
):
    left: Length = described(None, "Distance of its left wall from the left lot line, in feet, by tape or from the survey.")
    right: Length = described(None, "Distance of its right wall from the right lot line, in feet, by tape or from the survey.")
    front: Length = described(None, "Distance of its front wall from the front lot line, in feet, by tape or from the survey.")
    back: Length = described(None, "Distance of its back wall from the back lot line, in feet, by tape or from the survey.")


class RoofModel(
    Section,
    says="The roof of a building of four square corners, told by its ridge. Its planes are called by building and side, as "
    "``house front``; ``roof_planes`` says under that name what lies on them. An overhang that is not stated is not drawn: the planes end "
    "at the walls.",
):
    ridge: Annotated[str, one_of(*RIDGES), choice_schema(*RIDGES)] = described(
        ..., "How the ridge runs: along the length of the building, from left to right or from front to back."
    )
    shape: Annotated[str, one_of(*ROOF_SHAPES), choice_schema(*ROOF_SHAPES)] = described(
        "", "Gable with two planes, or hip with four; left out, the roof is a gable."
    )
    pitch: Pitch = described(None, "Slope of its planes as rise over run, for example 5/12, or in degrees, by level or from the plans.")
    eave_overhang: Length = described(None, "How far the roof reaches beyond the walls at its eaves, level, in inches, by tape.")
    rake_overhang: Length = described(None, "How far a gable roof reaches beyond its gable walls, in inches, by tape.")


class LayoutModel(
    Section,
    says="Modules on a roof plane in rows and columns: how many, how they lie, the gaps between them, so far ``from`` one end of the "
    "eave, and ``above_eave`` or ``below_ridge``. All distances are along the roof, from the edge that is drawn. Each field of modules is "
    "a block of its own; its outline in plan follows from the module's size and the pitch.",
):
    of: Text = described("", "Tag of the array whose modules these are; left out where only one array names the roof plane.")
    rows: Count = described(..., "How many rows lie above each other up the slope, from the racking layout.")
    columns: Count = described(..., "How many modules lie side by side in each row, from the racking layout.")
    modules: Annotated[str, one_of(*LAID), choice_schema(*LAID)] = described(
        ..., "How the modules lie: portrait with the long side up the slope, or landscape with it along the eave."
    )
    gap: SmallLength = described(..., "Gap between modules side by side, in inches, from the racking layout.")
    row_gap: SmallLength = described(None, "Gap between rows, in inches, from the racking layout; left out, it is the gap side by side.")
    from_: Text = described(
        ..., "End of the eave from which the distance is measured along it, as left rake, right corner or east rake.", alias="from"
    )
    distance: Length = described(..., "Distance along the eave from that end to the nearest module, in feet or inches, by tape.")
    above_eave: Length = described(None, "Distance from the eave up the roof to the lowest row, in feet or inches, by tape.")
    below_ridge: Length = described(None, "Distance from the ridge down the roof to the highest row, in feet or inches, by tape.")
