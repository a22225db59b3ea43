"""A terminal carries no more current than it is marked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Termination


@rule(
    "terminal-current",
    title="A terminal carries no more current than it is marked for",
    provision="listed_and_instructed",
    judges="termination",
)
def judge(termination: Termination, given: Given) -> Judgement:
    """Judge the current of one circuit against the marked rating of its terminal.

    Requires: current ≤ rating; of a feeder whose load is not stated, what its overcurrent device lets through.
    Why: a lug that is too hot loosens, and then it arcs.
    Applies to: terminals that state a current rating.
    Example that fails: a feeder on a 225 A breaker, its load not stated, on lugs of 200 A.
    Example that passes: a feeder on a 200 A breaker on the same lugs.
    """
    terminal = termination.terminal
    if terminal is None or terminal.rating_a is None:
        return does_not_apply(f"{termination.tag}: the terminal states no current rating")
    current = circuit_current(given, termination.circuit).maximum_a
    rating = terminal.rating_a.named("R", f"rating of the terminal at {termination.end}")
    message = f"{termination.tag}: {current.number:.4g} A on a terminal of {rating.number:g} A"
    return require_at_most(message, computed=current, limit=rating)
