"""A suggestion is made only where it means what was typed; where several are equally near, all are named.

What means another thing: common practice, no published source, unless a case names one.
"""

from __future__ import annotations

import re

import pytest

from permitgen.project import quantities
from permitgen.project.quantities import QuantityError
from permitgen.project.quantity_units import ANY_CASE, AS_WRITTEN, BY_SUFFIX
from permitgen.project.starting.answers import read_answer
from permitgen.project.starting.declarations import questions
from permitgen.reading.nearest import nearest_names
from tests.every_case import every_case

NAMES = [
    ("pvc", ("EMT", "PVC-40", "PVC-80"), ("PVC-40", "PVC-80")),
    ("house", ("one-family", "two-family", "townhouse", "other"), ()),
    ("inside", ("outside",), ()),
    ("north", ("south",), ()),
    ("east", ("west",), ()),
    ("ac coupled", ("dc coupled",), ()),
    ("min_voltage", ("max_voltage",), ()),
    ("grounded", ("ungrounded",), ()),
    ("ungrounded", ("grounded",), ()),
    ("R3", ("R1", "R2"), ("R1", "R2")),
    ("R9", ("R1", "R2", "R3", "R4"), ()),
    ("E-610", ("E-601", "E-603", "E-608"), ("E-601",)),
    ("MSB", ("MSP", "MTR"), ("MSP",)),
    ("Trade-Size", ("trade_size",), ("trade_size",)),
    ("size", ("trade_size", "pole"), ("trade_size",)),
    ("lenght", ("length", "height"), ("length",)),
]


@every_case(("typed", "valid", "expected"), NAMES)
def test_what_is_near(typed, valid, expected):
    assert nearest_names(typed, valid) == expected
    assert nearest_names(typed, reversed(valid)) == expected


def _mistyped(word):
    for index in range(1, len(word)):
        yield word[:index] + word[index + 1 :]
        yield word[:index] + word[index] + word[index:]


SUFFIX_OF = {unit.kind: suffix for suffix, unit in BY_SUFFIX.items() if unit.kind not in {"factor", "count"}}


@every_case("word", sorted(word for word, unit in (AS_WRITTEN | ANY_CASE).items() if unit.kind in SUFFIX_OF))
def test_a_unit_is_never_suggested_in_another_size(word):
    """A letter left out or doubled: what the message names is of the size of the unit that was meant, or nothing is named."""
    unit = AS_WRITTEN.get(word) or ANY_CASE[word]
    for typed in _mistyped(word):
        if named := _suggested(typed, SUFFIX_OF[unit.kind]):
            found = AS_WRITTEN.get(named) or ANY_CASE[named]
            assert (found.over, found.under) == (unit.over, unit.under), typed


def _suggested(typed, suffix):
    try:
        quantities.parse_quantity(f"7 {typed}", suffix)
    except QuantityError as error:
        found = re.search(r'did you mean "7 (.+)"', str(error))
        return found[1] if found else ""
    return ""


@every_case(("text", "amperes"), [("10,000 AIC", 10_000), ("10kAIC", 10_000), ("22 KAIC", 22_000), ("10,000 A.I.C.", 10_000)])
def test_amperes_interrupting_capacity_are_amperes(text, amperes):
    """240.83(C) has the interrupting rating on the breaker; AIC beside the figure: common practice, no published source."""
    assert quantities.parse_quantity(text, "a") == amperes
    assert quantities.parse_quantity(text, "ka") == amperes / 1000


@every_case("text", ["22,24", "37,39", "37, 39"])
def test_two_whole_numbers_are_no_decimal(text):
    with pytest.raises(QuantityError, match="one whole number is read here, not several"):
        quantities.parse_count(text)


@every_case("text", ["37,39", "37, 39", "37/39", "37-39"])
def test_both_spaces_of_one_breaker_are_its_first(text):
    """Panels are numbered odd on the left and even on the right (common practice, no published source)."""
    assert read_answer(questions()["solar_space"], text).value == "37"


@every_case("text", ["37,38", "37/40"])
def test_two_spaces_that_no_breaker_has_are_told_so(text):
    with pytest.raises(ValueError, match="not the spaces of one breaker; a two-pole breaker at 37 takes 37, 39: write 37"):
        read_answer(questions()["solar_space"], text)
