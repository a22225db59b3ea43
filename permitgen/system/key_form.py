"""What a key of the project file takes for an answer: its meaning, and the form in which somebody who stands there can give it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

AnswerKind = Literal["figure", "choice", "text", "told"]
SURVEY = "survey:"
"""Begins the line of a question of the survey; behind it stands the key of the project file, or what the rules ask."""


def is_of_survey(line: str) -> bool:
    """Whether a line of results answers a question of the survey."""
    return line.startswith(SURVEY)


@dataclass(frozen=True, slots=True)
class KeyForm:
    """The form of one key.

    ``kind``: a ``figure`` with its unit, beside which who states it may stand; one or, where ``takes_several``, several of ``choices``;
    a ``text``; or ``told``, where no single line of the file holds the answer. ``pattern`` is a regular expression that a figure or text
    fits, ``example`` one that does. ``takes_none``: that there is none is an answer.
    """

    kind: AnswerKind
    meaning: str = ""
    example: str = ""
    pattern: str = ""
    choices: tuple[str, ...] = ()
    takes_several: bool = False
    takes_none: bool = False
    has_source: bool = False


TOLD = KeyForm("told")
"""Asked in words and kept in words: a person writes what follows from it."""
