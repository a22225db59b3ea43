"""The picture of this house's roof and arrays for the rapid shutdown label, from the site plan."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from permitgen.system.equipment.disconnect import RapidShutdownInitiator
from permitgen.system.walks.isolation import service_handles
from permitgen.views.label import PLAIN_HOUSE, DiagramArray, PlanPoint, RoofDiagram, RoofPlane
from permitgen.views.placard import COMPASS
from permitgen.views.site_map import point_of

if TYPE_CHECKING:
    from permitgen.system.system import System

_PITCH = re.compile(r"(\d+(?:\.\d+)?)\s*[/:]\s*(\d+(?:\.\d+)?)")


def roof_diagram_of(system: System) -> RoofDiagram:
    """Return the diagram of the house as planned; a plain house where the project gives no roof."""
    plan: dict[str, Any] = dict(system.site.plan)
    roofs: dict[str, Any] = plan.get("roof_planes", {})
    if not roofs:
        return PLAIN_HOUSE
    north = float(plan.get("north", 0.0))
    planes = tuple(_plane(roof) for roof in roofs.values())
    arrays = tuple(
        DiagramArray(tuple(_point(p) for p in outline), index)
        for index, roof in enumerate(roofs.values())
        for outline in roof.get("arrays", ())
    )
    return RoofDiagram(planes, arrays, _initiators(system), (_seen_from(system) - north) % 360)


def _plane(roof: dict[str, Any]) -> RoofPlane:
    match = _PITCH.fullmatch(str(roof.get("pitch", "")).strip())
    pitch = math.degrees(math.atan2(float(match[1]), float(match[2]))) if match else 0.0
    return RoofPlane(tuple(_point(p) for p in roof["outline"]), COMPASS.get(str(roof.get("faces", "")), 180.0), pitch)


def _point(point: Any) -> PlanPoint:
    return (float(point[0]), float(point[1]))


def _initiators(system: System) -> tuple[tuple[str, PlanPoint], ...]:
    items = [item for item in system.equipment.values() if isinstance(item, RapidShutdownInitiator)]
    return tuple((item.tag, at) for item in items if (at := point_of(item.place)) is not None)


def _seen_from(system: System) -> float:
    """The side of the house where its service equipment hangs."""
    for handle in service_handles(system):
        place = system.handles[handle].place if handle in system.handles else None
        if place is not None and place.faces in COMPASS:
            return COMPASS[place.faces]
    return 180.0
