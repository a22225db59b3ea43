"""Whether the conditions of a question or part hold with the answers so far."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from permitgen.project.starting.answers import Answer
    from permitgen.project.starting.declarations import Condition

ANSWERED, NOT = "answered", "not"


def all_hold(conditions: Iterable[Condition], answers: Mapping[str, Answer]) -> bool:
    """Return whether every condition holds; a question that is not asked of this house has the answer nothing."""
    return all(holds(condition, answers) for condition in conditions)


def holds(condition: Condition, answers: Mapping[str, Answer]) -> bool:
    """Return whether a condition holds: all of a mapping, or one of several."""
    if isinstance(condition, Mapping):
        return all(_holds_one(key, wanted, answers) for key, wanted in condition.items())
    return any(holds(each, answers) for each in condition)


def _holds_one(key: str, wanted: Any, answers: Mapping[str, Answer]) -> bool:
    if key == NOT:
        return not holds(wanted, answers)
    wanted = [wanted] if isinstance(wanted, str) else wanted
    if key == ANSWERED:
        return all(name in answers and answers[name].is_asked and answers[name].is_known for name in wanted)
    given = answers[key].words if key in answers and answers[key].is_asked else ("",)
    return any(word in wanted for word in given)
