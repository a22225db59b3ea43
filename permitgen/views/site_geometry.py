"""The geometry of the site, read once: the site plan shows all of it, the map of placard and record a part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from permitgen.rules.quantities.plan_geometry import Point, points_of

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
    """Something at one point: a door, a window, a gas meter."""

    kind: str
    at: Point
    label: str


@dataclass(frozen=True, slots=True)
class SiteGeometry:
    """Feet, x to the right, y up the page; ``north_deg`` is the compass direction of the page's up."""

    north_deg: float
    lot: Outline
    buildings: tuple[NamedOutline, ...]
    roofs: tuple[NamedOutline, ...]
    arrays: tuple[NamedOutline, ...]
    grounds: tuple[NamedOutline, ...]
    points: tuple[NamedPoint, ...]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw a plan from."""
        return not self.buildings and not self.lot


def site_geometry_of(system: System) -> SiteGeometry:
    """Return the geometry; parts that the project does not state are empty."""
    plan: dict[str, Any] = dict(system.site.plan)
    features = list(plan.get("features", ()))
    roofs: dict[str, Any] = plan.get("roof_planes", {})
    return SiteGeometry(
        north_deg=float(plan.get("north", 0.0)),
        lot=points_of(plan.get("lot", ())),
        buildings=tuple(
            NamedOutline(key, "building", points_of(entry["outline"]), entry.get("label", ""))
            for key, entry in plan.get("buildings", {}).items()
        ),
        roofs=tuple(NamedOutline(key, "roof", points_of(entry["outline"])) for key, entry in roofs.items()),
        arrays=tuple(NamedOutline(key, "array", points_of(shape)) for key, entry in roofs.items() for shape in entry.get("arrays", ())),
        grounds=tuple(
            NamedOutline(f["kind"], f["kind"], points_of(f["outline"]), f.get("label", "")) for f in features if f.get("outline")
        ),
        points=tuple(
            NamedPoint(f["kind"], (float(f["at"][0]), float(f["at"][1])), f.get("label", "")) for f in features if len(f.get("at", ())) == 2
        ),
    )


def point_of(place: Place | None) -> Point | None:
    """Return where a place lies on the plan, None where the project does not say."""
    if place is None or place.x_ft is None or place.y_ft is None:
        return None
    return (place.x_ft.number, place.y_ft.number)
