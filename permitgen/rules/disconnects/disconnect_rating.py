"""Switches are rated for the device inside, for the current of their circuits and for the voltage.

PV circuits ask for 125 percent of their current beside this; those of PV dc circuits are judged there (see pv-disconnect-rating).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, at_least, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, circuit_volts, role
from permitgen.rules.quantities.dc_voltage import storage_voltages
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.disconnect import Disconnect
    from permitgen.values.value import Value


@rule(
    "disconnect-rating",
    title="Switches are rated for the device inside, for the current of their circuits and for the voltage",
    provision="switch_rating",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge the ratings of a switch in an enclosure of its own.

    Requires: rating ≥ its own overcurrent device and ≥ the current of its circuits; rated voltage ≥ the voltage of its circuits; on
        battery circuits a rating for dc.
    Why: a switch that carries or opens more than it is made for burns, and with it the means of taking the house off.
    Applies to: switches on ac and battery circuits. Service conductors whose load is not stated count with the service's device; a
        feeder whose load is not stated leaves a switch below its device open.
    Example that fails: a 100 A switch, or one of 24 V, around a 200 A device at 240 V.
    Example that passes: a 200 A, 240 V switch around it.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(switch.tag, ())]
    circuits = [circuit for circuit in circuits if role(given, circuit) is not CircuitRole.PV_DC]
    if not circuits:
        return does_not_apply(f"{switch.tag} stands on no ac circuit and no battery circuit")
    parts = parts_of(lambda: _around_device(switch), lambda: _voltages(switch, circuits, given), lambda: _for_dc(switch, circuits))
    parts += parts_for(circuits, lambda circuit: _current(switch, circuit, given))
    return all_of(f"{switch.tag} is rated for its device, its current and its voltage", parts)


def _around_device(switch: Disconnect) -> Iterator[Judgement]:
    if switch.rating_a is None:
        yield not_judged(f"rating of {switch.tag}")
    elif switch.device is not None and switch.device.rating_a is not None:
        device = switch.device.rating_a.named("OCPD", f"device of {switch.tag}")
        message = f"{switch.tag} is rated {switch.rating_a.figure} A around a breaker or fuse of {device.figure} A"
        yield require_at_least(message, computed=_rating(switch.rating_a, switch), limit=device)


def _voltages(switch: Disconnect, circuits: list[Circuit], given: Given) -> Iterator[Judgement]:
    found = [volts for circuit in circuits for volts in _volts(circuit, given)]
    volts = max(found, key=lambda value: value.number)
    if switch.voltage_v is None:
        yield not_judged(f"rated voltage of {switch.tag}")
    else:
        message = f"{switch.tag} is rated {switch.voltage_v.figure} V on {volts.figure} V"
        yield require_at_least(message, computed=switch.voltage_v.named("V_R", f"rated voltage of {switch.tag}"), limit=volts)


def _volts(circuit: Circuit, given: Given) -> list[Value]:
    return storage_voltages(given, circuit) or [circuit_volts(given, circuit)] if circuit.is_dc else [circuit_volts(given, circuit)]


def _for_dc(switch: Disconnect, circuits: list[Circuit]) -> Judgement | None:
    if not any(circuit.is_dc for circuit in circuits):
        return None
    rated = switch.answer("dc_rated")
    message = f"{switch.tag} on a battery circuit is {'' if rated else 'not '}rated for dc"
    return require(rated, message, missing=f"whether {switch.tag} is rated for dc")


def _current(switch: Disconnect, circuit: Circuit, given: Given) -> Iterator[Judgement]:
    if switch.rating_a is None:
        return
    current = circuit_current(given, circuit)
    rating = _rating(switch.rating_a, switch)
    is_open = current.is_of_device and role(given, circuit) is not CircuitRole.SERVICE
    if is_open and not at_least(rating, current.maximum_a):
        yield not_judged(f"load of {circuit.tag}, whose device exceeds the rating of {switch.tag}")
    else:
        message = f"{switch.tag} is rated {rating.figure} A, {circuit.tag} carries {current.maximum_a.number:.4g} A"
        yield require_at_least(message, computed=rating, limit=current.maximum_a)


def _rating(rating: Value, switch: Disconnect) -> Value:
    return rating.named("R", f"rating of {switch.tag}")
