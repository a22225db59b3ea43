"""The picture of this house's roof and arrays for the rapid shutdown label, from the site plan."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.system.site.compass import bearing_of
from permitgen.system.site.facing import facing_deg
from permitgen.system.site.geometry import distance_to_segment, edges
from permitgen.system.walks.isolation import service_handles
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators
from permitgen.views.label import PLAIN_HOUSE, DiagramArray, PlanPoint, RoofDiagram, RoofPlane
from permitgen.views.site_map import point_of

if TYPE_CHECKING:
    from permitgen.system.site.plan import Plan
    from permitgen.system.site.plan import RoofPlane as DrawnPlane
    from permitgen.system.system import System

_WORDS = "RAPID SHUTDOWN SWITCH"
_NEAR_FT = 2.0


def roof_diagram_of(system: System) -> RoofDiagram:
    """Return the diagram of the house as planned; a plain house where the project draws no roof with an array on it.

    A building without a roof plane (a garage) is drawn where an initiation device hangs on it.
    """
    plan = system.site.plan
    if not any(roof.arrays for roof in plan.roof_planes):
        return PLAIN_HOUSE
    places = _initiators(system)
    planes = (*(_plane(roof, plan.north_deg) for roof in plan.roof_planes), *_flat_buildings(plan, [at for _, at in places]))
    arrays = tuple(
        DiagramArray(outline, index, *_array_on(system, roof.name))
        for index, roof in enumerate(plan.roof_planes)
        for outline in roof.arrays
    )
    return RoofDiagram(planes, arrays, places, (_seen_from(system) - plan.north_deg) % 360)


def _array_on(system: System, plane: str) -> tuple[str, bool]:
    """Tags of the arrays on a roof plane, and whether some of them stays energized because no initiation device reaches it."""
    on_plane = [array.tag for array in arrays_of(system) if plane in array.roof_planes]
    covered = {tag for initiator in initiators(system) for tag in initiator.arrays}
    return ", ".join(on_plane), bool(on_plane) and not covered.issuperset(on_plane)


def _flat_buildings(plan: Plan, places: list[PlanPoint]) -> tuple[RoofPlane, ...]:
    roofed = {roof.building for roof in plan.roof_planes}
    outlines = [building.outline for building in plan.buildings if building.name not in roofed]
    near = (outline for outline in outlines if any(distance_to_segment(at, *edge) < _NEAR_FT for at in places for edge in edges(outline)))
    return tuple(RoofPlane(outline) for outline in near)


def _plane(roof: DrawnPlane, north_deg: float) -> RoofPlane:
    """The picture needs some fall: of a plane whose fall or pitch nobody stated it shows a flat one toward the south."""
    bearing = bearing_of(roof.fall, north_deg) if roof.fall is not None else 180.0
    pitch = math.degrees(math.atan(roof.stated_slope)) if roof.stated_slope is not None else 0.0
    return RoofPlane(roof.outline, bearing, pitch)


def _initiators(system: System) -> tuple[tuple[str, PlanPoint], ...]:
    """What each initiation device is called and where it is; in order of the places that the label prints."""
    items = [initiator.item for initiator in initiators(system) if initiator.arrays]
    return tuple((_WORDS, at) for item in items if (at := point_of(item.place)) is not None)


def _seen_from(system: System) -> float:
    """The side of the house where its service equipment hangs."""
    for handle in service_handles(system):
        place = system.handles[handle].place if handle in system.handles else None
        faces = facing_deg(system.site.plan, place)
        if faces is not None:
            return faces
    return 180.0
