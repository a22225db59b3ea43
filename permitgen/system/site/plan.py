"""The parts of a site plan. Points are (x, y) in feet, x to the right, y up the page; each part knows its line in the project file."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.site.geometry import Outline, Point
from permitgen.values.missing_fact import stated

if TYPE_CHECKING:
    from permitgen.system.site.compass import Direction
    from permitgen.values.origin import ProjectLine

ESCAPE_OPENING = "emergency escape opening"
_STREETS = frozenset({"street", "road", "driveway"})
_ROUND_CORNERS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """The parcel."""

    outline: Outline
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """A building in plan; ``dwelling`` None where the project does not say."""

    name: str
    outline: Outline
    label: str = ""
    dwelling: bool | None = None
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room of a building in plan, and the kind of ``space`` that it is."""

    name: str
    building: str
    space: str
    outline: Outline
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class RoofPlane:
    """A roof plane in plan. ``slope`` is its rise over run, ``down`` the unit vector on the page in which it falls.

    ``faces`` is the direction as somebody stated it, ``unknown_fall`` what is missing where nobody can tell how it falls.
    ``told_modules`` is how many modules rows and columns hold here, None where an outline of the plane is not told by them.
    """

    name: str
    building: str
    outline: Outline
    stated_slope: float | None
    fall: Point | None
    arrays: tuple[Outline, ...] = ()
    faces: Direction | None = None
    unknown_fall: str = ""
    told_modules: int | None = None
    at: ProjectLine | None = None

    @property
    def slope(self) -> float:
        """Rise over run.

        Raises:
            MissingFactError: the project does not state it.
        """
        return stated(self.stated_slope, f"pitch of the roof plane {self.name} (as 5/12)")

    @property
    def down(self) -> Point:
        """The unit vector in which the plane falls.

        Raises:
            MissingFactError: neither eave nor direction tells it.
        """
        return stated(self.fall, self.unknown_fall or f"compass direction that the roof plane {self.name} faces")

    def with_known_fall(self) -> RoofPlane:
        """Return the plane itself.

        Raises:
            MissingFactError: pitch or fall is not known.
        """
        stated(self.down, self.name)
        stated(self.slope, self.name)
        return self

    @property
    def across(self) -> Point:
        """The unit vector along the eave."""
        return (-self.down[1], self.down[0])

    @property
    def up(self) -> Point:
        """The unit vector toward the ridge."""
        return (-self.down[0], -self.down[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A door or a window: its middle in the wall; ``width_ft`` None where it is not stated."""

    kind: str
    point: Point
    width_ft: float | None = None
    label: str = ""
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True)
class ShownWalls:
    """Walls of a building of which every door and window is drawn: those that face a direction, all where ``faces`` is None.

    ``by`` is who looked, and when. What a plan does not draw elsewhere is unknown, not absent.
    """

    building: str
    faces: Direction | None
    by: str
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """Something else that the plan shows: a street, a driveway, a tree, a gas meter; an outline, a point, or both."""

    kind: str
    outline: Outline = ()
    point: Point | None = None
    width_ft: float | None = None
    label: str = ""
    at: ProjectLine | None = None

    @property
    def is_street(self) -> bool:
        """Whether firefighters come by it: a street, a road or a driveway."""
        return self.kind in _STREETS

    @property
    def is_escape_opening(self) -> bool:
        """Whether it is an opening by which people leave in an emergency."""
        return self.kind.casefold() == ESCAPE_OPENING


@dataclass(frozen=True, slots=True)
class Disc:
    """A round thing in plan."""

    middle: Point
    radius_ft: float

    @property
    def outline(self) -> Outline:
        """The corners of a polygon about the circle, for drawings and distances: its sides touch the circle."""
        radius = self.radius_ft / math.cos(math.pi / _ROUND_CORNERS)
        angles = [2 * math.pi * (index + 0.5) / _ROUND_CORNERS for index in range(_ROUND_CORNERS)]
        return tuple((self.middle[0] + radius * math.cos(angle), self.middle[1] + radius * math.sin(angle)) for angle in angles)


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstruction:
    """Something on a roof: an outline, or round about ``point``; ``name`` is its label, else its kind."""

    kind: str
    stated_outline: Outline = ()
    point: Point | None = None
    diameter_ft: float | None = None
    label: str = ""
    at: ProjectLine | None = None

    @property
    def name(self) -> str:
        """What findings call it."""
        return (self.label or self.kind).casefold()

    @property
    def disc(self) -> Disc | None:
        """The circle, None where an outline is stated, or its place or diameter is not."""
        if self.stated_outline or self.point is None or self.diameter_ft is None:
            return None
        return Disc(self.point, self.diameter_ft / 2)

    @property
    def outline(self) -> Outline:
        """The outline as stated, else of its circle; empty where it has neither."""
        return self.disc.outline if self.disc is not None else self.stated_outline


@dataclass(frozen=True, slots=True, kw_only=True)
class Bollard:
    """A post that keeps vehicles away, at its middle; sizes None where they are not stated."""

    point: Point
    diameter_ft: float | None = None
    height_ft: float | None = None
    at: ProjectLine | None = None


STREETS = ("street", "road")
"""Kinds of features that are streets."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Street:
    """A street of the vicinity: along the side of the lot at ``toward_deg``, or crossing ``crosses`` toward there.

    ``toward_deg`` is clockwise from the page's up, ``distance_ft`` from the lot to the crossing, None where it is not stated.
    """

    name: str
    toward_deg: float
    crosses: str = ""
    distance_ft: float | None = None
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The whole plan; parts that the project does not state are empty. ``north_deg`` is the compass direction of the page's up.

    ``has_front`` says whether the bottom of the page is known to be the front, so that right and left are as seen from the street.

    ``features_shown`` are kinds of features of which somebody saw that each one on the site is drawn.

    ``escape_openings_above_roofs`` says whether an emergency escape opening has a roof below it, None where the project does not say.
    """

    north_deg: float = 0.0
    has_front: bool = False
    lot: Lot | None = None
    buildings: tuple[Building, ...] = ()
    rooms: tuple[Room, ...] = ()
    roof_planes: tuple[RoofPlane, ...] = ()
    openings: tuple[Opening, ...] = ()
    openings_shown: tuple[ShownWalls, ...] = ()
    features: tuple[Feature, ...] = ()
    features_shown: tuple[str, ...] = ()
    escape_openings_above_roofs: bool | None = None
    obstructions: tuple[Obstruction, ...] = ()
    bollards: tuple[Bollard, ...] = ()
    vicinity: tuple[Street, ...] = ()

    def building(self, name: str) -> Building | None:
        """Return a building by its name, None where the plan draws none of that name."""
        return next((building for building in self.buildings if building.name == name), None)
