"""How many ungrounded conductors a circuit has for what has to open them: as stated, else as the circuit itself shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral, source_side
from permitgen.system.equipment.generator import Generator
from permitgen.system.walks.in_series import devices_in_series
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


def ungrounded_conductors(given: Given, circuit: Circuit) -> Value:
    """Return the number of ungrounded conductors of ``circuit`` that a device or switch on it has to open.

    A count that was taken from a one-pole device proves nothing of that device. Then two are shown by the voltage of the circuit, by a
    source that gives it line-to-line voltage, or by another device that just its current flows through and that has two poles; one by
    the line-to-neutral voltage of the circuit or of its sources.

    Raises:
        MissingFactError: one was taken from a device, and nothing shows how many there are.
    """
    conductors = circuit.conductors
    if conductors.ungrounded_count == 1 and not conductors.is_count_stated:
        return _count(circuit, _shown(given, circuit))
    return counted_in_file(circuit)


def counted_in_file(circuit: Circuit) -> Value:
    """Return the number of ungrounded conductors of ``circuit`` as the file has it, be it stated or taken from a device."""
    return _count(circuit, circuit.conductors.ungrounded_count)


def _count(circuit: Circuit, number: int) -> Value:
    what = f"ungrounded conductors of {circuit.tag}"
    return Value(float(number), "count", FromSystem(what), "N", what)


def _shown(given: Given, circuit: Circuit) -> int:
    poles = [each.device.poles for each in devices_in_series(given.system, circuit) if each.device.are_poles_stated]
    between = (line_to_neutral(given).number + line_to_line(given).number) / 2
    volts = list(_volts(given, circuit))
    if max(poles, default=1) > 1 or any(each > between for each in volts):
        return 2
    if not volts:
        raise MissingFactError(f"number of ungrounded conductors of {circuit.tag}, or its voltage")
    return 1


def _volts(given: Given, circuit: Circuit) -> Iterator[float]:
    """Yield the voltages that are stated of the circuit, or of what feeds it other than the utility; a machine's also by its nameplate."""
    if circuit.volts is not None:
        yield circuit.volts.number
    for source in source_side(given, circuit).sources:
        item = given.system.equipment[source.tag]
        if source.kind == "utility":
            continue
        if source.output_v is not None:
            yield source.output_v.number
        elif isinstance(item, Generator) and item.output_va is not None and item.output_a is not None:
            yield item.output_va.number / item.output_a.number
