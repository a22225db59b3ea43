"""Spellings people use, and properties that hold for every number."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.project import quantities
from permitgen.project.quantities import BreakerText, DeviceText, SystemVoltage, TemperatureCoefficient
from permitgen.values.conductor_size import ALL_SIZES
from permitgen.values.trade_size import TRADE_SIZES, trade_size_in
from tests.every_case import every_case

# Arithmetic beside each: a foot is 12 in and 0.3048 m exactly; °C = (°F − 32) × 5/9.
READ = [
    ("200 A", "a", 200.0),
    ("200A", "a", 200.0),
    ("200 amps", "a", 200.0),
    ("200 AMP", "a", 200.0),
    ("200 a", "a", 200.0),
    ("1,000 A", "a", 1000.0),
    ("1,000.5 A", "a", 1000.5),
    ("10 kA", "a", 10000.0),
    ("10 kAIC", "ka", 10.0),
    ("9200 A", "ka", 9.2),
    ("+5 A", "a", 5.0),
    ("200\xa0A", "a", 200.0),
    ("35 ft", "ft", 35.0),
    ("35'", "ft", 35.0),
    ("35’", "ft", 35.0),
    ("35 FT.", "ft", 35.0),
    ("35 feet", "ft", 35.0),
    ("5 ft 6 in", "ft", 5.5),
    ("5'-6\"", "ft", 5.5),
    ("5’ 6”", "ft", 5.5),
    ("5' 6-1/2\"", "in", 66.5),
    ("5 ft 6½ in", "in", 66.5),
    ("3.048 m", "ft", 10.0),
    ("0.3048 m", "in", 12.0),
    ("10.7 m", "ft", 10.7 / 0.3048),
    ("25.4 mm", "in", 1.0),
    ("2.54 cm", "in", 1.0),
    ("2 yd", "ft", 6.0),
    ("1-1/4 in", "in", 1.25),
    ("1 1/4 in", "in", 1.25),
    ("1¼ in", "in", 1.25),
    ("3/8 in", "in", 0.375),
    ('3/8"', "in", 0.375),
    ("½ in", "in", 0.5),
    (".5 in", "in", 0.5),
    ("-23 °C", "c", -23.0),
    ("−23 °C", "c", -23.0),
    ("–23 °C", "c", -23.0),
    ("-10 °F", "c", -210 / 9),
    ("25 ℃", "c", 25.0),
    ("77 ℉", "c", 25.0),
    ("25 C", "c", 25.0),
    ("25 degC", "c", 25.0),
    ("25 deg C", "c", 25.0),
    ("25 degrees Celsius", "c", 25.0),
    ("77 deg. F", "c", 25.0),
    ("32 °F", "c", 0.0),
    ("212 °F", "c", 100.0),
    ("-40 °F", "c", -40.0),
    ("0 °C", "f", 32.0),
    ("300 K", "c", 26.85),
    ("54 °F", "rise_c", 30.0),
    ("30 °C", "rise_c", 30.0),
    ("12 V dc", "v", 12.0),
    ("12 VDC", "v", 12.0),
    ("240 Vac", "v", 240.0),
    ("25 kVA", "kva", 25.0),
    ("25 kVA", "va", 25000.0),
    ("25 KVA", "va", 25000.0),
    ("27 kWh", "kwh", 27.0),
    ("27 kW-h", "kwh", 27.0),
    ("500 MΩ", "ohm", 5e8),
    ("500 megohms", "ohm", 5e8),
    ("5 mΩ", "ohm", 0.005),
    ("0.5 Ω", "ohm", 0.5),
    ("250 lbf-in", "lbf_in", 250.0),
    ("250 lbf·in", "lbf_in", 250.0),
    ("20 in-lb", "lbf_in", 20.0),
    ("20 in.-lb.", "lbf_in", 20.0),
    ("20 inch-pounds", "lbf_in", 20.0),
    ("20 ft-lb", "lbf_in", 240.0),
    ("20 foot pounds", "lbf_in", 240.0),
    ("-0.27 %/°C", "percent_per_c", -0.27),
    ("-0.27 % / °C", "percent_per_c", -0.27),
    ("-0.27 % per °C", "percent_per_c", -0.27),
    ("-0.27%/K", "percent_per_c", -0.27),
    ("-0.15 %/°F", "percent_per_c", -0.27),
    ("35 psf", "psf", 35.0),
    ("35 lb/ft²", "psf", 35.0),
    ("1850 sq. ft.", "ft2", 1850.0),
    ("1850 ft²", "ft2", 1850.0),
    ("1 ft²", "in2", 144.0),
    ("0.5 in^2", "in2", 0.5),
    ("30.3 in³", "in3", 30.3),
    ("30.3 cu. in.", "in3", 30.3),
    ("3 VA/ft²", "va_per_ft2", 3.0),
    ("0.778 ohm/kft", "ohm_per_kft", 0.778),
    ("0.778 ohms per 1000 ft", "ohm_per_kft", 0.778),
    ("250 MCM", "kcmil", 250.0),
    ("26240 cmil", "kcmil", 26.24),
    ("5 min", "s", 300.0),
    ("60 Hz", "hz", 60.0),
    ("2 %", "percent", 2.0),
    ("18°", "deg", 18.0),
    ("18 degrees", "deg", 18.0),
    ("95 %", "factor", 0.95),
    ("0.95", "factor", 0.95),
    ("8", "count", 8.0),
    ("1,024", "count", 1024.0),
    ("48 lbs", "lb", 48.0),
    ("1/2 hp", "w", 372.84993579113511),
]


@every_case(("text", "suffix", "number"), READ)
def test_spellings(text, suffix, number):
    assert quantities.parse_quantity(text, suffix) == pytest.approx(number, rel=1e-15, abs=0)


@every_case(
    ("parse", "text", "value"),
    [
        (quantities.parse_breaker, "2P 80 A", BreakerText(80.0, 2)),
        (quantities.parse_breaker, "80 A", BreakerText(80.0, None)),
        (quantities.parse_breaker, "80A/2P", BreakerText(80.0, 2)),
        (quantities.parse_breaker, "80A2P", BreakerText(80.0, 2)),
        (quantities.parse_breaker, "2-pole 80 A", BreakerText(80.0, 2)),
        (quantities.parse_breaker, "80 A, two pole", BreakerText(80.0, 2)),
        (quantities.parse_breaker, "1P20A", BreakerText(20.0, 1)),
        (quantities.parse_device, "fuses 60A 2P 100kA", DeviceText(BreakerText(60.0, 2), "fuse", "100 kA")),
        (quantities.parse_device, "2P 60 A, 10 kA", DeviceText(BreakerText(60.0, 2), "", "10 kA")),
        (quantities.parse_device, "breaker 2P 60 A", DeviceText(BreakerText(60.0, 2), "circuit breaker")),
        (quantities.parse_device, "2P 60 A", DeviceText(BreakerText(60.0, 2))),
        (quantities.parse_system_voltage, "120/240 V", SystemVoltage(240.0, 120.0, "split phase")),
        (quantities.parse_system_voltage, "240/120 Vac", SystemVoltage(240.0, 120.0, "split phase")),
        (quantities.parse_system_voltage, "208Y/120 V", SystemVoltage(208.0, 120.0, "wye")),
        (quantities.parse_system_voltage, "120/208 V", SystemVoltage(208.0, 120.0, "wye")),
        (quantities.parse_system_voltage, "240 V", SystemVoltage(240.0, None, "line to line")),
        (quantities.parse_system_voltage, "120 V", SystemVoltage(None, 120.0, "line to neutral")),
        (quantities.parse_temperature_coefficient, "-0.27 %/°C", TemperatureCoefficient(-0.27, "percent_per_c")),
        (quantities.parse_temperature_coefficient, "0.16 V/°C", TemperatureCoefficient(0.16, "v_per_c")),
        (quantities.parse_temperature_coefficient, "−1.8 mV/°C", TemperatureCoefficient(-0.0018, "v_per_c")),
        (quantities.parse_yes_no, "Yes", True),
        (quantities.parse_yes_no, "no", False),
        (quantities.parse_yes_no, "false", False),
        (quantities.parse_date, "2025-03-04", date(2025, 3, 4)),
        (quantities.parse_date, "2024-02-29", date(2024, 2, 29)),
        (quantities.is_unknown, " Unknown ", True),
        (quantities.is_unknown, "no", False),
        (lambda text: str(quantities.parse_conductor_size(text)), "#4 AWG", "4 AWG"),
        (lambda text: str(quantities.parse_conductor_size(text)), "AWG 4", "4 AWG"),
        (lambda text: str(quantities.parse_conductor_size(text)), "4awg", "4 AWG"),
        (lambda text: str(quantities.parse_conductor_size(text)), "1/0", "1/0 AWG"),
        (lambda text: str(quantities.parse_conductor_size(text)), "250 MCM", "250 kcmil"),
        (quantities.parse_trade_size, "1-1/4 in", "1-1/4"),
        (quantities.parse_trade_size, '1 1/4"', "1-1/4"),
        (quantities.parse_trade_size, "1¼ in", "1-1/4"),
        (quantities.parse_trade_size, "1.25 in", "1-1/4"),
        (quantities.parse_trade_size, "2", "2"),
        (lambda text: quantities.parse_one_of(text, ("w", "a")), "1.5 kW", (1500.0, "w")),
        (lambda text: quantities.parse_one_of(text, ("w", "a")), "12 A", (12.0, "a")),
        (lambda text: quantities.parse_one_of(text, ("c", "rise_c")), "12 °C", (12.0, "c")),
    ],
)
def test_other_texts(parse, text, value):
    assert parse(text) == value


def test_every_conductor_size_reads_its_own_print():
    assert [quantities.parse_conductor_size(str(size)) for size in ALL_SIZES] == list(ALL_SIZES)


def test_every_trade_size_reads_in_all_its_forms():
    for name in TRADE_SIZES:
        forms = {
            name,
            f"{name} in",
            f'{name}"',
            name.replace("-", " ") + " inch",
            f"{trade_size_in(name):g} in" if trade_size_in(name) < 10 else name,
        }
        assert {quantities.parse_trade_size(form) for form in forms} == {name}


DECIMALS = st.decimals(min_value=0, max_value=99999, places=3)


@given(DECIMALS, st.sampled_from(["", " "]))
def test_a_number_in_its_own_unit_is_the_nearest_float(number, space):
    assert quantities.parse_quantity(f"{number}{space}ft", "ft") == float(number)
    assert quantities.parse_quantity(f"{number:,}{space}ft", "ft") == float(number)


@given(DECIMALS)
def test_conversions_round_once(number):
    """Reference: exact fractions of the standard library."""
    assert quantities.parse_quantity(f"{number} m", "ft") == float(Fraction(number) / Fraction("0.3048"))
    assert quantities.parse_quantity(f"{number} ft", "in") == float(Fraction(number) * 12)
    assert quantities.parse_quantity(f"{number} °F", "c") == float((Fraction(number) - 32) * Fraction(5, 9))
    assert (
        quantities.parse_quantity(f"-{number} °C", "f", minimum=-1e9) == float(-Fraction(number) * Fraction(9, 5) + 32)
        if number < 273
        else True
    )


@given(st.integers(0, 999), st.integers(0, 11), st.integers(1, 15))
def test_feet_inches_and_sixteenths(feet, inches, sixteenths):
    exact = float(Fraction(feet * 12 + inches) + Fraction(sixteenths, 16))
    assert quantities.parse_quantity(f"{feet} ft {inches}-{sixteenths}/16 in", "in") == exact
    assert quantities.parse_quantity(f"{feet}'-{inches} {sixteenths}/16\"", "in") == exact


@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_every_day_reads_its_own_print(day):
    assert quantities.parse_date(day.isoformat()) == day


@given(st.dates(date(1982, 2, 18), date(2104, 1, 1)))
def test_spreadsheet_day_numbers_name_the_day(day):
    """Day 25569 is 1970-01-01: the constant spreadsheets' users convert with (common practice, no published source)."""
    serial = 25569 + (day - date(1970, 1, 1)) // timedelta(days=1)
    with pytest.raises(quantities.QuantityError, match=day.isoformat()):
        quantities.parse_date(str(serial))


def test_reading_quantities_loads_no_units_library():
    program = (
        "import sys; import permitgen.reading.reader; from permitgen.project import quantities; quantities.parse_quantity('10.7 m', 'ft');"
        "assert not {'pint', 'numpy', 'pydantic'} & set(sys.modules), 'slow import'"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
