"""What fits the answers so far: a choice that the layout could not be written with is not offered, and a wrong answer is told at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from permitgen.project.starting.answers import Answer
from permitgen.project.starting.conditions import ANSWERED, NOT, holds
from permitgen.project.starting.declarations import Question, Refused, questions, refused

Answers = Mapping[str, Answer]


def messages_at(question: Question, answer: Answer, answers: Answers) -> Iterator[str]:
    """Yield why an answer does not go with those to the questions before it."""
    together = {**answers, question.key: answer}
    for each in _decided_at(question):
        if holds(each.when, together):
            yield each.says
    yield from messages_of_number(question, answer, answers)


def messages_of_number(question: Question, answer: Answer, answers: Answers) -> Iterator[str]:
    """Yield that an answer has more or fewer numbers than the one that it goes with."""
    other = question.as_many_as
    if answer.is_known and other in answers and answers[other].is_asked and len(answer.parts) != (wanted := len(answers[other].parts)):
        yield f"{len(answer.parts)} in a row; expected {wanted}, as {other} has"


def choices_left(question: Question, answers: Answers) -> dict[str, str]:
    """Return the choices that go with the answers so far, each with its meaning."""
    return {
        choice: meaning
        for choice, meaning in question.choices.items()
        if not any(messages_at(question, Answer(choice, words=(choice,)), answers))
    }


def only_choice(question: Question, answers: Answers) -> str | None:
    """Return the choice that follows from the answers so far, because no other goes with them; None where there is something to choose."""
    left = choices_left(question, answers) if len(question.choices) > 1 and question.reads != "several" else {}
    return next(iter(left)) if len(left) == 1 else None


def _decided_at(question: Question) -> Iterator[Refused]:
    """Yield the refusals whose last answer is that of the question."""
    order = list(questions())
    for each in refused():
        if not each.unasked and max(_asked_of(each.when), key=order.index) == question.key:
            yield each


def _asked_of(condition: Any) -> Iterator[str]:
    for key, wanted in condition.items():
        if key == NOT:
            yield from _asked_of(wanted)
        elif key == ANSWERED:
            yield from [wanted] if isinstance(wanted, str) else wanted
        else:
            yield key
