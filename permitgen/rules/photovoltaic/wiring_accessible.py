"""PV dc circuits above 30 V that people can readily reach are in raceway or jacketed cable, or guarded."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.dc_voltage import string_voltages
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


@rule(
    "pv-wiring-accessible",
    title="PV dc circuits above 30 V that people can readily reach are in raceway or jacketed cable, or guarded",
    provision="pv_wiring_accessible",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the runs in which single conductors lie open.

    Requires: no single conductors above 30 V where people can readily reach them, unless a fence, a screen or a cover guards them.
    Why: the insulation of a single lead is all there is between a hand and the whole string.
    Applies to: PV dc circuits in free air; runs on a roof or within an array on a roof are not readily accessible.
    Example that fails: string leads in free air along a ground-mounted array without a fence.
    Example that passes: the same leads in PVC conduit, or behind a screen.
    """
    if role(given, circuit) is not CircuitRole.PV_DC:
        return does_not_apply(f"{circuit.tag} is no PV dc circuit")
    above = given.provision("pv_wiring_accessible").value("above_v")
    if all(voltage.number <= above.number for voltage in string_voltages(given, circuit)):
        return does_not_apply(f"{circuit.tag} stays within {above.figure} V")
    parts = [_run(circuit, given.system.raceways[tag]) for tag in circuit.runs]
    return all_of(f"{circuit.tag}: its single conductors lie out of reach", parts)


def _run(circuit: Circuit, run: Raceway) -> Judgement:
    if not run.is_free_air:
        return require(fact=True, message=f"{circuit.tag} is enclosed in {run.kind} ({run.tag})")
    if run.above_roof_in is not None:
        return require(fact=True, message=f"{circuit.tag}: {run.tag} is on a roof, out of ready reach")
    if run.answer("guarded"):
        return require(fact=True, message=f"{circuit.tag}: single conductors in {run.tag} are guarded by a fence, a screen or a cover")
    reached = run.answer("readily_accessible")
    if reached is None:
        return not_judged(f"whether people can readily reach {run.tag}, or whether it is guarded")
    return require(not reached, f"{circuit.tag}: single conductors in {run.tag} lie {'within' if reached else 'out of'} ready reach")
