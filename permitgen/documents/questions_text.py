"""Questions as text for a terminal: grouped by who knows, each with how many verdicts it opens and the keys to write."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from permitgen.documents.causes_text import WIDTH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.questions import AskedFact, Question

_NAMED = 4
_ASK = "ASK"


def question_lines(questions: Sequence[Question]) -> list[str]:
    """Return one line for each question: who knows, what is asked, how many verdicts wait for it, the keys to write."""
    return [_short(question) for question in questions]


def brief_question_lines(questions: Sequence[Question]) -> list[str]:
    """Return a line for each who knows, with the keys to write."""
    return [_of_one(knows, [q for q in questions if q.knows == knows]) for knows in dict.fromkeys(q.knows for q in questions)]


def full_question_lines(questions: Sequence[Question]) -> list[str]:
    """Return each question with a line for each of its facts: as the rules ask for it, the key and the line of its thing."""
    return [line for question in questions for line in _in_full(question)]


def _of_one(knows: str, questions: Sequence[Question]) -> str:
    many = f"{len(questions)} questions" if len(questions) > 1 else "1 question"
    keys = "; ".join(found for question in questions if (found := _keys(question)))
    return textwrap.shorten(f"{_ASK} {knows}, {many}: {keys}", WIDTH, placeholder=" …")


def _short(question: Question) -> str:
    head = f"{_ASK} {question.knows}: {question.words} ({_opened(question)})"
    keys = _keys(question)
    return textwrap.shorten(f"{head}: {keys}" if keys else head, WIDTH, placeholder=" …")


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


def _keys(question: Question) -> str:
    """The things, by section of the file, and the keys that answer."""
    things: dict[str, dict[str, None]] = {}
    for fact in question.facts:
        if fact.path:
            section, _, tag = fact.thing.partition(".")
            things.setdefault(section, {})[tag] = None
    found = []
    for section, tags in things.items():
        keys = dict.fromkeys(fact.key for fact in question.facts if fact.path and fact.thing.partition(".")[0] == section)
        named = [tag for tag in tags if tag]
        more = " …" if len(named) > _NAMED else ""
        where = f"{section}.{', '.join(named[:_NAMED])}{more}: " if named else f"{section}: " if section else ""
        found.append(f"{where}{', '.join(keys)}")
    return "; ".join(found)
