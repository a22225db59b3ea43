"""The picture of this house's roof and arrays for the rapid shutdown label, from the site plan."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from permitgen.rules.quantities.plan_geometry import distance_to_segment, edges
from permitgen.system.walks.isolation import service_handles
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators
from permitgen.views.label import PLAIN_HOUSE, DiagramArray, PlanPoint, RoofDiagram, RoofPlane
from permitgen.views.placard import COMPASS
from permitgen.views.site_map import point_of

if TYPE_CHECKING:
    from permitgen.system.system import System

_WORDS = "RAPID SHUTDOWN SWITCH"
_NEAR_FT = 2.0
_PITCH = re.compile(r"(\d+(?:\.\d+)?)\s*[/:]\s*(\d+(?:\.\d+)?)")


def roof_diagram_of(system: System) -> RoofDiagram:
    """Return the diagram of the house as planned; a plain house where the project gives no roof.

    A building without a roof plane (a garage) is drawn where an initiation device hangs on it.
    """
    plan: dict[str, Any] = dict(system.site.plan)
    roofs: dict[str, Any] = plan.get("roof_planes", {})
    if not roofs:
        return PLAIN_HOUSE
    north = float(plan.get("north", 0.0))
    places = _initiators(system)
    planes = (*(_plane(roof) for roof in roofs.values()), *_flat_buildings(plan, roofs, [at for _, at in places]))
    arrays = tuple(
        DiagramArray(tuple(_point(p) for p in outline), index, *_array_on(system, name))
        for index, (name, roof) in enumerate(roofs.items())
        for outline in roof.get("arrays", ())
    )
    return RoofDiagram(planes, arrays, places, (_seen_from(system) - north) % 360)


def _array_on(system: System, plane: str) -> tuple[str, bool]:
    """Tags of the arrays on a roof plane, and whether some of them stays energized because no initiation device reaches it."""
    on_plane = [array.tag for array in arrays_of(system) if plane in array.roof_planes]
    covered = {tag for initiator in initiators(system) for tag in initiator.arrays}
    return ", ".join(on_plane), bool(on_plane) and not covered.issuperset(on_plane)


def _flat_buildings(plan: dict[str, Any], roofs: dict[str, Any], places: list[PlanPoint]) -> tuple[RoofPlane, ...]:
    roofed = {str(roof.get("building", "")) for roof in roofs.values()}
    outlines = [
        tuple(_point(p) for p in building["outline"])
        for name, building in plan.get("buildings", {}).items()
        if name not in roofed and building.get("outline")
    ]
    near = (outline for outline in outlines if any(distance_to_segment(at, *edge) < _NEAR_FT for at in places for edge in edges(outline)))
    return tuple(RoofPlane(outline) for outline in near)


def _plane(roof: dict[str, Any]) -> RoofPlane:
    match = _PITCH.fullmatch(str(roof.get("pitch", "")).strip())
    pitch = math.degrees(math.atan2(float(match[1]), float(match[2]))) if match else 0.0
    return RoofPlane(tuple(_point(p) for p in roof["outline"]), COMPASS.get(str(roof.get("faces", "")), 180.0), pitch)


def _point(point: Any) -> PlanPoint:
    return (float(point[0]), float(point[1]))


def _initiators(system: System) -> tuple[tuple[str, PlanPoint], ...]:
    """What each initiation device is called and where it is; in order of the places that the label prints."""
    items = [initiator.item for initiator in initiators(system) if initiator.arrays]
    return tuple((_WORDS, at) for item in items if (at := point_of(item.place)) is not None)


def _seen_from(system: System) -> float:
    """The side of the house where its service equipment hangs."""
    for handle in service_handles(system):
        place = system.handles[handle].place if handle in system.handles else None
        if place is not None and place.faces in COMPASS:
            return COMPASS[place.faces]
    return 180.0
