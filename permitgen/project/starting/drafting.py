"""Lays the parts of a project file together that the answers call for; every value knows what it rests on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Any

from permitgen.project.fields import NONE, UNKNOWN, read_words
from permitgen.project.run_place import ROOF
from permitgen.project.starting.answers import Answer
from permitgen.project.starting.conditions import all_hold
from permitgen.project.starting.declarations import Part, Question, parts, questions, tags
from permitgen.project.starting.written_fields import fields_of

_TAG = re.compile("<([A-Z_]+)>")
_ANSWER_WITHIN = re.compile(r"<([a-z_]+)(?:\.([0-9]+))?>")
_WITH_ITS_SOURCE = "its source stands with it"
_ANSWER, _CHOSEN_BY_PROGRAM = "=", ""
_TYPICAL, _OPEN = "typical:", "open:"
_COLUMNS_OF_SPACES = 4
# Things rather than values: a place that nobody knows is left out whole.
_LEFT_OUT = ("place", "setback", "places of others", "layouts")
_NOBODY = Answer(is_known=False)


class Mark(Enum):
    """What a value of the new file rests on."""

    FOLLOWS = "follows from the layout"
    STATED = "stated"
    TYPICAL = "typical"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Leaf:
    """One value. ``text`` is what the file says, None where the key is left out.

    ``question`` is the one that it answers, ``says`` the words of its comment, ``knows`` who can answer what is open.
    """

    text: Any
    mark: Mark
    says: str = ""
    question: str = ""
    knows: str = ""


@dataclass(slots=True)
class Branch:
    """A mapping of the file, and the cases for which it is there."""

    below: dict[str, Branch | Leaf] = field(default_factory=dict)
    cases: dict[str, None] = field(default_factory=dict)


def draft(answers: Mapping[str, Answer]) -> Branch:
    """Return the file that follows from the answers."""
    top = Branch()
    for part in parts():
        if all_hold(part.when, answers):
            for index in _repeats(part, answers):
                _lay(part.writes, top, _Filling(answers, index), part.cases)
    _take_away_heights(top)
    _take_away_empty(top)
    return top


def leaves(branch: Branch, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Leaf]]:
    """Yield every value of a draft with its path."""
    for key, below in branch.below.items():
        if isinstance(below, Leaf):
            yield (*path, key), below
        else:
            yield from leaves(below, (*path, key))


@dataclass(frozen=True, slots=True)
class _Filling:
    """What stands in for placeholders; ``index`` counts the repeats of a part from 1, 0 where it is not repeated."""

    answers: Mapping[str, Answer]
    index: int

    def text(self, written: str) -> str:
        """Return a text of a part with its placeholders filled in."""
        if self.index:
            row, column = divmod(self.index - 1, 2)
            counted = {
                "<n>": str(self.index),
                "<letter>": chr(ord("A") + self.index - 1),
                "<place>": str(_COLUMNS_OF_SPACES * row + column + 1),
            }
            for mark, stands_for in counted.items():
                written = written.replace(mark, stands_for)
        written = _TAG.sub(lambda found: self._tag(found[1]), written)
        return _ANSWER_WITHIN.sub(lambda found: self._answer(found[1], found[2]), written)

    def _tag(self, name: str) -> str:
        return next(stands_for for conditions, stands_for in tags()[name] if all_hold(conditions, self.answers))

    def _answer(self, key: str, part: str | None) -> str:
        answer = self.answers[key]
        return str(answer.value if part is None else answer.parts[part])


def _repeats(part: Part, answers: Mapping[str, Answer]) -> range:
    return range(1, len(answers[part.each].parts) + 1) if part.each else range(1)


def _lay(written: Mapping[str, Any], onto: Branch, fill: _Filling, cases: tuple[str, ...]) -> None:
    for name, value in written.items():
        key = fill.text(name)
        if isinstance(value, Mapping):
            below = onto.below.get(key)
            if not isinstance(below, Branch):
                below = onto.below[key] = Branch()
            below.cases |= dict.fromkeys(cases)
            without = _without_device(value, fill)
            if without is None:
                _lay(value, below, fill, cases)
            else:
                onto.below[key] = without
        elif isinstance(value, list):
            onto.below[key] = Leaf([fill.text(each) for each in value], Mark.FOLLOWS)
        elif (leaf := _at_an_open_space(value, fill) or _leaf(fill.text(value), fill.answers)) is not None:
            _put(leaf, key, onto)


def _at_an_open_space(value: str, fill: _Filling) -> Leaf | None:
    """Return the panel alone for an end in a space of it that nobody knows yet."""
    panel, _, within = value.partition(".")
    found = _ANSWER_WITHIN.fullmatch(within)
    question = None if found is None else questions().get(found[1])
    if question is None or question.reads != "space":
        return None
    if fill.answers.get(question.key, _NOBODY).is_known:
        return None
    panel = fill.text(panel)
    return Leaf(panel, Mark.OPEN, f"its space, as {panel}.37; {question.where}", question.key, question.knows)


def _put(leaf: Leaf, key: str, onto: Branch) -> None:
    """Put a value at its key; a mapping that is an answer lays itself beside what the layout says of the same thing."""
    if isinstance(leaf.text, Mapping) and leaf.says != _WITH_ITS_SOURCE:
        below = onto.below.setdefault(key, Branch())
        if isinstance(below, Branch):
            below.below |= {name: replace(leaf, text=value) for name, value in leaf.text.items()}
    elif not isinstance(onto.below.get(key), Branch):
        onto.below[key] = leaf


def _without_device(value: Mapping[str, Any], fill: _Filling) -> Leaf | None:
    """Return *none* for a device of which the answer says that there is none."""
    asked = value.get("rating", "")
    name, _, part = asked.removeprefix(_ANSWER).partition(".") if isinstance(asked, str) else ("", "", "")
    is_none = part == "rating" and fill.answers.get(name, _NOBODY).value == NONE
    return Leaf(NONE, Mark.STATED, questions()[name].where, name) if is_none else None


def _leaf(text: str, answers: Mapping[str, Answer]) -> Leaf | None:
    """Return the value that a text of a part stands for; None where its question is not one of this house and nobody answered it."""
    if text.startswith(_TYPICAL):
        return Leaf(text.removeprefix(_TYPICAL), Mark.TYPICAL, "a name, change it as you like")
    if text.startswith(_OPEN):
        return Leaf(UNKNOWN, Mark.OPEN, knows=text.removeprefix(_OPEN))
    if not text.startswith(_ANSWER):
        return Leaf(text, Mark.FOLLOWS)
    name, _, part = text.removeprefix(_ANSWER).partition(".")
    is_of_this_house = name in answers or all_hold(questions()[name].when, answers)
    return _answered(questions()[name], answers.get(name, _NOBODY), part) if is_of_this_house else None


def _answered(question: Question, answer: Answer, part: str) -> Leaf | None:
    if part and answer.is_known and part not in answer.parts:
        return None
    value = answer.parts[part] if part and answer.is_known else answer.value
    if value == UNKNOWN:
        return _open(question, answer)
    if value == _CHOSEN_BY_PROGRAM:
        return Leaf(None, Mark.STATED, "size: the program chooses it", question.key)
    return Leaf(value, Mark.STATED, _WITH_ITS_SOURCE if _names_sources(value) else question.where, question.key)


def _names_sources(value: Any) -> bool:
    """Whether an answer is a figure with who states it: a figure begins with a digit or sign, a key with a letter."""
    return isinstance(value, Mapping) and not any(key[:1].isalpha() for key in value)


def _open(question: Question, answer: Answer) -> Leaf:
    """A fact that nobody knows: ``unknown`` where the file may say so, else the key is left out. A claim is told beside it."""
    says = question.where
    if answer.claim:
        says = f"{question.where}; {answer.speaker} claims {answer.claim}, which is no fact until it is read there"
    takes = question.reads not in _LEFT_OUT and all(written.takes_unknown for written in fields_of(question.key))
    return Leaf(UNKNOWN if takes else None, Mark.OPEN, says, question.key, question.knows)


def _take_away_heights(top: Branch) -> None:
    """Take the height above the roof from the runs that do not pass one: it is told once, for those that do."""
    raceways = top.below.get("raceways", Branch())
    for run in raceways.below.values() if isinstance(raceways, Branch) else ():
        if isinstance(run, Branch):
            place = run.below.get("place")
            if not isinstance(place, Leaf) or ROOF not in read_words(place.text):
                run.below.pop("above_roof", None)


def _take_away_empty(branch: Branch) -> None:
    for key, below in list(branch.below.items()):
        if isinstance(below, Branch):
            _take_away_empty(below)
            if not below.below:
                del branch.below[key]
