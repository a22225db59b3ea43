"""Rigid PVC conduit stays where it is no hotter than 50 °C, unless it is listed for more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.ampacity import rooftop_ambient_c
from permitgen.rules.judgement import Judgement, Verdict, all_of, at_least, does_not_apply, require_at_most
from permitgen.rules.quantities.run_temperature import design_ambient_c
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


@rule(
    "pvc-ambient",
    title="Rigid PVC conduit stays where it is no hotter than 50 °C, unless it is listed for more",
    provision="pvc_conduit_ambient",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the ambient temperature along rigid PVC; the sun close to a roof is added as a caution.

    Requires: design ambient ≤ 50 °C, or ≤ the temperature the conduit is listed for.
    Why: PVC softens, sags and loses its joints.
    Applies to: rigid PVC conduit.
    Example that fails: PVC through a 55 °C attic.
    Example that passes: PVC along a wall at 40 °C.
    """
    if not raceway.kind.startswith("PVC"):
        return does_not_apply(f"{raceway.tag} is not rigid PVC conduit")
    ambient = design_ambient_c(given, raceway)
    limit = raceway.fact("listed_ambient") or given.provision("pvc_conduit_ambient").value("highest_ambient_c")
    parts = [_at_most(raceway, ambient, limit, Verdict.VIOLATED)]
    adder = given.provision("rooftop_temperature_adder")
    if raceway.above_roof_in is not None and not at_least(raceway.above_roof_in, adder.value("below_height_in")):
        hot = rooftop_ambient_c.derive(ambient_c=ambient, added_rise_c=adder.value("added_rise_c"), provision=adder)
        parts.append(_at_most(raceway, hot, limit, Verdict.CAUTION))
    return all_of(f"{raceway.tag}: {raceway.kind} at {ambient.figure} °C", parts)


def _at_most(raceway: Raceway, ambient: Value, limit: Value, otherwise: Verdict) -> Judgement:
    message = f"{raceway.tag}: {raceway.kind} at {ambient.figure} °C, good for {limit.figure} °C"
    return require_at_most(message, computed=ambient, limit=limit, otherwise=otherwise)
