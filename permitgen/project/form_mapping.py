"""Reads a mapping: which value of the project goes into which field of a form, or to which place on its pages."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from permitgen.project.quantities import QuantityError, parse_count, parse_quantity, parse_yes_no
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import ReadFile, read_content

LEAVE = "leave"
"""What stands at a field that is left as it is."""
LEAVE_EMPTY = "leave empty"
_KINDS = ("value", "text", "tick")
_MORE = ("as", "if_missing")
_PLACE_KEYS = ("page", "left", "top", "width", "size")
_REQUIRED = ("left", "top")
_POINTS = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*pt\s*")
_USUAL_PT, _LEAST_PT, _MOST_PT = 10.0, 5.0, 36.0
_TOP = ("fields", "places")
Location = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class FormEntry:
    """What is written: a ``value`` of the project by its name, a ``text`` as it stands, or a ``tick`` by a value or by yes or no.

    ``read_as`` says what is written in place of a value's own words; ``may_be_empty`` that a missing value leaves the field empty.
    ``at`` is where it stands in the mapping.
    """

    kind: Literal["value", "text", "tick"]
    said: str
    at: Location
    read_as: tuple[tuple[str, str], ...] = ()
    may_be_empty: bool = False

    @property
    def answer(self) -> bool | None:
        """The answer of a tick that is yes or no itself, None where it names a value."""
        try:
            return parse_yes_no(self.said)
        except QuantityError:
            return None


@dataclass(frozen=True, slots=True)
class FormPlace:
    """A place on a page: left end and baseline from the left and the top edge, inches; the letters' size, points."""

    entry: FormEntry
    page: int
    left_in: float
    top_in: float
    width_in: float | None
    size_pt: float


@dataclass(frozen=True, slots=True)
class FormMapping:
    """A mapping as it was read; a field that is to be left as it is has no entry, and its name stands in ``left``."""

    file: ReadFile
    fields: tuple[tuple[str, FormEntry], ...] = ()
    places: tuple[FormPlace, ...] = ()
    left: tuple[str, ...] = ()

    def problem(self, at: Location, message: str) -> Problem:
        """Return a problem at a location of the mapping."""
        return self.file.problem(at, message)


@dataclass
class _Reader:
    file: ReadFile
    problems: list[Problem] = field(default_factory=list)

    def complain(self, at: Location, message: str, *, at_key: bool = False) -> None:
        self.problems.append(self.file.problem(at, message, at_key=at_key))

    def known_keys(self, given: dict[str, Any], known: Sequence[str], at: Location) -> None:
        for key in given:
            if key not in known:
                self.complain((*at, key), f'no key is called "{key}"{did_you_mean(key, known)}; keys: {", ".join(known)}', at_key=True)


def read_form_mapping(content: bytes, name: str) -> FormMapping:
    """Read a mapping.

    Raises:
        ProblemsError: one message for each mistake.
    """
    file = read_content(content, name)
    reader = _Reader(file)
    reader.known_keys(file.data, _TOP, ())
    fields = dict(_fields(reader))
    places = tuple(_places(reader))
    if reader.problems:
        raise ProblemsError(reader.problems)
    told = tuple((name, entry) for name, entry in fields.items() if entry is not None)
    return FormMapping(file, told, places, tuple(name for name, entry in fields.items() if entry is None))


def _fields(reader: _Reader) -> Iterator[tuple[str, FormEntry | None]]:
    given = reader.file.data.get("fields")
    if given is None:
        return
    if not isinstance(given, dict):
        reader.complain(("fields",), "the fields of the form with their values were expected, one a line")
        return
    for name, said in given.items():
        at = ("fields", name)
        if said is None:
            reader.complain(at, f"no value; expected the name of a value, or {LEAVE}", at_key=True)
        elif isinstance(said, str):
            yield name, None if said == LEAVE else FormEntry("value", said, at)
        elif entry := _entry(reader, said, at):
            yield name, entry


def _entry(reader: _Reader, given: Any, at: Location, further: Sequence[str] = ()) -> FormEntry | None:
    if not isinstance(given, dict):
        reader.complain(at, f"the name of a value was expected, or {' or '.join(f'{kind}: …' for kind in _KINDS)}")
        return None
    reader.known_keys(given, (*_KINDS, *_MORE, *further), at)
    kinds = [kind for kind in _KINDS if kind in given]
    if len(kinds) != 1 or not isinstance(given[kinds[0]], str):
        reader.complain(at, f"one of {', '.join(_KINDS)} was expected, with a text behind it")
        return None
    empty = given.get("if_missing")
    if empty not in (None, LEAVE_EMPTY):
        reader.complain((*at, "if_missing"), f'"{LEAVE_EMPTY}" was expected; without it a missing value is a message')
    read_as = given.get("as", {})
    if not isinstance(read_as, dict) or not all(isinstance(text, str) for text in read_as.values()):
        reader.complain((*at, "as"), "what is written for each word of the value was expected, for example {one-family: R-3}")
        read_as = {}
    kind: Any = kinds[0]
    return FormEntry(kind, given[kind], (*at, kind), tuple(read_as.items()), may_be_empty=empty == LEAVE_EMPTY)


def _places(reader: _Reader) -> Iterator[FormPlace]:
    given = reader.file.data.get("places", [])
    if not isinstance(given, list):
        reader.complain(("places",), "a list of places was expected")
        return
    listed: list[Any] = given
    for index, place in enumerate(listed):
        at = ("places", index)
        entry = _entry(reader, place, at, _PLACE_KEYS)
        if entry is None:
            continue
        if missing := [key for key in _REQUIRED if key not in place]:
            reader.complain(at, f"the place has no {' and no '.join(missing)}; expected inches from the left and the top edge, as 1.5 in")
            continue
        measured = {key: _measured(reader, place[key], (*at, key)) for key in ("left", "top", "width") if key in place}
        page, size = _page(reader, place.get("page", "1"), (*at, "page")), _size(reader, place.get("size", "10 pt"), (*at, "size"))
        yield FormPlace(entry, page, measured["left"], measured["top"], measured.get("width"), size)


def _measured(reader: _Reader, text: Any, at: Location) -> float:
    try:
        return parse_quantity(text if isinstance(text, str) else "", "in", minimum=0)
    except QuantityError as error:
        reader.complain(at, str(error))
        return 0.0


def _page(reader: _Reader, text: Any, at: Location) -> int:
    try:
        return parse_count(text if isinstance(text, str) else "", minimum=1)
    except QuantityError as error:
        reader.complain(at, str(error))
        return 1


def _size(reader: _Reader, text: Any, at: Location) -> float:
    found = _POINTS.fullmatch(text) if isinstance(text, str) else None
    if found is None or not _LEAST_PT <= float(found[1]) <= _MOST_PT:
        reader.complain(at, f"{quoted(str(text))}: a size of letters from {_LEAST_PT:g} to {_MOST_PT:g} pt was expected, for example 10 pt")
        return _USUAL_PT
    return float(found[1])
