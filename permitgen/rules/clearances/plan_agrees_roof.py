"""Arrays lie within the roof plane that the plan draws, and the plane falls as it is said to face."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.quantities.plan_contradictions import over_edge_ft
from permitgen.rules.rule import rule
from permitgen.system.site.compass import angle_between_deg
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.site.plan import RoofPlane


@rule(
    "plan-agrees-roof",
    title="Arrays lie within the roof plane that the plan draws, and the plane falls as it is said to face",
    provision="drawn_as_stated",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the outlines of an array against the planes that it names.

    Requires: no corner more than 0.05 ft over an edge of the plane; the fall from a drawn eave within 22.5° of the direction stated.
    Why: pathways, setbacks and the area for the ridge rule are measured on this drawing; modules over an eave also meet the wind there.
    Applies to: arrays on roof planes that the plan draws.
    Example that fails: an outline that ends 2 ft beyond the eave.
    Example that passes: an outline that ends at the eave.
    """
    planes = [plane for plane in given.system.site.plan.roof_planes if plane.name in array.roof_planes]
    parts = [part for plane in planes for part in (*_within(array, plane, given), *_falls(array, plane, given))]
    return (
        all_of(f"{array.tag}: drawn within its roof planes", parts) if parts else does_not_apply(f"{array.tag}: not drawn on a roof plane")
    )


def _within(array: PVArray, plane: RoofPlane, given: Given) -> list[Judgement]:
    limit = given.provision("drawn_as_stated").value("over_eave_ft")
    found = []
    for shape in plane.arrays:
        over = Value(over_edge_ft(plane, shape), "ft", FromSystem("measured on the site plan"), "d", f"array beyond the {plane.name} roof")
        message = f"{array.tag}: {over.number:.2f} ft over the edge of the {plane.name} roof"
        found.append(require_at_most(message, computed=over, limit=limit))
    return found


def _falls(array: PVArray, plane: RoofPlane, given: Given) -> list[Judgement]:
    if plane.faces is None or plane.fall is None:
        return []
    aslant = angle_between_deg(plane.fall, plane.faces.on_page(given.system.site.plan.north_deg))
    title = f"angle between the fall of the {plane.name} roof and {plane.faces.words}"
    message = f"{array.tag}: the {plane.name} roof is said to face {plane.faces.words}, its eave is drawn {aslant:.0f}° off"
    limit = given.provision("drawn_as_stated").value("aslant_deg")
    return [require_at_most(message, computed=Value(aslant, "deg", FromSystem("site plan"), "a", title), limit=limit)]
