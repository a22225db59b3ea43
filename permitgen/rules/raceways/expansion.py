"""Rigid PVC between fixed ends has an expansion fitting where heat and cold move it by a quarter inch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.expansion import raceway_growth_in
from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_most
from permitgen.rules.quantities.run_temperature import temperature_swing_f
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "expansion",
    title="Rigid PVC between fixed ends has an expansion fitting where heat and cold move it by a quarter inch",
    provision="pvc_expansion",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the change of length of one run between its fixed ends.

    Requires: a change below 1/4 in, or an expansion fitting.
    Why: PVC pulls out of its couplings in winter and buckles off the wall in summer.
    Applies to: rigid PVC above ground; in rooms only where its temperatures are stated.
    Example that fails: 30 ft on a wall with a swing of 120 °F, 1.46 in, without a fitting.
    Example that passes: the same with a fitting; 5 ft without.
    """
    if not raceway.kind.startswith("PVC") or raceway.buried:
        return does_not_apply(f"{raceway.tag} is not rigid PVC above ground")
    if raceway.inside_building and not raceway.in_attic and raceway.fact("coldest") is None:
        return does_not_apply(f"{raceway.tag} runs indoors, and no temperatures are stated for it")
    thermal = given.provision("pvc_thermal_expansion")
    growth = raceway_growth_in.derive(
        growth_in=thermal.value("growth_in"),
        length_ft=given.need(raceway.length_ft, f"length of {raceway.tag}"),
        reference_length_ft=thermal.value("reference_length_ft"),
        swing_f=temperature_swing_f(given, raceway),
        reference_swing_f=thermal.value("reference_swing_f"),
        provision=thermal,
    )
    limit = given.provision("pvc_expansion").value("from_change_in")
    if growth.number < limit.number:
        return require_at_most(f"{raceway.tag}: {growth.number:.2f} in of growth, below {limit.length}", computed=growth, limit=limit)
    fitting = raceway.answer("expansion_fitting")
    return require(
        fitting,
        f"{raceway.tag}: {growth.number:.2f} in of growth, {'with' if fitting else 'without'} an expansion fitting",
        missing=f"expansion fitting in {raceway.tag}, which grows by {growth.number:.2f} in",
        computed=growth,
        limit=limit,
    )
