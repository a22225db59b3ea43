"""The methods of load calculation judged against the same capacity; one that fits suffices."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, any_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.load_methods import LoadMethod, load_methods

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.values.value import Value


def judge_methods(given: Given, scope: LoadScope, limit: Value) -> list[Judgement]:
    """Judge the load behind ``scope`` against ``limit`` (A) by every method; those that do not apply say why."""
    return [_judge(method, given, limit) for method in load_methods(given, scope, limit)]


def judge_load(given: Given, scope: LoadScope, limit: Value, message: str, *, behind: str) -> Judgement:
    """Judge by any method, for a part of the installation that may hold a whole dwelling.

    A load that fits is not judged where no floor area and no listed load says what lighting and receptacles are behind the equipment or
    circuit ``behind``.
    """
    found = any_of(message, judge_methods(given, scope, limit))
    if found.verdict is Verdict.PASSES and not (scope.known or scope.dwellings or scope.of("general")):
        return not_judged(f"lighting and receptacle loads behind {behind}, as loads of the category general")
    return found


def _judge(method: LoadMethod, given: Given, limit: Value) -> Judgement:
    provision = given.provision(method.provision)
    if method.barred:
        return replace(does_not_apply(method.barred), method=method.name).under(provision)
    if method.calculation is None:
        return replace(not_judged(*method.missing), method=method.name).under(provision)
    current = method.calculation.current_a
    message = f"{current.number:.4g} A by the {method.name}, {limit.figure} A available"
    found = require_at_most(message, computed=current, limit=limit, method=method.name).under(provision)
    if method.caution and found.verdict is Verdict.PASSES:
        return replace(found, verdict=Verdict.CAUTION, message=f"{message}; {method.caution}")
    return found
