"""The neutral carries the largest unbalance that the load calculation gives.

General loads and 70 percent of ranges and dryers between the lines, and the heavier leg of the 120 V loads at 120 V; besides, the
neutral has a smallest size as fault path, which is judged with grounding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_least
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_ampacity import in_parallel
from permitgen.rules.quantities.load_capacity import feeder_scope
from permitgen.rules.quantities.load_neutral import neutral_load
from permitgen.rules.quantities.terminal_rating import terminal_rating_c
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "neutral-load",
    title="The neutral carries the largest unbalance that the load calculation gives",
    provision="neutral_load",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the ampacity of a neutral against the calculated unbalance.

    Requires: ampacity of the neutral at its terminals ≥ largest load between the neutral and one line.
    Why: the neutral has no device of its own and would overheat unseen.
    Applies to: service conductors and feeders with a neutral, where the loads behind them are listed.
    Example that fails: 8 AWG copper neutral of a service with 60.6 A of neutral load at 60 °C terminals, 40 A.
    Example that passes: 4 AWG copper neutral, 70 A.
    """
    conductors = circuit.conductors
    if role(given, circuit) not in (CircuitRole.SERVICE, CircuitRole.FEEDER) or not conductors.has_neutral:
        return does_not_apply(f"{circuit.tag}: not a service or feeder with a neutral")
    scope = feeder_scope(given, circuit)
    if scope is None:
        return does_not_apply(f"{circuit.tag}: the utility does not feed it")
    if scope.known:
        behind = ", ".join(known.tag for known in scope.known)
        return not_judged(f"neutral load behind {behind}, whose load is known as one figure")
    if not scope.loads:
        return does_not_apply(f"{circuit.tag}: no loads are listed behind it")
    current = neutral_load(given, scope)
    size = conductors.neutral_size or given.need(conductors.size, f"conductor size of {circuit.tag}")
    terminal = terminal_rating_c(given, circuit)
    column = f"{conductors.material}_{terminal.number:.0f}c"
    each = given.table("conductor_ampacity").at(size, column).named("A_N", f"ampacity of the neutral, {size}")
    ampacity = in_parallel(circuit, each)
    return require_at_least(
        f"{circuit.tag}: {size} {conductors.material} neutral carries {ampacity.figure} A, neutral load {current.number:.4g} A",
        computed=ampacity,
        limit=current,
    )
