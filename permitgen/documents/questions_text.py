"""Questions as text for a terminal: grouped by who knows, each with how many verdicts it opens and the keys to write."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from permitgen.documents.causes_text import WIDTH, wrapped

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from permitgen.views.questions import AskedFact, Question

_NAMED = 4
_ASK = "ASK"


def question_lines_within(questions: Sequence[Question], room: int) -> list[str]:
    """Return the questions whole, in the fullest form that takes no more than ``room`` lines.

    That is: each with all things and keys; each with its words alone, by who knows; where neither fits, a line for each who knows.
    """
    forms = ([line for question in questions for line in _whole(question)], _by_who_knows(questions, _in_words))
    return next((lines for lines in forms if len(lines) <= room), _by_who_knows(questions, _of_one))


def full_question_lines(questions: Sequence[Question]) -> list[str]:
    """Return each question with a line for each of its facts: as the rules ask for it, the key and the line of its thing."""
    return [line for question in questions for line in _in_full(question)]


def _by_who_knows(questions: Sequence[Question], told: Callable[[str, Sequence[Question]], list[str]]) -> list[str]:
    names = dict.fromkeys(question.knows for question in questions)
    return [line for knows in names for line in told(knows, [question for question in questions if question.knows == knows])]


def _whole(question: Question) -> list[str]:
    head = f"{question.words} ({_opened(question)})"
    keys = _keys(question, named=None)
    return wrapped(f"{head}: {keys}" if keys else head, f"{_ASK} {question.knows}: ")


def _in_words(knows: str, questions: Sequence[Question]) -> list[str]:
    return wrapped("; ".join(f"{question.words} ({_opened(question)})" for question in questions), f"{_ASK} {knows}: ")


def _of_one(knows: str, questions: Sequence[Question]) -> list[str]:
    many = f"{len(questions)} questions" if len(questions) > 1 else "1 question"
    keys = "; ".join(found for question in questions if (found := _keys(question)))
    return [textwrap.shorten(f"{_ASK} {knows}, {many}: {keys}", WIDTH, placeholder=" …")]


def _in_full(question: Question) -> list[str]:
    lines = [f"{_ASK} {question.knows}: {question.words} ({_opened(question)})"]
    for fact in question.facts:
        at = f"   {fact.file}:{fact.line}" if fact.file else ""
        lines.append(f"    {fact.asked}  ({_opened(fact)})" + (f"   {fact.path}{at}" if fact.path else ""))
    return lines


def _opened(asked: Question | AskedFact) -> str:
    """How many verdicts an answer opens, and how many wait for other answers too."""
    parts = [f"opens {asked.opens}"] if asked.opens else []
    parts += [f"{asked.among} with others"] if asked.among else []
    return ", ".join(parts)


def _keys(question: Question, named: int | None = _NAMED) -> str:
    """The things, by section of the file, all or so many of them, and the keys that answer."""
    things: dict[str, dict[str, None]] = {}
    for fact in question.facts:
        if fact.path:
            section, _, tag = fact.thing.partition(".")
            things.setdefault(section, {})[tag] = None
    found = []
    for section, tags in things.items():
        keys = dict.fromkeys(fact.key for fact in question.facts if fact.key and fact.thing.partition(".")[0] == section)
        all_of_it = [tag for tag in tags if tag]
        more = " …" if all_of_it[named or len(all_of_it) :] else ""
        where = f"{section}.{', '.join(all_of_it[:named])}{more}: " if all_of_it else f"{section}: " if section else ""
        found.append(f"{where}{', '.join(keys)}".removesuffix(": "))
    return "; ".join(found)
