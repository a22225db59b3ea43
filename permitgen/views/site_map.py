"""The site plan as the emergency map needs it: outlines, roofs with arrays, and points that carry the numbers of the steps.

Feet, x to the right, y up the page, as in the project file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_geometry import Point
from permitgen.views.site_geometry import NamedOutline, Outline, point_of, site_geometry_of

if TYPE_CHECKING:
    from permitgen.system.system import System


__all__ = ["MapMark", "MapOutline", "MapStep", "Outline", "Point", "SiteMap", "point_of", "site_map_of"]


@dataclass(frozen=True, slots=True)
class MapOutline:
    """A building, a roof plane, an array, a driveway: ``kind`` says which; ``label`` stands on it."""

    kind: str
    outline: Outline
    label: str = ""


@dataclass(frozen=True, slots=True)
class MapMark:
    """Something at one point: a door, a gas meter, a battery unit."""

    kind: str
    at: Point
    label: str


@dataclass(frozen=True, slots=True)
class MapStep:
    """A numbered switch. ``facing`` is the way a person looks away from the wall it is on (empty: not stated)."""

    number: int
    tag: str
    at: Point
    facing: str = ""


@dataclass(frozen=True, slots=True)
class SiteMap:
    """Everything the map shows. ``north_deg`` is the compass direction of the page's up; ``you_are_here`` is at the service."""

    north_deg: float
    buildings: tuple[MapOutline, ...]
    roofs: tuple[MapOutline, ...]
    arrays: tuple[MapOutline, ...]
    grounds: tuple[MapOutline, ...]
    marks: tuple[MapMark, ...]
    steps: tuple[MapStep, ...]
    you_are_here: Point | None
    lot: Outline = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self.buildings


def site_map_of(system: System, steps: tuple[MapStep, ...], you_are_here: Point | None, *, names_streets: bool) -> SiteMap:
    """Return the map: the site plan's geometry without what an emergency does not need, such as windows and routes.

    ``names_streets`` False leaves out the names of streets, which would tell the address.
    """
    site = site_geometry_of(system)
    return SiteMap(
        north_deg=site.north_deg,
        buildings=tuple(MapOutline("building", building.outline, building.label) for building in site.buildings),
        roofs=tuple(MapOutline("roof", roof.outline) for roof in site.roofs),
        arrays=tuple(MapOutline("array", array.outline) for array in site.arrays),
        grounds=tuple(_ground(ground, names_streets=names_streets) for ground in site.grounds),
        marks=tuple(MapMark(point.kind, point.at, point.label) for point in site.points if point.kind not in _LEFT_OUT)
        + _storage_marks(system),
        steps=steps,
        you_are_here=you_are_here,
        lot=site.lot,
    )


_LEFT_OUT = frozenset({"window", "vehicle door"})


def _ground(ground: NamedOutline, *, names_streets: bool) -> MapOutline:
    hidden = ground.kind == "street" and not names_streets
    return MapOutline(ground.kind, ground.outline, "" if hidden else ground.label)


def _storage_marks(system: System) -> tuple[MapMark, ...]:
    found = []
    for source in system.sources.values():
        at = point_of(system.equipment[source.tag].place)
        if at is not None and source.kind in ("energy storage", "generator"):
            found.append(MapMark(source.kind, at, source.tag))
    return tuple(found)
