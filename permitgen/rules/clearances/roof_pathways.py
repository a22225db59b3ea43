"""Firefighters find ways from the eave to the ridge: two on separate planes, one toward the street, one for each plane with modules.

A pathway is a strip of 36 in or more that no module covers, on the plane itself, on the one beside it, or on both sides of the hip or
valley between them. Roofs of 2 in 12 or less need none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply
from permitgen.rules.quantities.roof_access import RoofAccess, access_exemption, access_parts, is_too_flat, planes_around
from permitgen.rules.quantities.siting_roof import free_spans_ft
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "roof-pathways",
    title="Firefighters find ways from the eave to the ridge: two on separate planes, one toward the street, "
    "one for each plane with modules",
    provision="roof_pathways",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the pathways of the roof that carries an array.

    Requires: two strips of 36 in from eave to ridge on separate planes; one on the side of the street or driveway; one on each plane
        with modules, on a plane beside it, or straddling both.
    Why: a crew with a saw must reach the ridge without walking on modules.
    Applies to: arrays on roofs steeper than 2 in 12; not of detached garages, barns and the like, where nobody lives.
    Example that fails: south and north plane covered from gable to gable.
    Example that passes: 3 ft free at one gable of the south plane, nothing on the north plane.
    """
    exempt = access_exemption(array, given)
    if exempt is not None:
        return exempt
    if is_too_flat(array, given):
        return does_not_apply(f"{array.tag}: roof of 2 in 12 or less")
    access = pathways_of(array, given)
    names = ", ".join(plane.name for plane in access.open_planes)
    return all_of(f"{array.tag}: pathways on {names}", access_parts(access, given))


def pathways_of(array: PVArray, given: Given) -> RoofAccess:
    """Return the roof of an array with modules alone in the way."""
    planes, covered = planes_around(array, given)
    needed = given.provision("roof_pathways").value("width_in")
    return RoofAccess(array, planes, covered, needed, free_spans_ft, lambda plane: list(plane.arrays), "free")
