"""Conductors carry the current before factors at their terminals and after factors along every run.

Two paths, both of which must hold: the ampacity in the column of the terminals, without factors, is at least the required
current (125 percent of continuous load); the ampacity of the insulation, after factors, is at least the maximum current. 125
percent is never taken against the corrected ampacity, and factors are never applied to the terminals' column.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.larger_conductor import larger_conductors
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, current_of_sources_behind
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity, terminal_ampacity
from permitgen.rules.quantities.terminal_rating import mark_words
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.circuit_current import CircuitCurrent
    from permitgen.system.circuit import Circuit


@rule(
    "conductor-ampacity",
    title="Conductors carry the current before factors at their terminals and after factors along every run",
    provision="ampacity_method",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the two paths of one circuit.

    Requires: ampacity at the terminals ≥ required current, and ampacity after factors ≥ maximum current.
    Why: a conductor that is right at its terminals can overheat where it is hot or crowded, and the other way round.
    Applies to: every circuit, a feeder of no stated load by the sources behind it; service and main feeders of a dwelling have a rule of
        their own that may stand in for it.
    Example that fails: 40 A required on 10 AWG copper, 35 A at 75 °C.
    Example that passes: 40 A required on 8 AWG copper, 50 A at 75 °C.
    """
    current = circuit_current(given, circuit)
    if current.is_of_device:
        return _of_sources_behind(circuit, current, given)
    return _both_paths(circuit, current, given, "carries its current")


def _of_sources_behind(circuit: Circuit, current: CircuitCurrent, given: Given) -> Judgement:
    """The load is not stated, and the device decides for it; what the sources behind a feeder send back is known."""
    behind = current_of_sources_behind(given, circuit, "source_conductors") if current.role is CircuitRole.FEEDER else None
    if behind is None:
        return does_not_apply(f"{circuit.tag}: its load is not stated, so its overcurrent device decides (see conductor-protection)")
    return _both_paths(circuit, behind, given, "carries the output of the sources behind it; for its load its overcurrent device decides")


def _both_paths(circuit: Circuit, current: CircuitCurrent, given: Given, words: str) -> Judgement:
    parts = parts_of(lambda: _at_terminals(circuit, current, given), lambda: _after_factors(circuit, current, given))
    return all_of(f"{_conductor(circuit)} {words}", parts)


def _conductor(circuit: Circuit) -> str:
    return f"{circuit.tag}: {circuit.conductors.size} {circuit.conductors.material}"


def _at_terminals(circuit: Circuit, current: CircuitCurrent, given: Given) -> Judgement:
    terminals = terminal_ampacity(given, circuit)
    held = terminals.held_by
    column = f"{terminals.column_c.number:.0f} °C"
    place = f"at its {column} terminals{mark_words(terminals.column_c)}" if held is None else f"in the {column} column of {held.name}"
    provision = given.provision(current.provision)
    found = require_at_least(
        f"{_conductor(circuit)} carries {terminals.ampacity_a.figure} A {place}, {current.required_a.number:.4g} A required",
        computed=terminals.ampacity_a,
        limit=current.required_a,
        method="at the terminals",
        remedies=larger_conductors(circuit),
    ).under(provision)
    if held is None or not held.limited_by:
        return found
    return replace(found, section=f"{given.provision(held.limited_by).section}, {provision.section}")


def _after_factors(circuit: Circuit, current: CircuitCurrent, given: Given) -> Judgement:
    ampacity = conductor_ampacity(given, circuit)
    return require_at_least(
        f"{_conductor(circuit)} carries {ampacity.corrected_a.number:.4g} A after factors, {current.maximum_a.number:.4g} A flow",
        computed=ampacity.corrected_a,
        limit=current.maximum_a,
        method="after factors",
        remedies=larger_conductors(circuit),
    ).under(given.provision(current.provision))
