"""Conductors that share a raceway are insulated for the highest voltage in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import circuit_volts
from permitgen.rules.quantities.dc_voltage import dc_voltages
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


@rule(
    "shared-raceway-insulation",
    title="Conductors that share a raceway are insulated for the highest voltage in it",
    provision="circuits_sharing_raceway",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the insulation of every conductor in a raceway against the highest voltage of any circuit there.

    Requires: insulation rated for the highest circuit voltage in the raceway.
    Why: where insulation is nicked in pulling, the weakest one decides.
    Applies to: raceways that several ac circuits or control circuits share; PV dc conductors are kept apart by their own rule.
    Example that fails: a 300 V control cable beside a 480 V circuit.
    Example that passes: building wire, 600 V, beside it.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    controls = [control for control in given.system.controls.values() if raceway.tag in control.runs]
    power = [circuit for circuit in circuits if not circuit.is_dc]
    if not raceway.is_filled or not power or len(circuits) + len(controls) < 2:
        return does_not_apply(f"{raceway.tag}: no circuits of different kinds share it")
    highest = max((volts for circuit in circuits for volts in volts_of(given, circuit)), key=lambda value: value.number)
    parts = parts_for(power, lambda c: _judge(raceway, c.tag, building_wire_voltage(given, c.tag, c.conductors.insulation), highest))
    parts += parts_for(
        controls, lambda c: _judge(raceway, c.tag, c.insulation_v or building_wire_voltage(given, c.tag, c.insulation), highest)
    )
    return all_of(f"{raceway.tag}: every insulation suits {highest.figure} V", parts)


def _judge(raceway: Raceway, tag: str, rated: Value, highest: Value) -> Judgement:
    message = f"{raceway.tag}: {tag} is insulated for {rated.figure} V, {highest.figure} V in the raceway"
    return require_at_least(message, computed=rated, limit=highest)


def volts_of(given: Given, circuit: Circuit) -> list[Value]:
    """Return the voltages of a circuit: that of an ac circuit, the maximum ones of the strings and batteries on a dc circuit.

    Raises:
        MissingFactError: a fact of a string or a battery is not stated.
    """
    return dc_voltages(given, circuit) if circuit.is_dc else [circuit_volts(given, circuit)]


def building_wire_voltage(given: Given, tag: str, insulation: str) -> Value:
    """Return the voltage of building wire where the type is one.

    Raises:
        MissingFactError: ``insulation`` of ``tag`` is no type of building wire.
    """
    known = [str(row).casefold() for row in given.table("insulation_temperature_rating").rows]
    given.need(insulation if insulation.casefold() in known else None, f"insulation voltage of {tag}")
    return given.provision("building_wire_voltage").value("rated_v")
