"""The temperature at which terminals let the ampacity table be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.values.equation import selected
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.terminal import Terminal


def terminal_rating_c(given: Given, circuit: Circuit) -> Value:
    """Return the lowest temperature rating of the terminations of a circuit, °C.

    A terminal without a mark counts as 60 °C for circuits of 100 A or less and as 75 °C above; splices in boxes do not count.
    """
    return given.once(("terminal rating", circuit.tag), lambda: _lowest(given, circuit))


def _lowest(given: Given, circuit: Circuit) -> Value:
    provision = given.provision("terminal_temperature")
    found = [_rating(given, circuit, end.tag, given.system.terminal_at(end)) for end in circuit.ends if _is_termination(given, end.tag)]
    if not found:
        found = [_unmarked(given, circuit, circuit.tag)]
    lowest = min(found, key=lambda value: value.number)
    number = min(lowest.number, provision.value("large_circuit_c").number)
    return selected(number, "c", by="lowest of", inputs=tuple(found), symbol="T_term", title=f"temperature rating of the terminations of {circuit.tag}", provision=provision)


def _is_termination(given: Given, tag: str) -> bool:
    return given.system.equipment[tag].kind not in ("junction_box", "pv_array", "utility_service")


def _rating(given: Given, circuit: Circuit, tag: str, terminal: Terminal | None) -> Value:
    if terminal is not None and terminal.temperature_c is not None:
        return terminal.temperature_c.named(f"T_{tag}")
    return _unmarked(given, circuit, tag)


def _unmarked(given: Given, circuit: Circuit, tag: str) -> Value:
    provision = given.provision("terminal_temperature")
    limit = provision.value("small_circuit_a")
    rating = _largest_rating(circuit)
    small = rating is None or rating <= limit.number
    number = provision.value("unmarked_c" if small else "large_circuit_c").number
    return Value(number, "c", Assumed(f"no temperature marking given at {tag}"), f"T_{tag}", f"temperature rating of the terminal at {tag}")


def _largest_rating(circuit: Circuit) -> float | None:
    ratings = [d.rating_a.number for d in (circuit.start_device, circuit.finish_device) if d is not None and d.rating_a is not None]
    return max(ratings) if ratings else None
