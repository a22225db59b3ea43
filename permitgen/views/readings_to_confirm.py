"""The disputed readings of the code on which verdicts turn, for the department to answer: each answer, its section, what follows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.local_options import LOCAL_OPTIONS
from permitgen.views.vocabulary import option_words, verdict_word

if TYPE_CHECKING:
    from permitgen.evaluation.disputed_readings import Answer, DecidedByReading
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding

READINGS_TITLE = "Readings to confirm"
READINGS_WORDS = (
    "Sections of the code are read in more than one way, and a check of this set turns on the answer. Mark one answer of each point, sign,"
    " and return this sheet: the answer is printed with the set from then on, and a check that rests on it says who confirmed it."
)
_MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer: its words, what the checks are by it and by which section; ``is_marked`` where it was confirmed."""

    words: str
    outcome: str
    is_marked: bool


@dataclass(frozen=True, slots=True)
class ReadingToConfirm:
    """A disputed point: its number on the sheet, its key, the question, the checks that turn on it, its answers, who confirmed it or empty.

    ``assumed`` says how it is read in this set.
    """

    number: str
    key: str
    question: str
    decides: str
    answers: tuple[AnswerRow, ...]
    assumed: str
    confirmed: str


def readings_to_confirm_of(evaluation: Evaluation) -> tuple[ReadingToConfirm, ...]:
    """Return every disputed point that turns a verdict, in the order of the findings."""
    found: dict[str, list[tuple[Finding, DecidedByReading]]] = {}
    for finding in evaluation.findings:
        for decided in finding.readings:
            found.setdefault(decided.reading, []).append((finding, decided))
    return tuple(_reading(str(number), key, each) for number, (key, each) in enumerate(found.items(), start=1))


def _reading(number: str, key: str, found: list[tuple[Finding, DecidedByReading]]) -> ReadingToConfirm:
    decided = found[0][1]
    names = [f"{finding.title} ({finding.subject})" for finding, _ in found]
    rest = len(names) - _MOST_NAMED
    choices = dict.fromkeys(answer.choice for _, each in found for answer in each.answers)
    order = [choice for choice in LOCAL_OPTIONS[key].choices if choice in choices] or list(choices)
    return ReadingToConfirm(
        number=number,
        key=key,
        question=LOCAL_OPTIONS[key].meaning,
        decides="; ".join(names[:_MOST_NAMED]) + (f"; and {rest} more" if rest > 0 else ""),
        answers=tuple(_row(key, choice, found) for choice in order),
        assumed="" if decided.confirmation is not None else f"Read in this set as: {_words(key, decided.chosen)}",
        confirmed=decided.confirmation.words if decided.confirmation is not None else "",
    )


def _row(key: str, choice: str, found: list[tuple[Finding, DecidedByReading]]) -> AnswerRow:
    told: dict[str, list[str]] = {}
    for finding, decided in found:
        for answer in decided.answers:
            if answer.choice == choice:
                told.setdefault(_outcome(answer), []).append(finding.subject)
    outcome = "; ".join(f"{what}: {', '.join(subjects[:_MOST_NAMED])}" for what, subjects in told.items())
    marked = any(decided.confirmation is not None and decided.confirmation.answer == choice for _, decided in found)
    return AnswerRow(_words(key, choice), outcome, marked)


def _outcome(answer: Answer) -> str:
    return f"{verdict_word(str(answer.verdict))} by {answer.citation}"


def _words(key: str, choice: str) -> str:
    """Return an answer as a person reads it: the words of its own, else as it is written."""
    words = option_words(key, choice)
    return choice or "not stated" if words.startswith(f"{key.replace('_', ' ')}:") else f"{choice}: {words}"
