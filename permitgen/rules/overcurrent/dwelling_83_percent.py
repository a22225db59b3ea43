"""The 83 percent rule: a conductor that carries the whole load of a dwelling may have less ampacity than its device's rating."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.ampacity import dwelling_ampacity_a
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, Verdict, any_of, at_least, at_most, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral, role
from permitgen.rules.quantities.conductor_ampacity import ConductorAmpacity, conductor_ampacity
from permitgen.rules.quantities.dwelling_carried import why_not_one_dwelling
from permitgen.rules.quantities.terminal_rating import is_marked_for_less
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


def judge(circuit: Circuit, given: Given, rating: Value) -> Judgement:
    """Judge ``ampacity ≥ 0.83 × rating`` where the circuit carries the whole dwelling.

    Whether it does is read off the graph: with the conductors taken away, no load of the dwelling may still be reached from the
    utility; loads in other buildings may. A feeder to a backup panel that holds a part of the loads never qualifies. Where nobody says
    what that rests on, conductors too small for the rule are too small all the same.
    """
    provision = given.provision("dwelling_83_percent")
    try:
        reason = _why_not(circuit, given, rating)
    except MissingFactError as unsaid:
        found = _methods(circuit, given, rating)
        return found if found.verdict is Verdict.VIOLATED else not_judged(*unsaid.names, *found.missing).under(provision)
    return does_not_apply(f"{circuit.tag}: {reason}").under(provision) if reason else _methods(circuit, given, rating)


def _methods(circuit: Circuit, given: Given, rating: Value) -> Judgement:
    """Judge the ampacity by the percentage, and the size by the table."""
    provision = given.provision("dwelling_83_percent")
    ampacity = conductor_ampacity(given, circuit)
    smallest = dwelling_ampacity_a.derive(rating_factor=provision.value("rating_factor"), rating_a=rating, provision=provision)
    by_ampacity = require_at_least(
        f"carries {ampacity.final_a.number:.4g} A; {rating.figure} A requires {smallest.number:.4g} A of the whole dwelling's conductors",
        computed=ampacity.final_a,
        limit=smallest,
        method="whole dwelling, 83 percent",
    ).under(provision)
    return any_of("83 percent rule", [by_ampacity, _by_table(circuit, given, rating, ampacity)])


def _why_not(circuit: Circuit, given: Given, rating: Value) -> str:
    """Return why the rule cannot be used here, empty where it can."""
    provision = given.provision("dwelling_83_percent")
    if role(given, circuit) not in (CircuitRole.SERVICE, CircuitRole.FEEDER):
        return "neither service conductors nor a feeder"
    if not (at_least(rating, provision.value("smallest_rating_a")) and at_most(rating, provision.value("largest_rating_a"))):
        return "the rule covers ratings from 100 A to 400 A"
    if circuit.conductors.ungrounded_count != 2 or not _is_usual_system(given):
        return "the rule covers single-phase 120/240 V and two legs of 208Y/120 V"
    return given.once_for_topology(("not the whole dwelling", circuit.tag), lambda: why_not_one_dwelling(given, circuit))


def _is_usual_system(given: Given) -> bool:
    return line_to_neutral(given).number == 120 and line_to_line(given).number in (208, 240)


def _by_table(circuit: Circuit, given: Given, rating: Value, ampacity: ConductorAmpacity) -> Judgement:
    """The table may be used where no run asks for correction or adjustment.

    It stands above the rule for terminals without a mark; terminals marked for 60 °C stay what they are (110.14(C)).
    """
    provision = given.provision("dwelling_83_percent")
    table = given.table("dwelling_service_conductor")
    row = f"{rating.number:g}"
    if is_marked_for_less(given, circuit):
        return does_not_apply("the table of dwelling service conductors is for terminals of 75 °C").under(provision)
    if not provision.flag("table_in_code") or ampacity.has_factors or row not in table.rows or circuit.conductors.sets > 1:
        return does_not_apply("the table of dwelling service conductors does not reach this case").under(provision)
    if any(run.insulation.final_c.number < provision.value("table_from_c").number for run in ampacity.runs):
        return does_not_apply("the table of dwelling service conductors is not for this cable").under(provision)
    smallest = ConductorSize(table.text_at(row, circuit.conductors.material).text)
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    return require(
        size >= smallest,
        f"{size} {circuit.conductors.material}; the table requires {smallest} at {rating.figure} A",
        method="table of dwelling service conductors",
    ).under(provision)
