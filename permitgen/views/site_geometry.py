"""The geometry of the site, read once: the site plan shows all of it, the map of placard and record a part."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from permitgen.rules.quantities.plan_geometry import Point, edges, points_of
from permitgen.rules.quantities.plan_openings import wall_at
from permitgen.rules.quantities.roof_obstructions import outline_of

if TYPE_CHECKING:
    from permitgen.system.place import Place
    from permitgen.system.system import System

Outline = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class NamedOutline:
    """A building, a roof plane, a driveway: ``key`` is its name in the project file, ``label`` what drawings print."""

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
class Bollard:
    """A post that keeps vehicles away; ``diameter_ft`` None where it is not stated."""

    at: Point
    diameter_ft: float | None


@dataclass(frozen=True, slots=True)
class SiteGeometry:
    """Feet, x to the right, y up the page; ``north_deg`` is the compass direction of the page's up.

    ``ridges`` are the lines where two roof planes meet, ``grounds`` streets and driveways, ``obstructions`` what stands on roofs.
    """

    north_deg: float
    lot: Outline
    buildings: tuple[NamedOutline, ...]
    roofs: tuple[NamedOutline, ...]
    ridges: tuple[tuple[Point, Point], ...]
    arrays: tuple[NamedOutline, ...]
    grounds: tuple[NamedOutline, ...]
    points: tuple[NamedPoint, ...]
    obstructions: tuple[NamedOutline, ...]
    bollards: tuple[Bollard, ...]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw a plan from."""
        return not self.buildings and not self.lot

    def simplified(self, *, names_streets: bool) -> SiteGeometry:
        """Return what an emergency needs of it: no windows, nothing small on roofs and floors.

        ``names_streets`` False leaves out the names of streets, which would tell the address.
        """
        return replace(
            self,
            grounds=tuple(g if names_streets or g.kind != "street" else replace(g, label="") for g in self.grounds),
            points=tuple(point for point in self.points if "window" not in point.kind),
            obstructions=(),
            bollards=(),
        )


def site_geometry_of(system: System) -> SiteGeometry:
    """Return the geometry; parts that the project does not state are empty."""
    plan: dict[str, Any] = dict(system.site.plan)
    features = list(plan.get("features", ()))
    roofs: dict[str, Any] = plan.get("roof_planes", {})
    named_roofs = tuple(NamedOutline(key, "roof", points_of(entry["outline"])) for key, entry in roofs.items())
    buildings = tuple(
        NamedOutline(key, "building", points_of(entry["outline"]), entry.get("label", ""))
        for key, entry in plan.get("buildings", {}).items()
    )
    return SiteGeometry(
        north_deg=float(plan.get("north", 0.0)),
        lot=points_of(plan.get("lot", ())),
        buildings=buildings,
        roofs=named_roofs,
        ridges=_ridges(named_roofs),
        arrays=tuple(NamedOutline(key, "array", points_of(shape)) for key, entry in roofs.items() for shape in entry.get("arrays", ())),
        grounds=tuple(
            NamedOutline(f["kind"], f["kind"], points_of(f["outline"]), f.get("label", "")) for f in features if f.get("outline")
        ),
        points=tuple(_named_point(f, buildings) for f in features if len(f.get("at", ())) == 2),
        obstructions=tuple(
            NamedOutline(entry["kind"], entry["kind"], outline, entry.get("label", ""))
            for entry in plan.get("obstructions", ())
            if (outline := outline_of(entry))
        ),
        bollards=tuple(Bollard((float(b["at"][0]), float(b["at"][1])), b.get("diameter")) for b in plan.get("bollards", ())),
    )


def _named_point(feature: dict[str, Any], buildings: tuple[NamedOutline, ...]) -> NamedPoint:
    at = (float(feature["at"][0]), float(feature["at"][1]))
    wall = wall_at(at, [building.outline for building in buildings])
    length = math.dist(*wall) if wall is not None else 0.0
    direction = ((wall[1][0] - wall[0][0]) / length, (wall[1][1] - wall[0][1]) / length) if wall is not None else None
    return NamedPoint(feature["kind"], at, feature.get("label", ""), feature.get("width"), direction)


def _ridges(roofs: tuple[NamedOutline, ...]) -> tuple[tuple[Point, Point], ...]:
    """Return the edges that two roof planes share: ridges, hips and valleys."""
    found: list[tuple[Point, Point]] = []
    for index, one in enumerate(roofs):
        for other in roofs[index + 1 :]:
            others = {frozenset(edge) for edge in edges(other.outline)}
            found += [(a, b) for a, b in edges(one.outline) if frozenset((a, b)) in others]
    return tuple(found)


def point_of(place: Place | None) -> Point | None:
    """Return where a place lies on the plan, None where the project does not say."""
    if place is None or place.x_ft is None or place.y_ft is None:
        return None
    return (place.x_ft.number, place.y_ft.number)
