"""The geometry of the site, read once: the site plan shows all of it, the map of placard and record a part."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_openings import wall_at
from permitgen.system.site.geometry import Outline, Point, edges
from permitgen.system.walks.walking_order import point_of_place

if TYPE_CHECKING:
    from permitgen.system.site.plan import Bollard, Feature, Opening, Plan
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class NamedOutline:
    """A building, a room, a roof plane, a driveway: ``key`` is its name in the project file, ``label`` what drawings print."""

    key: str
    kind: str
    outline: Outline
    label: str = ""


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """Something at one point: a gas meter, or an opening with its ``width_ft`` and the direction ``along`` its wall, where known."""

    kind: str
    at: Point
    label: str
    width_ft: float | None = None
    along: Point | None = None

    @property
    def is_opening(self) -> bool:
        """Whether it is a door or a window."""
        return "door" in self.kind or "window" in self.kind

    @property
    def ends(self) -> tuple[Point, Point] | None:
        """Both jambs, None where width or wall is not known."""
        if self.width_ft is None or self.along is None:
            return None
        x, y = self.along[0] * self.width_ft / 2, self.along[1] * self.width_ft / 2
        return (self.at[0] - x, self.at[1] - y), (self.at[0] + x, self.at[1] + y)


@dataclass(frozen=True, slots=True)
class SiteGeometry:
    """Feet, x to the right, y up the page; ``north_deg`` is the compass direction of the page's up; ``plan`` is what it was read from.

    ``ridges`` are the lines where two roof planes meet, ``grounds`` streets and driveways, ``obstructions`` what stands on roofs.
    """

    north_deg: float
    lot: Outline
    buildings: tuple[NamedOutline, ...]
    rooms: tuple[NamedOutline, ...]
    roofs: tuple[NamedOutline, ...]
    ridges: tuple[tuple[Point, Point], ...]
    arrays: tuple[NamedOutline, ...]
    grounds: tuple[NamedOutline, ...]
    points: tuple[NamedPoint, ...]
    obstructions: tuple[NamedOutline, ...]
    bollards: tuple[Bollard, ...]
    plan: Plan

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw a plan from."""
        return not self.buildings and not self.lot

    def simplified(self, *, names_streets: bool) -> SiteGeometry:
        """Return what an emergency needs of it: no rooms and windows, nothing small on roofs and floors.

        ``names_streets`` False leaves out the names of streets, which would tell the address.
        """
        return replace(
            self,
            grounds=tuple(g if names_streets or g.kind != "street" else replace(g, label="") for g in self.grounds),
            points=tuple(point for point in self.points if "window" not in point.kind),
            rooms=(),
            obstructions=(),
            bollards=(),
        )


def site_geometry_of(system: System) -> SiteGeometry:
    """Return the geometry; parts that the project does not state are empty."""
    plan = system.site.plan
    named_roofs = tuple(NamedOutline(plane.name, "roof", plane.outline) for plane in plan.roof_planes)
    points: list[Opening | Feature] = [*plan.openings, *plan.features]
    return SiteGeometry(
        north_deg=plan.north_deg,
        lot=plan.lot.outline if plan.lot is not None else (),
        buildings=tuple(NamedOutline(building.name, "building", building.outline, building.label) for building in plan.buildings),
        rooms=tuple(NamedOutline(room.name, "room", room.outline) for room in plan.rooms),
        roofs=named_roofs,
        ridges=_ridges(named_roofs),
        arrays=tuple(NamedOutline(plane.name, "array", shape) for plane in plan.roof_planes for shape in plane.arrays),
        grounds=tuple(NamedOutline(f.kind, f.kind, f.outline, f.label) for f in plan.features if f.outline),
        points=tuple(_named_point(thing, at, plan) for thing in points if (at := thing.point) is not None),
        obstructions=tuple(NamedOutline(o.kind, o.kind, o.outline, o.label) for o in plan.obstructions if o.outline),
        bollards=plan.bollards,
        plan=plan,
    )


def _named_point(thing: Opening | Feature, at: Point, plan: Plan) -> NamedPoint:
    wall = wall_at(at, [building.outline for building in plan.buildings])
    length = math.dist(*wall) if wall is not None else 0.0
    direction = ((wall[1][0] - wall[0][0]) / length, (wall[1][1] - wall[0][1]) / length) if wall is not None else None
    return NamedPoint(thing.kind, at, thing.label, thing.width_ft, direction)


def _ridges(roofs: tuple[NamedOutline, ...]) -> tuple[tuple[Point, Point], ...]:
    """Return the edges that two roof planes share: ridges, hips and valleys."""
    found: list[tuple[Point, Point]] = []
    for index, one in enumerate(roofs):
        for other in roofs[index + 1 :]:
            others = {frozenset(edge) for edge in edges(other.outline)}
            found += [(a, b) for a, b in edges(one.outline) if frozenset((a, b)) in others]
    return tuple(found)


point_of = point_of_place
