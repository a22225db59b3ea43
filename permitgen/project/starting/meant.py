"""What is meant by an answer as people type it: a number alone is in the unit of its question, y is yes, 120/240 V the higher of both."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from permitgen.project.starting.declarations import Question
from permitgen.project.starting.written_fields import fields_of
from permitgen.reading.problems import quoted

# By the unit of the example with which a field names its quantity, the units in which a number alone may be meant. One: the question
# tells it. Several: nameplates, letters and tables of the trade give either, so it is asked back (common practice, no published source).
_MEANT = {
    "A": ("A",),
    "kA": ("kA", "A"),
    "V": ("V",),
    "W": ("W", "kW"),
    "kWh": ("kWh",),
    "ft": ("ft",),
    "in": ("in", "mm"),
    "ft²": ("ft²",),
    "°C": ("°F", "°C"),
    "°": ("°",),
    "%/°C": ("%/°C", "mV/°C", "V/°C"),
    "AWG": ("AWG", "/0 AWG", "kcmil"),
}
_OF_WORDS = {"breaker": ("A",), "breaker or none": ("A",)}
_FIGURES = re.compile(r"[-+]?[#0-9][0-9 ./,-]*|[1-4] ?[Pp],? ?[0-9]+")
_THOUSANDS = re.compile(r"(?<=[0-9]),(?=[0-9]{3}(?:[^0-9]|$))")
_UNIT = re.compile(r"[^0-9]*[0-9./-]+ ?(?P<unit>[^0-9]+)")
_PAIR = re.compile(r"(?P<low>[0-9]{3})[Y]? ?/ ?(?P<high>[0-9]{3})(?: ?V)?(?: ?ac)?", re.IGNORECASE)
_BY = re.compile(r"(?P<along>[0-9.]+) ?[x×] ?(?P<away>[0-9.]+)", re.IGNORECASE)
_YES_NO = {"y": "yes", "n": "no"}
Read = Callable[[str], Any]


class MeantError(ValueError):
    """What may be meant in more than one way; ``readings`` are the ways."""

    def __init__(self, text: str, readings: tuple[str, ...]) -> None:
        self.readings = readings
        super().__init__(f"{quoted(text)} may be {' or '.join(readings)}; write which")


def units_of(question: Question) -> tuple[str, ...]:
    """Return the units in which a number alone may be meant; none where the question takes none."""
    if question.reads in _OF_WORDS:
        return _OF_WORDS[question.reads]
    if question.units or question.reads or question.choices:
        return question.units
    examples = [example for written in fields_of(question.key) for example in written.examples]
    units = [found["unit"].strip() for found in map(_UNIT.fullmatch, examples) if found]
    return next((_MEANT[unit] for unit in units if unit in _MEANT), ())


def as_meant(question: Question, text: str, read: Read) -> str:
    """Return the text that ``read`` takes for what was typed: the text itself, or what alone can be meant by it.

    Raises:
        MeantError: it may be meant in several ways.
        ValueError: as ``read`` says, where nothing else can be meant.
    """
    try:
        read(text)
    except ValueError as error:
        readings = tuple(dict.fromkeys(each for each in _readings(question, text) if _is_read(each, read)))
        if not readings:
            raise
        if len(readings) > 1:
            raise MeantError(text, readings) from error
        return readings[0]
    return text


def _readings(question: Question, text: str) -> Iterator[str]:
    """Yield the ways in which a text may be meant, sound or not."""
    if text.casefold() in _YES_NO:
        yield _YES_NO[text.casefold()]
    if text.casefold().startswith("nec "):
        yield text[4:].strip()
    plain = _THOUSANDS.sub("", text)
    if _FIGURES.fullmatch(plain):
        yield from (f"{plain}{unit}" if unit == "°" or unit[0] == "/" else f"{plain} {unit}" for unit in units_of(question))
    if (pair := _PAIR.fullmatch(text)) and units_of(question) == _MEANT["V"]:
        yield f"{max(pair['low'], pair['high'])} V"
    if sides := _BY.fullmatch(text):
        yield from (f"{sides['along']} {unit} x {sides['away']} {unit}" for unit in ("ft", "m"))


def _is_read(text: str, read: Read) -> bool:
    try:
        read(text)
    except ValueError:
        return False
    return True
