"""PV dc circuits inside a building run in metal, in 2017 up to their first disconnect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import circuit_current, role
from permitgen.rules.quantities.dc_voltage import string_voltages
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


@rule(
    "pv-wiring-in-building",
    title="PV dc circuits inside a building run in metal, in 2017 up to their first disconnect",
    provision="pv_wiring_in_building",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the wiring method of a PV dc circuit wherever it runs inside a building.

    Requires: metal raceway or metal-clad cable inside; from 2020 on where the circuit exceeds 30 V or 8 A.
    Why: a dc fault in a plastic conduit burns inside the wall, where no device of the house can open it.
    Applies to: in 2017 from the point of entry to the first readily accessible disconnect, from 2020 everywhere inside; inverter ac
        output is not meant.
    Example that fails: strings in PVC conduit through an attic.
    Example that passes: strings in EMT through it.
    """
    if role(given, circuit) is not CircuitRole.PV_DC:
        return does_not_apply(f"{circuit.tag} is no PV dc circuit")
    if given.provision("pv_wiring_in_building").flag("ends_at_disconnect") and _is_beyond_disconnect(given, circuit):
        return does_not_apply(f"{circuit.tag} is beyond the first readily accessible disconnect")
    if not _is_due(given, circuit):
        return does_not_apply(f"{circuit.tag} stays below the voltage and the current from which metal is asked for")
    parts = parts_for(circuit.runs, lambda tag: _run(circuit, given.system.raceways[tag]))
    if not parts:
        return not_judged(f"runs of {circuit.tag}")
    return all_of(f"{circuit.tag} runs in metal inside the building", parts)


def _run(circuit: Circuit, run: Raceway) -> Judgement:
    if not run.inside_building:
        return does_not_apply(f"{run.tag} is outside")
    return require(run.is_metal or run.kind == "MC cable", f"{circuit.tag} runs inside the building in {run.kind} ({run.tag})")


def _is_due(given: Given, circuit: Circuit) -> bool:
    provision = given.provision("pv_wiring_in_building")
    if not provision.has("above_v"):
        return True
    if circuit_current(given, circuit).maximum_a.number > provision.value("above_a").number:
        return True
    return any(voltage.number > provision.value("above_v").number for voltage in string_voltages(given, circuit))


def _is_beyond_disconnect(given: Given, circuit: Circuit) -> bool:
    """Whether every way from an array to the circuit passes a readily accessible switch."""
    system = given.system
    accessible = {
        tag
        for tag, item in system.equipment.items()
        if item.kind == "disconnect" and item.place is not None and item.place.readily_accessible
    }
    strings = [s.node for s in system.sources.values() if s.kind == "photovoltaic" and not s.is_ac]
    before = system.graph.reach(strings, lambda link: not link.is_converter and link.handle not in accessible)
    return f"{circuit.tag}.start" not in before
