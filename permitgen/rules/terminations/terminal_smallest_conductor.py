"""A conductor is not smaller than its terminals can hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.larger_conductor import larger_conductors
from permitgen.rules.quantities.described_terminals import has_marked_terminals
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "terminal-smallest-conductor",
    title="A conductor is not smaller than its terminals can hold",
    provision="terminal_capacity",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the size of a circuit's conductors against the smallest its terminals take.

    Requires: size ≥ smallest marked size, at both ends.
    Why: a thin conductor in a big clamp is not held; the joint heats and loosens.
    Applies to: ends of circuits whose terminal states a range; what is missing is asked for by terminal-capacity.
    Example that fails: 10 AWG in a terminal for 8 AWG to 2 AWG.
    Example that passes: 8 AWG in the same terminal.
    """
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    parts = []
    for end in circuit.ends:
        terminal = given.system.terminal_at(end) if has_marked_terminals(given.system, end) else None
        if terminal is not None and terminal.smallest is not None:
            message = f"{circuit.tag}: {size} at {end}, which takes {terminal.smallest} and larger"
            parts.append(require(size >= terminal.smallest, message, remedies=larger_conductors(circuit)))
    if not parts:
        return does_not_apply(f"{circuit.tag}: no terminal at its ends states a smallest size")
    return all_of(f"{circuit.tag}: {size} is not too small for its terminals", parts)
