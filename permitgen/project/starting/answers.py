"""Reads one answer: as the project file would read it, with what people say in one breath taken apart."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from permitgen.project import quantities
from permitgen.project.fields import NONE, UNKNOWN, no_answers
from permitgen.project.starting.declarations import Question
from permitgen.project.starting.meant import as_meant
from permitgen.project.starting.several_answers import AS_LAYOUT, BESIDE, layout_of, parts_of
from permitgen.project.starting.written_fields import WrittenField, fields_of
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.reading.reader import read_text

_CLAIM = re.compile(r"claim (?P<value>.+) by (?P<speaker>.+)", re.IGNORECASE | re.DOTALL)
_I_DO_NOT_KNOW = frozenset({UNKNOWN, "i don't know", "don't know", "?"})
_WALL = re.compile(r"(?P<wall>[^,:]+), *(?P<distance>[^,]+?) from (?:the )?(?P<corner>[a-z]+ corner)", re.IGNORECASE)
_IN_WORDS = re.compile(r"(?P<where>outdoors|indoors|on the array) *[:,] *(?P<words>.+)", re.IGNORECASE | re.DOTALL)
_METAL = re.compile(r"(?P<size>.+?) *,? +(?P<metal>copper|cu|aluminum|al)", re.IGNORECASE)
_FROM_LINE = re.compile(r"(left|right|front|back) (.+)", re.IGNORECASE)
# Without a colon: the same words stand in a file of answers without quotes.
WRITTEN_AS = {
    "place": "wall and distance, as house right, 7 ft from front corner (with inside behind the wall where it hangs inside), or outdoors, "
    "indoors or on the array and words, as indoors, garage by the house door",
    "layouts": f"for each plane, with a semicolon between, {AS_LAYOUT}",
}
"""How the answers that are taken apart are written, where the question does not say it."""
# Panels are numbered odd on the left and even on the right: the poles of a breaker stand two numbers apart.
_ACROSS = 2
_ARRAY = "PV1"
_TWO_SPACES = re.compile(r"(?P<first>[0-9]{1,2}) *(?:,|/|-|&|and) *(?P<second>[0-9]{1,2})", re.IGNORECASE)
_MOST_COUNTS, _MOST_MODULES, _MOST_SPACES = 12, 60, 84


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer. ``value`` is what the file gets where one value is written, ``parts`` what it gets by part.

    ``words`` are those by which conditions ask; ``claim`` is what somebody says who has not read it off, which is never a fact.
    ``is_asked`` is false for what nobody asked of this house: no condition hears it, and the file holds it where it has a place for it.
    """

    value: Any = UNKNOWN
    parts: Mapping[str, Any] = field(default_factory=dict)
    words: tuple[str, ...] = ()
    is_known: bool = True
    claim: str = ""
    speaker: str = ""
    is_asked: bool = True


def read_answer(question: Question, given: Any) -> Answer:
    """Return the answer that ``given`` is: a text, or a list or mapping of texts as a file holds them.

    Raises:
        ValueError: what is wrong with it, in the words in which the project file would say so.
    """
    for _, message in no_answers(given):
        raise ValueError(message)
    if not isinstance(given, str):
        return _known(question, given)
    text = given.strip()
    if not text:
        raise ValueError("no answer; write unknown where nobody knows it" if question.can_be_left_open else _why_needed(question))
    if text.casefold() in _I_DO_NOT_KNOW:
        return _left_open(question, Answer(is_known=False))
    if claimed := _CLAIM.fullmatch(text):
        value = as_meant(question, claimed["value"].strip(), partial(_known, question))
        return _left_open(question, Answer(is_known=False, claim=value, speaker=claimed["speaker"].strip()))
    return _known(question, as_meant(question, text, partial(_known, question)))


def typed(text: str, where: str) -> Any:
    """Return what a person typed on one line: the text, or the figures by source or list that it stands for in braces or brackets.

    Raises:
        ProblemsError: braces or brackets that cannot be read.
    """
    return read_text(f"value: {text}", where).data["value"] if text[:1] in {"{", "["} else text


def _left_open(question: Question, answer: Answer) -> Answer:
    if not question.can_be_left_open:
        raise ValueError(_why_needed(question))
    return answer


def _why_needed(question: Question) -> str:
    return f"cannot be left open, as {question.why}; it is found here: {question.found}"


def _known(question: Question, given: Any) -> Answer:
    if question.choices:
        return _chosen(question, given)
    if question.reads:
        return _READERS[question.reads](question.key, given)
    for written in fields_of(question.key):
        _read_at(written, given)
    return Answer(given, words=(given,) if isinstance(given, str) else ())


def _read_at(written: WrittenField, value: Any) -> None:
    if not (isinstance(value, str) and value.casefold() in written.words):
        written.read(value)


def _chosen(question: Question, given: Any) -> Answer:
    words = _listed(given) if question.reads == "several" else [_one_text(given)]
    if not words:
        raise ValueError(f"no answer; expected one or more of: {', '.join(question.choices)}")
    for word in words:
        if word not in question.choices:
            raise ValueError(f"{quoted(word)} is not one of: {', '.join(question.choices)}{did_you_mean(word, question.choices)}")
    for row in question.apart:
        if len(both := [word for word in dict.fromkeys(words) if word in row]) > 1:
            raise ValueError(f"{both[0]} and {both[1]} together are not laid out by questions; expected one of: {', '.join(row)}")
    return Answer(words[0], words=tuple(words))


def _one_text(given: Any) -> str:
    if not isinstance(given, str):
        raise ValueError("expected a single value, found a list or a mapping")  # noqa: TRY004
    return given


def _listed(given: Any) -> list[str]:
    texts = given if isinstance(given, list) else [part.strip() for part in _one_text(given).split(",")]
    if not all(isinstance(text, str) for text in texts):
        raise ValueError("expected values in a row, as 10, 10")
    return [text for text in texts if text]


def _breaker(key: str, given: Any) -> Answer:
    """Poles and rating of a device that is there, ``size`` where the program shall choose it."""
    text = _one_text(given)
    if text.casefold() == NONE:
        raise ValueError("the layout has a device here; expected its poles and rating, for example 2P 60 A, or unknown")
    if text.casefold() in {"size", "2p size"}:
        return Answer(text, {"rating": "", "poles": "2" if text[0].isdigit() else ""}, (text,))
    found = quantities.parse_breaker(text)
    parts = {"rating": f"{found.rating_a:g} A", "poles": UNKNOWN if found.poles is None else str(found.poles)}
    _check(key, parts)
    return Answer(text, parts, (text,))


def _breaker_or_none(key: str, given: Any) -> Answer:
    """As ``_breaker``; ``none`` where there is none, ``yes`` where there is one that nobody has read."""
    text = _one_text(given).casefold()
    if text == NONE:
        return Answer(NONE, words=(NONE,))
    return Answer(text, {"rating": UNKNOWN, "poles": UNKNOWN}, (text,)) if text == "yes" else _breaker(key, given)


def _conductor(key: str, given: Any) -> Answer:
    text = _one_text(given)
    found = _METAL.fullmatch(text)
    if found is None:
        raise ValueError(f"{quoted(text)} names no metal; write size and metal, for example 4/0 AWG aluminum")
    metal = "copper" if found["metal"].casefold() in {"cu", "copper"} else "aluminum"
    parts = {"size": found["size"], "material": metal}
    _check(key, parts)
    return Answer(text, parts, (text,))


def _check(key: str, parts: Mapping[str, str]) -> None:
    for written in fields_of(key):
        if (value := parts.get(written.part, UNKNOWN)) != UNKNOWN:
            written.read(value)


def _counts(_key: str, given: Any) -> Answer:
    numbers = [str(quantities.parse_count(text)) for text in _listed(given)]
    if not 0 < len(numbers) <= _MOST_COUNTS:
        raise ValueError(f"expected one to {_MOST_COUNTS} whole numbers, as 10, 10; found {len(numbers)}")
    for number in numbers:
        if not 0 < int(number) <= _MOST_MODULES:
            raise ValueError(f"{number} is not from 1 to {_MOST_MODULES}")
    return Answer(", ".join(numbers), {str(index): number for index, number in enumerate(numbers, 1)}, tuple(numbers))


def _in_a_row(key: str, given: Any) -> Answer:
    """What a run passes, or the planes with modules: one or several, each a part, and a word by which conditions ask."""
    for written in fields_of(key):
        _read_at(written, given)
    told = _listed(given)
    return Answer(given, {str(index): each for index, each in enumerate(told, 1)}, tuple(told))


def _layouts(key: str, given: Any) -> Answer:
    """Rows and columns of the modules on each plane, with what tells where they lie."""
    told = [layout_of(part) for part in parts_of(_one_text(given))]
    for written in fields_of(key):
        for layout in told:
            written.read(layout)
    return Answer(given, {str(index): layout for index, layout in enumerate(told, 1)}, ("layout",))


def _places_of_others(key: str, given: Any) -> Answer:
    """Places of the second unit and those after it; beside the first all have the same words."""
    text = _one_text(given)
    if text.casefold() == BESIDE:
        beside = {"description": "beside battery unit 1"}
        return Answer(text, {str(number): beside for number in range(2, _MOST_COUNTS + 1)}, (BESIDE,))
    places = [_place(key, part).value for part in parts_of(text)]
    return Answer(text, {str(number): place for number, place in enumerate(places, 2)}, ("places",))


def _how_many(_key: str, given: Any) -> Answer:
    number = quantities.parse_count(_one_text(given))
    if not 0 < number <= _MOST_COUNTS:
        raise ValueError(f"expected a whole number from 1 to {_MOST_COUNTS}; found {number}")
    return Answer(str(number), {str(index): str(index) for index in range(1, number + 1)}, (str(number),))


def _directory(_key: str, given: Any) -> Answer:
    """Lines of a panel's directory; the reader of project files says what is wrong with one of them when the file is built."""
    return Answer(_one_text(given), words=("lines",))


def _space(_key: str, given: Any) -> Answer:
    """The space of a breaker, of two poles the first one, or both of them as a panel is numbered."""
    text = _one_text(given)
    pair = _TWO_SPACES.fullmatch(text)
    number = quantities.parse_count(pair["first"] if pair else text)
    if pair and int(pair["second"]) != number + _ACROSS:
        told = f"{number}, {number + _ACROSS}"
        raise ValueError(f"{quoted(text)} are not the spaces of one breaker; a two-pole breaker at {number} takes {told}: write {number}")
    if not 0 < number <= _MOST_SPACES:
        raise ValueError(f"expected the number of a space, from 1 to {_MOST_SPACES}; found {number}")
    return Answer(str(number), words=(str(number),))


def _place(key: str, given: Any) -> Answer:
    """A wall with a distance from a corner, words with outdoors or indoors before them, or a place as the project file has it."""
    told = given if isinstance(given, dict) else _place_in_words(_one_text(given))
    for written in fields_of(key):
        written.read(told)
    return Answer(told, words=("place",))


def _place_in_words(text: str) -> dict[str, str]:
    if found := _WALL.fullmatch(text):
        return {"wall": found["wall"].strip(), "from": found["corner"].casefold(), "distance": found["distance"].strip()}
    found = _IN_WORDS.fullmatch(text)
    if found and found["where"].casefold() == "on the array":
        return {"description": found["words"].strip(), "outdoors": "yes", "on_array": _ARRAY}
    if found:
        return {"description": found["words"].strip(), "outdoors": "yes" if found["where"].casefold() == "outdoors" else "no"}
    raise ValueError(f"{quoted(text)} is no place; write {WRITTEN_AS['place']}")


def _setback(key: str, given: Any) -> Answer:
    if isinstance(given, dict):
        told: dict[str, Any] = given
    else:
        found = [_FROM_LINE.fullmatch(text) for text in _listed(given)]
        if not found or None in found:
            raise ValueError(f"{quoted(str(given))} is no setback; write two distances from lot lines, as left 16 ft, front 40 ft")
        told = {each[1].casefold(): each[2] for each in found if each is not None}
    for written in fields_of(key):
        written.read(told)
    return Answer(told, words=("setback",))


_READERS: Mapping[str, Callable[[str, Any], Answer]] = {
    "breaker": _breaker,
    "breaker or none": _breaker_or_none,
    "conductor": _conductor,
    "counts": _counts,
    "directory": _directory,
    "how many": _how_many,
    "place": _place,
    "places": _in_a_row,
    "places of others": _places_of_others,
    "planes": _in_a_row,
    "layouts": _layouts,
    "space": _space,
    "setback": _setback,
}
