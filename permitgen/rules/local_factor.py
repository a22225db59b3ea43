"""A judgement by an ordinance that multiplies what a rule computes, or its limit, before the two are compared."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, any_of, at_least, at_most, not_judged
from permitgen.values.equation import multiple_of

if TYPE_CHECKING:
    from permitgen.values.value import Value

_COMPARED = {"≤": at_most, "≥": at_least}
_JUDGED = (Verdict.PASSES, Verdict.VIOLATED, Verdict.CAUTION)


def compares(judgement: Judgement) -> bool:
    """Whether a judgement, or a part of it, compares two numbers that a factor can multiply."""
    return any(each.computed is not None and each.limit is not None and each.relation in _COMPARED for each in judgement.nested())


def with_factors(judgement: Judgement, on_computed: Value, on_limit: Value) -> Judgement:
    """Return the judgement with its numbers multiplied and compared again, ways and parts made one as the rule does."""
    if judgement.parts and judgement.combined:
        parts = [with_factors(part, on_computed, on_limit) for part in judgement.parts]
        again = any_of(judgement.message, parts) if judgement.combined == "any" else all_of(judgement.message, parts)
        kept = judgement.message if again.verdict is judgement.verdict else again.message
        return replace(again, message=kept, section=judgement.section, provision=judgement.provision, remedies=judgement.remedies)
    if judgement.computed is None or judgement.limit is None or judgement.relation not in _COMPARED or judgement.verdict not in _JUDGED:
        return judgement
    holds = _COMPARED[judgement.relation]
    if holds(judgement.computed, judgement.limit) != (judgement.verdict is Verdict.PASSES):
        return replace(not_judged(f"how the factor of {on_limit.origin} counts here: {judgement.message}"), parts=(judgement,))
    computed, limit = _times(judgement.computed, on_computed), _times(judgement.limit, on_limit)
    verdict = Verdict.PASSES if holds(computed, limit) else _failed(judgement)
    told = [f"{value.title or side} × {k.figure}" for value, k, side in _changed(judgement, on_computed, on_limit)]
    message = f"{judgement.message}; {' and '.join(told)} by {on_limit.origin}"
    return replace(judgement, verdict=verdict, message=message, computed=computed, limit=limit)


def _times(value: Value, factor: Value) -> Value:
    return value if factor.number == 1.0 else multiple_of(value, factor)


def _changed(judgement: Judgement, on_computed: Value, on_limit: Value) -> list[tuple[Value, Value, str]]:
    sides = ((judgement.computed, on_computed, "what is computed"), (judgement.limit, on_limit, "the limit"))
    return [(value, factor, side) for value, factor, side in sides if value is not None and factor.number != 1.0]


def _failed(judgement: Judgement) -> Verdict:
    return Verdict.VIOLATED if judgement.verdict is Verdict.PASSES else judgement.verdict
