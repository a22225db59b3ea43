"""A feeder carries the calculated load behind it, by one of the permitted methods.

Only its loads count here; what sources add on the feeder is judged with the rules for sources on feeders.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged
from permitgen.rules.loads.methods import judge_methods
from permitgen.rules.quantities.circuit_current import protecting_rating, role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.load_scope import LoadScope, scope_on
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole, side_in_mode
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


@rule("feeder-capacity", provision="feeder_conductor_after_factors", judges="circuit")
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
    if not scope.loads:
        return not_judged(f"loads behind {circuit.tag}")
    limit = feeder_limit(given, circuit)
    return any_of(f"{circuit.tag}: calculated load behind the feeder", judge_methods(given, scope, limit))


def feeder_scope(given: Given, circuit: Circuit) -> LoadScope | None:
    """Return the loads on the side of the circuit away from the utility, None where the utility is on neither side.

    Raises:
        MissingFactError: the power of a load is not stated.
    """
    sides = [side_in_mode(given.system, circuit, end, OperatingMode.WITH_UTILITY) for end in ("start", "finish")]
    away = [side for side in sides if not side.has_utility]
    if len(away) != 1:
        return None
    return scope_on(given, away[0].nodes, f"the loads behind {circuit.tag}")


def feeder_limit(given: Given, circuit: Circuit) -> Value:
    """Return the smaller of the feeder's device and the ampacity of its conductors, A.

    Raises:
        MissingFactError: the rating, or what the ampacity rests on, is not stated.
    """
    rating = protecting_rating(given, circuit)
    ampacity = conductor_ampacity(given, circuit).final_a
    number = min(rating.number, ampacity.number)
    return selected(number, "a", by="smaller of", inputs=(rating, ampacity), symbol="I_feeder", title=f"capacity of {circuit.tag}")
