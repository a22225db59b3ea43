"""The pathways to the ridge are clear of vents, raceways and boxes: wide enough strips remain when those are in the way too.

The section asks for few obstructions and gives no number, so what is left is a caution, not a violation.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.clearances.roof_pathways import pathways_of
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply
from permitgen.rules.quantities.roof_access import RoofAccess, access_exemption, access_parts, is_too_flat, planes_around
from permitgen.rules.quantities.roof_obstructions import clear_spans_ft, met_in, obstructed_by, roof_obstructions
from permitgen.rules.quantities.siting_roof import free_spans_ft
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.roof_obstructions import OnRoof
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "roof-pathway-obstructions",
    title="The pathways to the ridge are clear of vents, raceways and boxes: wide enough strips remain when those are in the way too",
    provision="roof_pathway_obstructions",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge what else stands in the pathways of the roof that carries an array.

    Requires: the strips that serve as pathways have 36 in free of vents, skylights, chimneys, boxes and raceways from eave to ridge.
    Why: in smoke and at night a crew stumbles over a raceway across its way.
    Applies to: arrays on roofs that need pathways and have them.
    Example that fails: the only strip of the south plane, 36 in wide, with a raceway across it.
    Example that passes: the same raceway across one of two strips of the plane.
    """
    exempt = access_exemption(array, given)
    if exempt is not None:
        return exempt
    if is_too_flat(array, given):
        return does_not_apply(f"{array.tag}: roof of 2 in 12 or less")
    if any(part.verdict is Verdict.VIOLATED for part in access_parts(pathways_of(array, given), given)):
        return does_not_apply(f"{array.tag}: its roof has no sufficient pathways to be kept clear")
    access, obstructions = clear_pathways_of(array, given)
    names = ", ".join(plane.name for plane in access.open_planes)
    return all_of(f"{array.tag}: clear pathways on {names}{_met(access, obstructions)}", access_parts(access, given))


def clear_pathways_of(array: PVArray, given: Given) -> tuple[RoofAccess, tuple[OnRoof, ...]]:
    """Return the roof of an array with modules and everything else in the way, and what that is.

    Raises:
        MissingFactError: an obstruction or a run over the roof has no place on the plan.
    """
    planes, covered = planes_around(array, given)
    obstructions = roof_obstructions(given, covered[0].building)
    access = RoofAccess(
        array,
        planes,
        covered,
        given.provision("roof_pathways").value("width_in"),
        lambda plane: clear_spans_ft(plane, obstructions),
        lambda plane: [*plane.arrays, *(item.outline for item in obstructed_by(plane, obstructions))],
        "clear",
        Verdict.CAUTION,
    )
    return access, obstructions


def _met(access: RoofAccess, obstructions: tuple[OnRoof, ...]) -> str:
    """Name what stands in strips that modules leave free; a raceway whose way is not stated is named as drawn."""
    met = dict.fromkeys(
        f"{item.name}{' as drawn' if item.is_assumed else ''}"
        for plane in access.planes
        for span in free_spans_ft(plane)
        for item in met_in(plane, span, obstructions)
    )
    return f"; in strips not counted: {', '.join(met)}" if met else ""
