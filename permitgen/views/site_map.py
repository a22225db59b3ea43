"""The site plan as the emergency map needs it: outlines, roofs with arrays, and points that carry the numbers of the steps.

Feet, x to the right, y up the page, as in the project file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from permitgen.system.place import Place
    from permitgen.system.system import System

Point = tuple[float, float]
Outline = tuple[Point, ...]


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


def point_of(place: Place | None) -> Point | None:
    """Return where a place lies on the plan, None where the project does not say."""
    if place is None or place.x_ft is None or place.y_ft is None:
        return None
    return (place.x_ft.number, place.y_ft.number)


def site_map_of(system: System, steps: tuple[MapStep, ...], you_are_here: Point | None, *, names_streets: bool) -> SiteMap:
    """Return the map. ``names_streets`` False leaves out the names of streets, which would tell the address."""
    plan: dict[str, Any] = dict(system.site.plan)
    features = list(plan.get("features", ()))
    roofs = plan.get("roof_planes", {})
    return SiteMap(
        north_deg=float(plan.get("north", 0.0)),
        buildings=tuple(MapOutline("building", _outline(b["outline"]), b.get("label", "")) for b in plan.get("buildings", {}).values()),
        roofs=tuple(MapOutline("roof", _outline(r["outline"])) for r in roofs.values()),
        arrays=tuple(MapOutline("array", _outline(a)) for r in roofs.values() for a in r.get("arrays", ())),
        grounds=tuple(_ground(f, names_streets=names_streets) for f in features if f.get("outline")),
        marks=tuple(MapMark(f["kind"], _point(f["at"]), f.get("label", "")) for f in features if len(f.get("at", ())) == 2)
        + _storage_marks(system),
        steps=steps,
        you_are_here=you_are_here,
        lot=_outline(plan.get("lot", ())),
    )


def _ground(feature: Any, *, names_streets: bool) -> MapOutline:
    hidden = feature["kind"] == "street" and not names_streets
    return MapOutline(feature["kind"], _outline(feature["outline"]), "" if hidden else feature.get("label", ""))


def _storage_marks(system: System) -> tuple[MapMark, ...]:
    found = []
    for source in system.sources.values():
        at = point_of(system.equipment[source.tag].place)
        if at is not None and source.kind in ("energy storage", "generator"):
            found.append(MapMark(source.kind, at, source.tag))
    return tuple(found)


def _outline(points: Any) -> Outline:
    return tuple(_point(point) for point in points)


def _point(point: Any) -> Point:
    return (float(point[0]), float(point[1]))
