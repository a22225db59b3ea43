"""An overcurrent device opens each ungrounded conductor of its circuit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.protection import poles_of
from permitgen.rules.quantities.ungrounded_conductors import counted_in_file, ungrounded_conductors
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import circuits_in_series
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "device-poles",
    title="An overcurrent device opens each ungrounded conductor of its circuit",
    provision="overcurrent_in_each_ungrounded_conductor",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the poles of one device (the number of fuses in a set) by the circuits in series with it, wherever it stands.

    Requires: a pole, or a fuse, for each ungrounded conductor; single-pole breakers with identified handle ties are stated as poles.
        How many there are is stated, or shown by the circuit; a count taken from the device itself is no proof.
    Why: with one leg open the other still feeds a 240 V load and whoever works on it.
    Applies to: ac circuits and battery circuits; one device in one polarity suffices for PV dc circuits (a rule of their own).
    Example that fails: a one-pole main in a service of two ungrounded conductors; one fuse in a two-wire battery circuit that floats.
    Example that passes: a two-pole breaker in a 240 V circuit.
    """
    circuits = [circuit for circuit in circuits_in_series(given.system, device) if role(given, circuit) is not CircuitRole.PV_DC]
    if not circuits:
        return does_not_apply(f"{device.tag}: no ac circuit and no battery circuit is in series with it")
    number = poles_of(given, device.device, device.tag)
    most, needed = max(_needed(circuits, number, given), key=lambda each: each[1].number)
    opened = "fuses" if device.device.kind == "fuse" else "poles that open together"
    return require_at_least(
        f"{device.tag}: {number} {opened} for {needed.figure} ungrounded conductors of {most.tag}",
        computed=Value(float(number), "count", FromSystem(f"poles stated for {device.tag}"), "n", f"{opened} at {device.tag}"),
        limit=needed,
        places=(device.at,) if device.at is not None else (),
    )


def _needed(circuits: Sequence[Circuit], poles: int, given: Given) -> Iterator[tuple[Circuit, Value]]:
    """Yield each circuit with its ungrounded conductors; a device that opens two needs no other proof than the count of the file."""
    for circuit in circuits:
        yield circuit, ungrounded_conductors(given, circuit) if poles == 1 else counted_in_file(circuit)
