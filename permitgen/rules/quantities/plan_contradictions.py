"""What the site plan draws, measured for comparison with what the text states: ways of runs, places, arrays on their planes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.plan_distances import footprint_on_plan
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.geometry import Outline, Polygon, distance_between, distance_to_outline, inside_ft

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.site.plan import RoofPlane
    from permitgen.system.system import System

UNKNOWN_HALF_WIDTH_FT = 1.0
"""Equipment of unstated size reaches this far from its point; no enclosure of a dwelling is much wider than 2 ft."""


def shape_on_plan(system: System, item: Equipment) -> tuple[Outline, ...]:
    """Return what the plan draws of equipment: the arrays on its planes, its footprint, else its point; empty where it draws nothing."""
    if isinstance(item, PVArray):
        return tuple(shape for plane in system.site.plan.roof_planes if plane.name in item.roof_planes for shape in plane.arrays)
    place = item.place
    if place is None or place.x_ft is None or place.y_ft is None:
        return ()
    return (footprint_on_plan(system, item) or ((place.x_ft.number, place.y_ft.number),),)


def straight_ft(system: System, one: Equipment, other: Equipment) -> float | None:
    """Return the least length in plan of what joins two pieces of equipment, ft; None where the plan lacks one of them."""
    shapes = shape_on_plan(system, one), shape_on_plan(system, other)
    if not all(shapes):
        return None
    unknown = sum(UNKNOWN_HALF_WIDTH_FT for shape in shapes if len(shape[0]) == 1)
    return max(0.0, min(distance_between(a, b) for a in shapes[0] for b in shapes[1]) - unknown)


def outside_ft(outline: Polygon, points: Polygon) -> float:
    """Return how far the farthest of some points lies outside an outline, ft; 0 where all lie inside."""
    return max(distance_to_outline(outline, point) for point in points)


def over_edge_ft(plane: RoofPlane, array: Polygon) -> float:
    """Return how far an array reaches over the edge of its plane, ft: by its corners, or around a corner of the plane."""
    return max([outside_ft(plane.outline, array), *(inside_ft(array, corner) for corner in plane.outline)])
