"""What people mistype ends in a message that says what to write. No parser ever fails in another way.

The wording follows the list of realistic mistakes this program was specified with; the corrections named in the messages
are checked to be readable in turn.
"""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.project import quantities
from permitgen.project.quantities import QuantityError
from permitgen.project.quantity_units import BY_SUFFIX
from tests.every_case import every_case
from tests.examples import examples

WRONG_QUANTITIES = [
    ("35", "ft", '"35" needs a unit, for example "35 ft" or "10.7 m"'),
    ("35 A", "ft", '"35 A" is a current; expected a length, for example "35 ft" or "10.7 m"'),
    ("12.4 kW", "kwh", 'kW is power; energy is in kWh; write "12.4 kWh" if 12.4 is the energy'),
    ("25 kW", "kva", 'kW is power; apparent power is in kVA; write "25 kVA" if 25 is the apparent power'),
    ("27 kW/h", "kwh", 'did you mean "27 kWh"?'),
    ("5 MA", "a", 'did you mean "5 mA"?'),
    ("70 mA/h", "a", '"70 mA/h" is not a current'),
    ("1,5 A", "a", 'a comma is read only between groups of three digits; write "1.5 A"'),
    ("0,500 A", "a", 'write "0.500 A"'),
    ("1,00 A", "a", "a comma is read only between groups of three digits"),
    ("1,0000 A", "a", "a comma is read only between groups of three digits"),
    ("1.000,5 A", "a", "a comma is read only between groups of three digits"),
    ("12,34,567 A", "a", "a comma is read only between groups of three digits"),
    ("1 000 A", "a", "without spaces between its digits"),
    ("1_000 A", "a", 'write the number without "_"'),
    ("1e3 A", "a", "write the number out, without an exponent"),
    ("1e400 m", "ft", "write the number out, without an exponent"),
    ("nan A", "a", "is not a current"),
    ("inf A", "a", "is not a current"),
    ("٣٥ ft", "ft", "is not a length"),
    ("9**9**9 m", "ft", "is not a length"),
    ("120/240 V", "v", 'names a system of two voltages; expected a voltage, for example "240 V"'),
    ("1/0 in", "in", "is not a length"),
    ("1-5/4 in", "in", "the fraction is one or more"),
    ("3/8 A", "a", "a fraction is read only for lengths"),
    ("5 ft 6", "ft", 'needs a unit at its end too, as in "5 ft 6 in"'),
    ("5 ft 14 in", "ft", "14 in is a foot or more"),
    ("5/12", "deg", "is a roof pitch; expected an angle"),
    ("25°", "c", 'which degrees? write "25 °C" or "25 °F"'),
    ("-300 °C", "c", "is below absolute zero"),
    ("-460 °F", "f", "is below absolute zero"),
    ("-5 ft", "ft", "is below zero, which a length cannot be"),
    ("-0.1 A", "a", "is below zero, which a current cannot be"),
    ("", "a", "the value is empty; expected a current"),
    ("9" * 16 + " A", "a", "more than 15 digits"),
    ("2 furlong", "ft", '"2 furlong" is 1320 ft: write "1320 ft" if that is meant'),
    ("5 gallons", "ft", "is a volume; expected a length"),
    ("5 psi", "a", "expected a current"),
    ("3 zorkmids", "ft", 'the unit "zorkmids" is not read; write for example "35 ft" or "10.7 m"'),
    ("8.5", "count", "is not a whole number"),
    ("8 modules", "count", "is not a whole number"),
    ("0.95 A", "factor", "is not a number without a unit"),
    ("95", "percent", 'needs a unit, for example "2 %"'),
    ("x" * 41, "ft", "a text of 41 characters is too long for a quantity; at most 40 are read"),
]


@every_case(("text", "suffix", "message"), WRONG_QUANTITIES)
def test_quantity_refused(text, suffix, message):
    with pytest.raises(QuantityError) as caught:
        quantities.parse_quantity(text, suffix)
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("text", "limits", "message"),
    [
        ("23 °C", {"minimum": -60, "maximum": 15}, '"23 °C" is out of range; accepted: -60 to 15 °C; missing minus sign? write "-23 °C"'),
        ("99 °C", {"minimum": -60, "maximum": 15}, '"99 °C" is out of range; accepted: -60 to 15 °C'),
        ("-70 °C", {"minimum": -60}, '"-70 °C" is out of range; at least -60 °C was expected'),
        ("61 °F", {"maximum": 15}, '"61 °F" is out of range; at most 15 °C was expected'),  # 16.1 °C
        ("0 °C", {"positive": True}, '"0 °C" is not more than zero'),
    ],
)
def test_range(text, limits, message):
    with pytest.raises(QuantityError) as caught:
        quantities.parse_quantity(text, "c", **limits)
    assert str(caught.value).startswith(message)
    assert quantities.parse_quantity("59 °F", "c", minimum=-60, maximum=15) == 15.0  # the limit itself is inside


OTHER_TEXTS = [
    (quantities.parse_conductor_size, "1/O AWG", '"1/O AWG" is not a conductor size; did you mean "1/0 AWG" (digit zero)?'),
    (quantities.parse_conductor_size, "l/0 AWG", 'did you mean "1/0 AWG"'),
    (quantities.parse_conductor_size, "4", '"4" is ambiguous; write "4 AWG" or "4/0 AWG"'),
    (quantities.parse_conductor_size, "6", '"6" needs a unit; write "6 AWG"'),
    (quantities.parse_conductor_size, "250", '"250" needs a unit; write "250 kcmil"'),
    (quantities.parse_conductor_size, "250 AWG", 'did you mean "250 kcmil"?'),
    (quantities.parse_conductor_size, "4 kcmil", 'did you mean "4 AWG"?'),
    (quantities.parse_conductor_size, "5 AWG", 'nearest: "4 AWG" or "6 AWG"'),
    (quantities.parse_conductor_size, "0 AWG", 'did you mean "1/0 AWG"?'),
    (quantities.parse_conductor_size, "000", 'did you mean "3/0 AWG"?'),
    (quantities.parse_conductor_size, "5/0 AWG", 'expected "1/0 AWG" to "4/0 AWG"'),
    (quantities.parse_conductor_size, "260 kcmil", 'nearest: "250 kcmil" or "300 kcmil"'),
    (quantities.parse_conductor_size, "12-2 AWG", 'names a cable of 2 conductors; write the size alone, "12 AWG"'),
    (quantities.parse_conductor_size, "16 mm²", '"16 mm²" is a metric size; write the size in AWG or kcmil'),
    (quantities.parse_conductor_size, "2x 4/0 AWG", "gives a number of conductors too"),
    (quantities.parse_conductor_size, "", "the value is empty"),
    (quantities.parse_trade_size, "21", '"21" is the metric designator of trade size 3/4; write "3/4 in"'),
    (quantities.parse_trade_size, "5/8 in", 'nearest: "1/2 in" or "3/4 in"'),
    (quantities.parse_trade_size, "7 in", 'nearest: "6 in"'),
    (quantities.parse_trade_size, "1/0 in", "is not a trade size"),
    (quantities.parse_system_voltage, "110/220 V", 'did you mean "120/240 V"?'),
    (quantities.parse_system_voltage, "127/220 V", 'did you mean "208Y/120 V"?'),
    (quantities.parse_system_voltage, "230 V", 'did you mean "240 V"?'),
    (quantities.parse_system_voltage, "240Y/120 V", 'did you mean "120/240 V"?'),
    (quantities.parse_system_voltage, "240", "needs a unit"),
    (quantities.parse_system_voltage, "12 V dc", "is not a nominal ac voltage"),
    (quantities.parse_breaker, "2P", "gives no rating"),
    (quantities.parse_breaker, "5P 80 A", "is not a breaker"),
    (quantities.parse_breaker, "2P 80 V", "is a voltage; expected a current"),
    (quantities.parse_breaker, "0 A", "is not more than zero"),
    (quantities.parse_date, "03/04/25", 'ambiguous date; write year-month-day, "2025-03-04" or "2025-04-03"'),
    (quantities.parse_date, "04.03.2025", '"2025-03-04" or "2025-04-03"'),
    (quantities.parse_date, "13/04/2025", 'write year-month-day, "2025-04-13"'),
    (quantities.parse_date, "2025-3-4", 'write year-month-day, "2025-03-04"'),
    (quantities.parse_date, "March 4, 2025", 'write year-month-day, "2025-03-04"'),
    (quantities.parse_date, "45720", 'day number of a spreadsheet; write year-month-day, "2025-03-04"'),
    (quantities.parse_date, "2025-02-29", "February 2025 has 28 days"),
    (quantities.parse_date, "2025-13-01", "there is no month 13"),
    (quantities.parse_date, "1825-01-01", "years 1900 to 2199 are read"),
    (quantities.parse_date, "soon", "is not a date"),
    (quantities.parse_yes_no, "on", '"on" is neither "yes" nor "no"; did you mean "yes"?'),
    (quantities.parse_yes_no, "maybe", '"maybe" is neither "yes" nor "no"'),
    (quantities.parse_temperature_coefficient, "-0.27", 'needs a unit, for example "-0.27 %/°C"'),
    (quantities.parse_temperature_coefficient, "-0.27 A", "is a current; expected a temperature coefficient"),
    (lambda text: quantities.parse_one_of(text, ("w", "a")), "5 ft", '"5 ft" is a length; expected power or a current'),
    (lambda text: quantities.parse_one_of(text, ("w", "a")), "much", '"much" is not power or a current'),
]


@every_case(("parse", "text", "message"), OTHER_TEXTS)
def test_other_texts_refused(parse, text, message):
    with pytest.raises(QuantityError) as caught:
        parse(text)
    assert message in str(caught.value)


@pytest.mark.parametrize("text", [text for parse, text, _ in OTHER_TEXTS if parse is quantities.parse_conductor_size])
def test_suggested_conductor_sizes_are_readable(text):
    with pytest.raises(QuantityError) as caught:
        quantities.parse_conductor_size(text)
    suggestions = re.findall(r"\"([^\"]+)\"", str(caught.value).replace(f'"{text}"', "", 1))
    assert suggestions
    for suggestion in suggestions:
        assert str(quantities.parse_conductor_size(suggestion)) == suggestion


PARSERS = [
    *[lambda text, suffix=suffix: quantities.parse_quantity(text, suffix) for suffix in BY_SUFFIX],
    lambda text: quantities.parse_one_of(text, ("va", "w", "a")),
    quantities.parse_number,
    quantities.parse_count,
    quantities.parse_yes_no,
    quantities.parse_date,
    quantities.parse_system_voltage,
    quantities.parse_breaker,
    quantities.parse_temperature_coefficient,
    quantities.parse_conductor_size,
    quantities.parse_trade_size,
]
PIECES = st.lists(
    st.sampled_from(
        [
            "0",
            "1",
            "12",
            "250",
            "4/0",
            ".",
            ",",
            "-",
            "−",
            "+",
            " ",
            "/",
            "1/0",
            "½",
            "e5",
            "A",
            "kV",
            "ft",
            "in",
            "'",
            '"',
            "°",
            "C",
            "F",
            "%",
            "Ω",
            "AWG",
            "kcmil",
            "O",
            "P",
            "V",
            "Y/",
            "lbf-in",
            "N·m",
            "per",
            "#",
            "x",
            "nan",
            "\xa0",
            "℃",
            "mm²",
            "2025-",
            "parsec",
            "*",
            "(",
            "\n",
            "Ⅷ",
        ]
    ),
    max_size=7,
).map("".join)


@given(st.text(max_size=45) | PIECES)
@examples(400, deadline=None)  # the first unknown word loads the dictionary of units
def test_any_text_ends_in_a_finite_value_or_one_line(text):
    for parse in PARSERS:
        value, message = _outcome(parse, text)
        assert message != ""
        assert "\n" not in (message or "")
        assert not (message or "").endswith(".")
        assert not isinstance(value, float) or math.isfinite(value)


def _outcome(parse, text):
    try:
        return parse(text), None
    except QuantityError as refused:
        return None, str(refused)
