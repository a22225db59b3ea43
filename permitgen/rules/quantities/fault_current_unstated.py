"""What a fault current above a rating rests on that nobody stated: lengths and sizes on the way, what inverters add, a reactance.

Where these are not stated the largest current is taken, so that what passes with it passes whatever they are. What does not pass with it
may pass with the answer: such a verdict hangs on the question.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import fault_current_ka
from permitgen.rules.judgement import Judgement, Verdict, at_most, not_judged
from permitgen.rules.quantities.fault_current import contribution_of, fault_current_in, feeding_fault, generator_fault_current
from permitgen.rules.quantities.fault_current_known import KnownStart, known_starts
from permitgen.rules.quantities.fault_current_path import fault_beyond
from permitgen.system.equipment.generator import Generator
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class _Part:
    """One contribution as it is taken, A, what it rests on that nobody stated, and what of it is known whatever that is, A."""

    taken: Value
    missing: tuple[str, ...]
    known: Value | None


def hanging_on_unstated(judgement: Judgement, given: Given, nodes: Iterable[str]) -> Judgement:
    """Return a violated comparison of the fault current at ``nodes``, kA, as *not judged* where what nobody stated may decide it."""
    computed, limit = judgement.computed, judgement.limit
    if judgement.verdict is not Verdict.VIOLATED or computed is None or limit is None:
        return judgement
    missing = unstated_at(given, nodes, limit)
    if not missing:
        return judgement
    asked = not_judged(*missing)
    most = f"without it {computed.figure} kA have to be reckoned with, {limit.figure} kA are withstood"
    return replace(asked, message=f"{asked.message}; {most}", method=judgement.method, values=(computed, limit))


def unstated_at(given: Given, nodes: Iterable[str], limit_ka: Value) -> tuple[str, ...]:
    """Return the questions on which it hangs whether the fault current at ``nodes`` exceeds a limit.

    None where nothing that matters is left open, or where what is known exceeds the limit by itself.

    Raises:
        MissingFactError: as for ``available_fault_current``.
    """
    asked: dict[str, None] = {}
    for node in nodes:
        for mode in given.system.modes:
            most = fault_current_in(given, node, mode)
            if most is None or _within([most], limit_ka):
                continue
            parts = _parts(given, node, mode)
            known = [part.known for part in parts if part.known is not None]
            if known and not _within(known, limit_ka):
                return ()
            asked.update(dict.fromkeys(_deciding(parts, limit_ka)))
    return tuple(asked)


def _within(currents: list[Value], limit_ka: Value) -> bool:
    total = one_or_sum_of(currents, symbol="I_f", title="fault current")
    return at_most(fault_current_ka.derive(fault_current_a=total), limit_ka)


def _deciding(parts: Sequence[_Part], limit_ka: Value) -> Iterable[str]:
    """Yield the questions of those parts without which the rest, as taken, would be within the limit."""
    for part in parts:
        rest = [other.taken for other in parts if other is not part]
        if part.missing and (not rest or _within(rest, limit_ka)):
            yield from part.missing


def _parts(given: Given, node: str, mode: OperatingMode) -> list[_Part]:
    sources = feeding_fault(given, node, mode)
    return [_of_utility(given, node) if source.kind == "utility" else _of_source(given, source) for source in sources]


def _of_utility(given: Given, node: str) -> _Part:
    """The largest of what is stated on the way; the largest of those from which no gap leads to the node is known."""
    ways = [(_gaps(given, start), fault_beyond(given, start.circuits, start.tag).largest_a) for start in known_starts(given, node)]
    gaps, largest = max(ways, key=lambda way: way[1].number)
    known = max((current for missing, current in ways if not missing), key=lambda current: current.number, default=None)
    return _Part(largest, gaps, known)


def _gaps(given: Given, start: KnownStart) -> tuple[str, ...]:
    return tuple(dict.fromkeys(gap for circuit in start.circuits for gap in _gaps_of(given, circuit)))


def _gaps_of(given: Given, circuit: Circuit) -> Iterable[str]:
    if circuit.conductors.size is None:
        yield f"conductor size of {circuit.tag}"
    if not circuit.ways:
        yield f"runs of {circuit.tag}"
    for run in circuit.runs:
        if given.system.raceways[run].length_ft is None:
            yield f"length of {run}"


def _of_source(given: Given, source: PowerSource) -> _Part:
    machine = given.system.equipment[source.tag]
    if isinstance(machine, Generator):
        stated = machine.subtransient_reactance_percent
        taken, question = generator_fault_current(given, source), f"subtransient reactance of {source.tag}"
    else:
        stated = source.fault_current_a
        taken, question = contribution_of(given, source), f"fault current of {source.id}"
    return _Part(taken, (), taken) if stated is not None else _Part(taken, (question,), None)
