"""A feeder carries the calculated load behind it, by one of the permitted methods.

Only its loads count here; what sources add on the feeder is judged with the rules for sources on feeders.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged
from permitgen.rules.loads.methods import judge_methods
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.load_capacity import feeder_limit, feeder_scope
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "feeder-capacity",
    title="A feeder carries the calculated load behind it, by one of the permitted methods",
    provision="feeder_conductor_after_factors",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the calculated load behind a feeder against its device and conductors.

    Requires: calculated load ≤ rating of the feeder's device and ampacity of its conductors, by one of the methods.
    Why: a backup panel collects more circuits than its feeder was made for.
    Applies to: feeders to panels with loads.
    Example that fails: 8 kW range, 5 kW dryer and 12 kW of heat on a 100 A feeder.
    Example that passes: the same feeder without the heat.
    """
    if role(given, circuit) is not CircuitRole.FEEDER:
        return does_not_apply(f"{circuit.tag}: not a feeder")
    scope = feeder_scope(given, circuit)
    if scope is None:
        return does_not_apply(f"{circuit.tag}: the utility does not feed it")
    if scope.is_empty:
        return not_judged(f"loads behind {circuit.tag}")
    limit = feeder_limit(given, circuit)
    return any_of(f"{circuit.tag}: calculated load behind the feeder", judge_methods(given, scope, limit))
