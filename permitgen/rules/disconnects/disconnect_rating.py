"""Switches of ac circuits are rated for the device inside, for the current of their circuits and for the voltage.

Beside this, PV circuits ask for 125 percent of their current (see pv-disconnect-rating).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, at_least, does_not_apply, not_judged, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, circuit_volts, role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.disconnect import Disconnect
    from permitgen.values.value import Value


@rule(
    "disconnect-rating",
    title="Switches of ac circuits are rated for the device inside, for the current of their circuits and for the voltage",
    provision="switch_rating",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge the ratings of a switch in an enclosure of its own.

    Requires: rating ≥ its own overcurrent device and ≥ the current of its circuits; rated voltage ≥ the voltage of its circuits.
    Why: a switch that carries or opens more than it is made for burns, and with it the means of taking the house off.
    Applies to: switches on ac circuits. Service conductors whose load is not stated count with the service's device; a feeder whose
        load is not stated leaves a switch below its device open.
    Example that fails: a 100 A switch, or one of 24 V, around a 200 A device at 240 V.
    Example that passes: a 200 A, 240 V switch around it.
    """
    circuits = [c for tag in given.system.circuits_at.get(switch.tag, ()) if not (c := given.system.circuits[tag]).is_dc]
    if not circuits:
        return does_not_apply(f"{switch.tag} stands on no ac circuit")
    parts = parts_of(lambda: _around_device(switch), lambda: _voltages(switch, circuits, given))
    parts += parts_for(circuits, lambda circuit: _current(switch, circuit, given))
    return all_of(f"{switch.tag} is rated for its device, its current and its voltage", parts)


def _around_device(switch: Disconnect) -> Iterator[Judgement]:
    if switch.rating_a is None:
        yield not_judged(f"rating of {switch.tag}")
    elif switch.device is not None and switch.device.rating_a is not None:
        device = switch.device.rating_a.named("OCPD", f"device of {switch.tag}")
        message = f"{switch.tag} is rated {switch.rating_a.number:g} A around a breaker or fuse of {device.number:g} A"
        yield require_at_least(message, computed=_rating(switch.rating_a, switch), limit=device)


def _voltages(switch: Disconnect, circuits: list[Circuit], given: Given) -> Iterator[Judgement]:
    volts = max((circuit_volts(given, circuit) for circuit in circuits), key=lambda value: value.number)
    if switch.voltage_v is None:
        yield not_judged(f"rated voltage of {switch.tag}")
    else:
        message = f"{switch.tag} is rated {switch.voltage_v.number:g} V on {volts.number:g} V"
        yield require_at_least(message, computed=switch.voltage_v.named("V_R", f"rated voltage of {switch.tag}"), limit=volts)


def _current(switch: Disconnect, circuit: Circuit, given: Given) -> Iterator[Judgement]:
    if switch.rating_a is None:
        return
    current = circuit_current(given, circuit)
    rating = _rating(switch.rating_a, switch)
    is_open = current.is_of_device and role(given, circuit) is not CircuitRole.SERVICE
    if is_open and not at_least(rating, current.maximum_a):
        yield not_judged(f"load of {circuit.tag}, whose device exceeds the rating of {switch.tag}")
    else:
        message = f"{switch.tag} is rated {rating.number:g} A, {circuit.tag} carries {current.maximum_a.number:.4g} A"
        yield require_at_least(message, computed=rating, limit=current.maximum_a)


def _rating(rating: Value, switch: Disconnect) -> Value:
    return rating.named("R", f"rating of {switch.tag}")
