"""One conductor to a terminal, unless it is identified for more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.described_terminals import has_marked_terminals
from permitgen.rules.rule import rule
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Termination
    from permitgen.system.circuit import End


@rule(
    "terminal-conductor-count",
    title="One conductor to a terminal, unless it is identified for more",
    provision="terminal_capacity",
    judges="termination",
)
def judge(termination: Termination, given: Given) -> Judgement:
    """Judge how many conductors of one pole land on one terminal, over all circuits that end there.

    Requires: conductors ≤ the number the terminal is identified for; one where it states none.
    Why: under one screw the harder conductor holds and the softer one works loose.
    Applies to: named terminals and breakers; several circuits on one terminal, and parallel sets.
    Example that fails: two battery circuits on one input terminal for one conductor.
    Example that passes: a combiner panel, and one feeder on that terminal.
    """
    if not has_marked_terminals(given.system, termination.end):
        return does_not_apply(f"{termination.tag}: no terminal of its own")
    here = _place(termination.end)
    there = (given.system.circuits[tag] for tag in given.system.circuits_at[termination.end.tag])
    landing = [circuit for circuit in there for end in circuit.ends if _place(end) == here]
    number = sum(circuit.conductors.sets for circuit in landing)
    names = ", ".join(circuit.tag for circuit in landing)
    count = Value(float(number), "count", FromSystem(f"counted on {names}"), "n", f"conductors of each pole at {termination.end}")
    terminal = termination.terminal
    stated = terminal.conductors_per_terminal if terminal is not None else None
    if len(landing) > 1 and termination.end.position is None and (terminal is None or _is_in_some_space(termination.end, given)):
        # Two circuits on equipment whose terminals nobody describes may be on line and load, two in a panel on breakers of their own.
        return not_judged(f"terminal at {termination.end}")
    limit = stated or given.provision("terminal_capacity").value("conductors_per_terminal_count")
    return require_at_most(
        f"{termination.end}: {number} conductor{'s' if number > 1 else ''} of each pole ({names}), the terminal takes {limit.figure}",
        computed=count,
        limit=limit.named("N"),
    )


def _is_in_some_space(end: End, given: Given) -> bool:
    """Whether an end is a breaker of a panel whose space nobody stated."""
    return not end.terminal and given.system.equipment[end.tag].has_positions


def _place(end: End) -> tuple[str, str, int | None]:
    return (end.tag, end.terminal, end.position)
