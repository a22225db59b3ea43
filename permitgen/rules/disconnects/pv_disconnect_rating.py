"""Switches of PV systems are rated for the current and the voltage of their circuit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import circuit_current, circuit_volts, role
from permitgen.rules.quantities.dc_voltage import string_voltages
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.disconnect import Disconnect
    from permitgen.values.value import Value

_PV = (CircuitRole.PV_DC, CircuitRole.INVERTER_OUTPUT)


@rule(
    "pv-disconnect-rating",
    title="Switches of PV systems are rated for the current and the voltage of their circuit",
    provision="pv_disconnect_rating",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge the ratings of a switch that carries PV current.

    Requires: rating ≥ 125 percent of the circuit's current; rated voltage ≥ the circuit's maximum voltage.
    Why: an ac switch draws a dc arc that it cannot put out; a small one burns its contacts.
    Applies to: switches in enclosures of their own on PV dc circuits and inverter output circuits.
    Example that fails: a 30 A switch for 32 A of inverter output, 40 A.
    Example that passes: a 60 A, 240 V switch there.
    """
    circuits = [c for tag in given.system.circuits_at.get(switch.tag, ()) if role(given, c := given.system.circuits[tag]) in _PV]
    if not circuits:
        return does_not_apply(f"{switch.tag} carries no PV current")
    parts = [
        *parts_for(circuits, lambda circuit: _current(switch, circuit, given)),
        *parts_for(circuits, lambda circuit: _voltages(switch, circuit, given)),
    ]
    return all_of(f"{switch.tag} is rated for current and voltage", parts)


def _current(switch: Disconnect, circuit: Circuit, given: Given) -> Judgement:
    rating = given.need(switch.rating_a, f"rating of {switch.tag}")
    required = circuit_current(given, circuit).required_a
    message = f"{switch.tag} is rated {rating.figure} A, {circuit.tag} requires {required.number:.4g} A"
    return require_at_least(message, computed=rating.named("R"), limit=required)


def _voltages(switch: Disconnect, circuit: Circuit, given: Given) -> Iterator[Judgement]:
    for volts in _volts(circuit, given):
        rated = given.need(switch.voltage_v, f"rated voltage of {switch.tag}")
        message = f"{switch.tag} is rated {rated.figure} V, {circuit.tag} has {volts.number:.4g} V"
        yield require_at_least(message, computed=rated.named("V_R"), limit=volts)


def _volts(circuit: Circuit, given: Given) -> list[Value]:
    return string_voltages(given, circuit) if circuit.is_dc else [circuit_volts(given, circuit)]
