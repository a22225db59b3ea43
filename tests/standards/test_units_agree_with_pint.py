"""Every spelling of a unit that is read, against the units library pint, which has its own table of definitions.

Three questions: has each unit the ratio the library gives it; does each spelling name the unit it seems to (asked of the
library wherever it knows the spelling); and does each unit suffix of the program have the unit its own table says.
"""

from __future__ import annotations

import pint
import pytest

from permitgen.project.quantities import parse_quantity
from permitgen.project.quantity_units import ANY_CASE, AS_WRITTEN, BY_SUFFIX, Unit, unit_of
from permitgen.values.units import UNITS
from tests.every_case import every_case

LIBRARY = pint.UnitRegistry()
SPELLINGS: dict[str, Unit] = AS_WRITTEN | ANY_CASE
SUFFIXES_OF_KIND = {unit.kind: [suffix for suffix, other in BY_SUFFIX.items() if other.kind == unit.kind] for unit in SPELLINGS.values()}

# Units inside the program that no field of a project asks for: a table's coefficient of resistance, dead load of an array, hours of backup.
NEVER_TYPED = {"per_c", "lb_per_ft2", "h"}

# The library reads these words as something else, which is why its parser is not used on what people type.
MISREAD_BY_LIBRARY = {
    "a": "year",
    "c": "speed_of_light",
    "C": "coulomb",
    "F": "farad",
    "Nm": "number_meter",
    "mil": "mil",
    "mils": "mil",
}


def library_names(word: str) -> list[str]:
    """The library's names for a word it knows as a whole, no prefix guessed."""
    return [name for prefix, name, _ in LIBRARY.parse_unit_name(word) if not prefix]


def library_value(unit: Unit, other: str) -> float:
    return float(LIBRARY.parse_expression(unit.proof).to(LIBRARY.parse_expression(other).units).magnitude) / float(
        LIBRARY.parse_expression(other).magnitude
    )


@every_case("suffix", [suffix for suffix in UNITS if suffix not in NEVER_TYPED])
def test_each_suffix_has_its_unit(suffix):
    printed, kind, proof = UNITS[suffix]
    assert BY_SUFFIX[suffix].kind == kind
    assert library_value(BY_SUFFIX[suffix], proof) == pytest.approx(1.0, rel=1e-12)
    if printed and suffix != "rise_c":
        assert unit_of(printed.replace("·", "*")) == BY_SUFFIX[suffix]


def test_no_suffix_is_left_over():
    assert set(BY_SUFFIX) == set(UNITS) - NEVER_TYPED


@every_case("spelling", SPELLINGS)
def test_each_ratio(spelling):
    """A number in this unit, through our parser, against the library's conversion (temperatures below)."""
    unit = SPELLINGS[spelling]
    if unit.kind == "temperature":
        return
    for suffix in SUFFIXES_OF_KIND[unit.kind]:
        wanted = LIBRARY.parse_expression(UNITS[suffix][2])
        expected = (LIBRARY.parse_expression(unit.proof) / wanted).to("dimensionless").magnitude * 7.25
        assert parse_quantity(f"7.25 {spelling}", suffix) == pytest.approx(expected, rel=1e-9)


@every_case("spelling", [word for word, unit in SPELLINGS.items() if unit.kind == "temperature"])
@every_case("number", [-40.0, 0.0, 25.0, 77.0, 105.5])
def test_each_temperature(spelling, number):
    name = {27315: "degC", 45967: "degF", 0: "kelvin"}[SPELLINGS[spelling].zero]
    if name == "kelvin" and number < 0:
        return
    for suffix, scale in (("c", "degC"), ("f", "degF")):
        expected = LIBRARY.Quantity(number, name).to(scale).magnitude
        assert parse_quantity(f"{number} {spelling}", suffix) == pytest.approx(expected, rel=1e-9, abs=1e-9)
    rise = LIBRARY.Quantity(number, {"degC": "delta_degC", "degF": "delta_degF", "kelvin": "kelvin"}[name]).to("delta_degC").magnitude
    assert parse_quantity(f"{number} {spelling}", "rise_c") == pytest.approx(rise, rel=1e-9, abs=1e-9)


@every_case("spelling", [word for word in SPELLINGS if word.isalpha() and library_names(word)])
def test_each_word_names_the_unit_it_seems_to(spelling):
    """Wherever the library knows the word it must agree on size and dimension; the known misreadings must still be such."""
    agreeing = [name for name in library_names(spelling) if _same(name, SPELLINGS[spelling])]
    if spelling in MISREAD_BY_LIBRARY:
        assert library_names(spelling) == [MISREAD_BY_LIBRARY[spelling]]
        assert not agreeing
    else:
        assert agreeing, library_names(spelling)


def _same(name: str, unit: Unit) -> bool:
    ours = LIBRARY.parse_expression(unit.proof)
    if LIBRARY.get_dimensionality(name) != ours.dimensionality:
        return False
    if unit.kind == "temperature":
        return True  # scales with a zero point are compared number by number above
    return bool(abs((LIBRARY.Quantity(1, name) / ours).to("dimensionless").magnitude - 1) < 1e-6)


# NIST SP 811 (2008), appendix B.8, seven significant digits, recalled from memory.
NIST = [
    ("1 N·m", "lbf_in", 1 / 0.1129848),
    ("1 ft-lb", "lbf_in", 1.355818 / 0.1129848),
    ("1 kPa", "psf", 1000 / 47.88026),
    ("1 hp", "w", 745.6999),
    ("1 mi", "ft", 1609.344 / 0.3048),
    ("1 kg", "lb", 1 / 0.4535924),
    ("1 gal", "in3", 3.785412e-3 / 1.638706e-5),
    ("1 m²", "ft2", 1 / 0.09290304),
]


@every_case(("text", "suffix", "number"), NIST)
def test_published_conversion_factors(text, suffix, number):
    assert parse_quantity(text, suffix) == pytest.approx(number, rel=2e-6)
