"""The temperature at which terminals let the ampacity table be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.described_terminals import has_marked_terminals
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
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
    """Whether the device that protects the circuit is of 100 A or less; a circuit without a known device counts as small."""
    ratings = [found.device.rating_a.number for found in devices_protecting(given, circuit) if found.device.rating_a is not None]
    return not ratings or max(ratings) <= given.provision("terminal_temperature").value("small_circuit_a").number


def _is_small_terminal(given: Given, terminal: Terminal | None) -> bool:
    """Whether the terminal is marked for conductors of 14 to 1 AWG only."""
    if terminal is None or terminal.largest is None:
        return False
    return terminal.largest <= ConductorSize(given.provision("terminal_temperature").text("small_terminal_size"))
