"""What the files of this folder declare: questions by screen, cases and tags of a layout, and the parts that answers write."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

Condition = Mapping[str, Any] | tuple[Mapping[str, Any], ...]
"""Answers with which something holds: all of a mapping, or one of several mappings."""

Tree = str | Mapping[str, Any] | tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """One value that a person gives.

    ``choices`` say what each answer of a question about the layout means; ``reads`` is the way in which what people say in one breath is
    taken apart; ``when`` are the conditions that all have to hold; ``as_many_as`` the question that has to have as many numbers;
    ``units`` those of a number alone, where they are other than those of its field.
    """

    key: str
    asks: str
    why: str
    knows: str
    where: str
    when: tuple[Condition, ...]
    reads: str
    choices: Mapping[str, str]
    apart: tuple[tuple[str, ...], ...]
    as_many_as: str
    units: tuple[str, ...]
    is_required: bool
    is_later: bool

    @property
    def found(self) -> str:
        """Where the answer is read, and who can."""
        return f"{self.where} ({self.knows})"

    @property
    def can_be_left_open(self) -> bool:
        """Whether *I do not know* is an answer: the layout of the house is not laid out without one."""
        return not self.is_required and (self.is_later or not self.choices)


@dataclass(frozen=True, slots=True)
class Screen:
    """What one person reads at one place."""

    title: str
    questions: tuple[Question, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the project file; ``cases`` is how its conditions are called, ``each`` the question whose numbers repeat it."""

    cases: tuple[str, ...]
    when: tuple[Condition, ...]
    each: str
    writes: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Refused:
    """A layout that is not written, and why; ``unasked`` is the question whose answer such a house has no use for, none for most."""

    when: Mapping[str, Any]
    says: str
    unasked: str


@cache
def screens() -> tuple[Screen, ...]:
    """Return the screens in the order in which they are shown."""
    return tuple(
        Screen(screen["screen"], tuple(_question(asked, _when(screen)) for asked in screen["questions"]))
        for screen in _read("questions.yaml")
    )


@cache
def questions() -> Mapping[str, Question]:
    """Return every question by its key, in the order in which they are asked."""
    return {question.key: question for screen in screens() for question in screen.questions}


@cache
def parts() -> tuple[Part, ...]:
    """Return the parts in the order in which they are laid together."""
    return tuple(Part(_called(part.get("when")), _when(part), part.get("each", ""), part["writes"]) for part in _read("parts.yaml"))


@cache
def tags() -> Mapping[str, tuple[tuple[tuple[Condition, ...], str], ...]]:
    """Return by name of a tag what it is, the first whose conditions hold."""
    return {name: tuple((_when(row), row["is"]) for row in rows) for name, rows in _read("layout.yaml")["tags"].items()}


@cache
def refused() -> tuple[Refused, ...]:
    """Return the layouts that are not written."""
    return tuple(Refused(row["when"], row["says"], row.get("unasked", "")) for row in _read("layout.yaml")["refused"])


def _question(asked: Mapping[str, Any], of_the_screen: tuple[Condition, ...]) -> Question:
    return Question(
        asked["key"],
        asked["asks"],
        asked["why"],
        asked["knows"],
        asked["where"],
        (*of_the_screen, *_when(asked)),
        asked.get("reads", ""),
        asked.get("choices", {}),
        tuple(tuple(row) for row in asked.get("apart", ())),
        asked.get("as_many_as", ""),
        tuple(asked.get("units", ())),
        "required" in asked,
        "later" in asked,
    )


def _when(row: Mapping[str, Any]) -> tuple[Condition, ...]:
    told = row.get("when", {})
    cases = _read("layout.yaml")["cases"]
    named = [told] if isinstance(told, str | dict) else told
    return tuple(_condition(cases[each] if isinstance(each, str) else each) for each in named)


def _condition(told: Any) -> Condition:
    return tuple(told) if isinstance(told, list) else told


def _called(told: Any) -> tuple[str, ...]:
    return (told,) if isinstance(told, str) else tuple(told or ())


@cache
def _read(name: str) -> Any:
    """Read a file of this folder; every scalar is text, as in a project file."""
    return yaml.load(files("permitgen.project.starting").joinpath(name).read_text("utf-8"), Loader=yaml.BaseLoader)  # noqa: S506
