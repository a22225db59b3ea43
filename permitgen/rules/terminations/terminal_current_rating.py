"""The current through a terminal stays within its rating.

Through the terminals of a feeder its device lets pass what it is rated for. A branch circuit and the circuit of a source carry no more
than what hangs on them. Ahead of several service disconnects the calculated load is what flows; service conductors that leave one
terminal side by side count together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, require_at_most
from permitgen.rules.loads.methods import judge_load
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.circuit_current import circuit_current, protecting_rating, role
from permitgen.rules.quantities.described_terminals import has_marked_terminals
from permitgen.rules.quantities.load_capacity import scope_of_all
from permitgen.rules.quantities.pv_current import rated_input_current
from permitgen.rules.quantities.service_disconnects import serving_disconnects
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole, side_in_mode
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Termination
    from permitgen.system.circuit import Circuit, End
    from permitgen.values.value import Value


@rule(
    "terminal-current-rating",
    title="The current through a terminal stays within its rating",
    provision="listed_and_instructed",
    judges="termination",
)
def judge(termination: Termination, given: Given) -> Judgement:
    """Judge the current of one circuit against the rated current of the terminal on which it ends.

    Requires: rating of the circuit's device, for branch circuits and sources also their largest current, for service conductors ahead
        of several disconnects also the calculated load, ≤ rated current of the terminal.
    Why: a lug that carries more than its listing tested loosens and burns.
    Applies to: terminals that state a rated current; the inputs of inverters for PV have a rule of their own.
    Example that fails: a feeder behind 225 A on a lug for 200 A.
    Example that passes: a feeder behind 200 A on the same lug.
    """
    terminal, circuit = termination.terminal, termination.circuit
    if terminal is None or terminal.rating_a is None or not has_marked_terminals(given.system, termination.end):
        return does_not_apply(f"{termination.tag}: no terminal with a rated current")
    if rated_input_current(given, circuit) is not None:
        return does_not_apply(f"{termination.tag}: input of an inverter")
    limit = terminal.rating_a.named("I_term", f"rated current of {termination.end}")
    if role(given, circuit) is CircuitRole.SERVICE:
        return _of_service(given, _leaving_with(given, termination), limit)
    methods = [] if circuit.is_dc else parts_of(lambda: _by_device(circuit, given, limit))
    if role(given, circuit) is not CircuitRole.FEEDER:
        methods += parts_of(lambda: _by_current(circuit, given, limit))
    return any_of(f"{termination.tag}: current within the rating of the terminal", methods)


def _by_device(circuit: Circuit, given: Given, limit: Value) -> Judgement:
    rating = protecting_rating(given, circuit)
    return require_at_most(f"{circuit.tag}: device of {rating.figure} A, terminal of {limit.figure} A", computed=rating, limit=limit)


def _by_current(circuit: Circuit, given: Given, limit: Value) -> Judgement:
    current = circuit_current(given, circuit).maximum_a
    return require_at_most(f"{circuit.tag}: {current.number:.4g} A, terminal of {limit.figure} A", computed=current, limit=limit)


def _of_service(given: Given, circuits: tuple[Circuit, ...], limit: Value) -> Judgement:
    """The disconnects beyond the conductors; of several the ratings together, or the load that they serve."""
    names = " and ".join(circuit.tag for circuit in circuits)
    serving = given.need(serving_disconnects(given, *circuits) or None, f"service disconnect beyond {names}")
    ratings = [given.need(each.device.rating_a, f"rating of {each.link.part}") for each in serving]
    together = one_or_sum_of(ratings, symbol="ΣOCPD", title=f"service disconnects on {names} together")
    message = f"{names}: service disconnects of {together.figure} A, terminal of {limit.figure} A"
    by_devices = require_at_most(message, computed=together, limit=limit)
    scope = scope_of_all(given, circuits)
    if by_devices.holds or len(ratings) == 1 or scope is None:
        return by_devices
    by_load = judge_load(given, scope, limit, f"{names}: calculated load, terminal of {limit.figure} A", behind=names)
    return any_of(f"{names}: service disconnects together, or their load", [by_devices, by_load])


def _leaving_with(given: Given, termination: Termination) -> tuple[Circuit, ...]:
    """Return the service conductors that carry on from one terminal, this circuit among them; the circuit alone where it comes in."""
    circuit, end = termination.circuit, termination.end
    if not _leaves(given, circuit, end):
        return (circuit,)
    there = (given.system.circuits[tag] for tag in given.system.circuits_at[end.tag])
    same = [
        each
        for each in there
        for other in each.ends
        if (other.tag, other.terminal) == (end.tag, end.terminal) and _leaves(given, each, other)
    ]
    return tuple(same)


def _leaves(given: Given, circuit: Circuit, end: End) -> bool:
    """Whether the utility is on the side of a circuit at which this end lies."""
    here = "start" if end is circuit.start else "finish"
    return side_in_mode(given.system, circuit, here, OperatingMode.WITH_UTILITY).has_utility
