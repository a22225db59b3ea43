"""Answers that do not shape the house: a technician has the fact, and it is kept; none of them changes how the house is laid out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from permitgen.project.starting.answers import Answer
from permitgen.project.starting.conditions import ANSWERED, holds
from permitgen.project.starting.declarations import Condition, parts, questions
from permitgen.project.starting.drafting import Branch, leaves
from permitgen.project.starting.written_fields import fields_of


@dataclass(frozen=True, slots=True)
class NotAsked:
    """An answer that this house is not asked for, or whose part is not laid out: why, and whether the file has a place for it.

    What the file has no place for stands in it as a remark.
    """

    key: str
    value: Any
    why: str
    is_in_the_file: bool


def answers_not_asked(answers: Mapping[str, Answer], file: Branch) -> tuple[NotAsked, ...]:
    """Return the answers that this house is not asked for, or that nothing of the file holds, in the order of the questions.

    An answer that says how often a part is written stands in the file as that many parts.
    """
    written = {leaf.question for _, leaf in leaves(file)}
    counted = {part.each for part in parts()}
    return tuple(
        NotAsked(key, _as_given(answer), _why(key, answers), key in written)
        for key, answer in answers.items()
        if not answer.is_asked or (answer.is_known and key not in written | counted and bool(fields_of(key)))
    )


def _as_given(answer: Answer) -> Any:
    return f"claim {answer.claim} by {answer.speaker}" if answer.claim else answer.value


def _why(key: str, answers: Mapping[str, Answer]) -> str:
    question = questions()[key]
    conditions: Iterable[Condition] = question.when
    if answers[key].is_asked:
        conditions = [condition for part in parts() if f"={key}" in str(part.writes) for condition in part.when]
    told = (each for condition in conditions if not holds(condition, answers) for each in _missing(condition, answers))
    return " and ".join(dict.fromkeys(told)) or "the other answers do not lead there"


def _missing(condition: Condition, answers: Mapping[str, Answer]) -> Iterator[str]:
    for each in (condition,) if isinstance(condition, Mapping) else condition:
        for key, wanted in each.items():
            if key == ANSWERED:
                names = [wanted] if isinstance(wanted, str) else wanted
                yield from (f"{name} is open" for name in names if not holds({key: name}, answers))
            elif key in answers and answers[key].is_asked:
                yield f"{key} is {', '.join(answers[key].words) or 'unknown'}"
