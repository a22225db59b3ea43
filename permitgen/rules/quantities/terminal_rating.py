"""The temperature at which terminals let the ampacity table be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.described_terminals import has_marked_terminals
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.rules.quantities.service_disconnects import serving_disconnects
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.terminal import Terminal


def terminal_rating_c(given: Given, circuit: Circuit) -> Value:
    """Return the lowest temperature rating of the terminations of a circuit, °C.

    A terminal without a mark counts as 60 °C on circuits of 100 A or less and where it is made for 14 to 1 AWG, else as 75 °C;
    splices in boxes and the connectors of modules count only where their marks are stated.
    """
    return given.once_for_topology(("terminal rating", circuit.tag), lambda: _lowest(given, circuit))


def is_marked_for_less(given: Given, circuit: Circuit) -> bool:
    """Whether a termination of the circuit is marked for less than the 75 °C of large circuits; one without a mark is not."""
    large = given.provision("terminal_temperature").value("large_circuit_c").number
    ends = [end for end in circuit.ends if has_marked_terminals(given.system, end)]
    marks = [terminal.temperature_c for terminal in map(given.system.terminal_at, ends) if terminal is not None]
    return any(mark is not None and mark.number < large for mark in marks)


def mark_words(rating_c: Value) -> str:
    """Return what a message adds to a rating of :func:`terminal_rating_c` that is the code's own, for want of a mark; "" otherwise."""
    assumed = (leaf for leaf in rating_c.leaves() if isinstance(leaf.origin, Assumed))
    return " (no mark is stated)" if any(leaf.number <= rating_c.number for leaf in assumed) else ""


def _lowest(given: Given, circuit: Circuit) -> Value:
    provision = given.provision("terminal_temperature")
    ends = [end for end in circuit.ends if has_marked_terminals(given.system, end)]
    found = [_rating(given, circuit, end.tag, given.system.terminal_at(end)) for end in ends]
    if not found:
        found = [_unmarked(given, circuit, circuit.tag, None)]
    lowest = min(found, key=lambda value: value.number)
    number = min(lowest.number, provision.value("large_circuit_c").number)
    title = f"temperature rating of the terminations of {circuit.tag}"
    return selected(number, "c", by="lowest of", inputs=tuple(found), symbol="T_term", title=title, provision=provision)


def _rating(given: Given, circuit: Circuit, tag: str, terminal: Terminal | None) -> Value:
    if terminal is not None and terminal.temperature_c is not None:
        return terminal.temperature_c.named(f"T_{tag}")
    return _unmarked(given, circuit, tag, terminal)


def _unmarked(given: Given, circuit: Circuit, tag: str, terminal: Terminal | None) -> Value:
    provision = given.provision("terminal_temperature")
    small = _is_small_circuit(given, circuit) or _is_small_terminal(given, terminal)
    number = provision.value("unmarked_c" if small else "large_circuit_c").number
    return Value(number, "c", Assumed(f"no temperature marking given at {tag}"), f"T_{tag}", f"temperature rating of the terminal at {tag}")


def _is_small_circuit(given: Given, circuit: Circuit) -> bool:
    """Whether the circuit is rated 100 A or less; one without a known device counts as small."""
    rating_a = _rating_of_circuit_a(given, circuit)
    return rating_a is None or rating_a <= given.provision("terminal_temperature").value("small_circuit_a").number


def _rating_of_circuit_a(given: Given, circuit: Circuit) -> float | None:
    """Return the rating of a circuit in amperes, ``None`` where no device's rating is known.

    Service conductors are rated for all disconnects that they serve together (230.80). The output of a source is rated by its own, smallest
    device: a larger one toward another source only ends a fault. What feeds loads from one source or another is rated by the larger.
    """
    if role(given, circuit) is CircuitRole.SERVICE:
        return sum(_ratings_a(border.device for border in serving_disconnects(given, circuit))) or None
    ratings = _ratings_a(found.device for found in devices_protecting(given, circuit))
    least_or_most = min if role(given, circuit).is_source_output else max
    return least_or_most(ratings, default=None)


def _ratings_a(devices: Iterable[OvercurrentDevice]) -> list[float]:
    return [device.rating_a.number for device in devices if device.rating_a is not None]


def _is_small_terminal(given: Given, terminal: Terminal | None) -> bool:
    """Whether the terminal is marked for conductors of 14 to 1 AWG only."""
    if terminal is None or terminal.largest is None:
        return False
    return terminal.largest <= ConductorSize(given.provision("terminal_temperature").text("small_terminal_size"))
