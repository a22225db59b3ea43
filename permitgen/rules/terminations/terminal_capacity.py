"""A terminal takes no larger conductor, no other material and no finer strands than it is marked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.described_terminals import has_marked_terminals
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Termination
    from permitgen.system.terminal import Terminal


@rule(
    "terminal-capacity",
    title="A terminal takes no larger conductor, no other material and no finer strands than it is marked for",
    provision="terminal_capacity",
    judges="termination",
)
def judge(termination: Termination, given: Given) -> Judgement:
    """Judge the conductors of one circuit on one terminal.

    Requires: size not above the marked range, material among the marks, fine strands only where the terminal is made for them.
    Why: a conductor forced into a clamp loses strands; aluminum under a copper-only screw creeps until it burns.
    Applies to: ends of circuits on equipment with terminals; splices in boxes are another matter.
    Example that fails: 4/0 aluminum under a lug for 6 AWG to 2/0.
    Example that passes: 2/0 aluminum under the same lug, marked for copper and aluminum.
    """
    if not has_marked_terminals(given.system, termination.end):
        return does_not_apply(f"{termination.tag}: no terminal of its own")
    terminal = given.need(termination.terminal, f"terminal at {termination.end}")
    parts = [*parts_of(lambda: _size(termination, given, terminal)), _material(termination, terminal), _strands(termination, terminal)]
    return all_of(
        f"{termination.tag}: the terminal takes {termination.circuit.conductors.size} {termination.circuit.conductors.material}", parts
    )


def _size(termination: Termination, given: Given, terminal: Terminal) -> Judgement:
    size = given.need(termination.circuit.conductors.size, f"conductor size of {termination.circuit.tag}")
    if terminal.largest is None:
        return not_judged(f"range of conductor sizes at {termination.end}")
    return require(size <= terminal.largest, f"{termination.tag}: {size} on a terminal for {terminal.smallest} to {terminal.largest}")


def _material(termination: Termination, terminal: Terminal) -> Judgement:
    material = termination.circuit.conductors.material
    if not terminal.materials:
        return not_judged(f"material marks of the terminal at {termination.end}")
    marks = " and ".join(sorted(terminal.materials))
    return require(material in terminal.materials, f"{termination.tag}: {material} on a terminal marked for {marks}")


def _strands(termination: Termination, terminal: Terminal) -> Judgement:
    if not termination.circuit.conductors.fine_stranded:
        return does_not_apply("building wire, not fine-stranded")
    return require(
        terminal.fine_stranded,
        f"{termination.tag}: fine-stranded conductor on a terminal {'made' if terminal.fine_stranded else 'not made'} for it",
        missing=f"whether the terminal at {termination.end} takes fine-stranded conductors",
    )
