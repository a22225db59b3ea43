"""The one list of units. The suffix of a Python name is the unit of its number: ``length_ft``, ``current_a``.

Inside the program every kind of quantity has one unit, the unit of the code's own tables, because a reviewer
compares with the book and conversions in the middle are where errors live.
"""

from __future__ import annotations

from functools import cache

# suffix -> (printed unit, name of the quantity, pint unit that proves the dimension)
UNITS: dict[str, tuple[str, str, str]] = {
    "a": ("A", "current", "ampere"),
    "ka": ("kA", "current", "kiloampere"),
    "v": ("V", "voltage", "volt"),
    "va": ("VA", "apparent power", "volt * ampere"),
    "kva": ("kVA", "apparent power", "kilovolt * ampere"),
    "w": ("W", "power", "watt"),
    "kw": ("kW", "power", "kilowatt"),
    "kwh": ("kWh", "energy", "kilowatt_hour"),
    "ohm": ("Ω", "resistance", "ohm"),
    "megohm": ("MΩ", "resistance", "megaohm"),
    "ohm_per_kft": ("Ω/kft", "resistance per length", "ohm / kilofoot"),
    "ft": ("ft", "length", "foot"),
    "kft": ("kft", "length", "kilofoot"),
    "ft2": ("ft²", "area", "foot ** 2"),
    "in": ("in", "length", "inch"),
    "in2": ("in²", "area", "inch ** 2"),
    "in3": ("in³", "volume", "inch ** 3"),
    "kcmil": ("kcmil", "conductor area", "kcmil"),
    "cmil": ("cmil", "conductor area", "circular_mil"),
    "c": ("°C", "temperature", "kelvin"),
    "f": ("°F", "temperature", "kelvin * 5 / 9"),
    "rise_c": ("°C", "temperature difference", "kelvin"),
    "percent_per_c": ("%/°C", "temperature coefficient", "percent / kelvin"),
    "v_per_c": ("V/°C", "voltage coefficient", "volt / kelvin"),
    "lbf_in": ("lbf·in", "torque", "pound_force * inch"),
    "lb": ("lb", "weight", "pound"),
    "psf": ("psf", "load per area", "pound_force / foot ** 2"),
    "lb_per_ft2": ("lb/ft²", "weight per area", "pound / foot ** 2"),
    "s": ("s", "time", "second"),
    "h": ("h", "time", "hour"),
    "hz": ("Hz", "frequency", "hertz"),
    "va_per_ft2": ("VA/ft²", "load density", "volt * ampere / foot ** 2"),
    "factor": ("", "factor", "dimensionless"),
    "percent": ("%", "percentage", "percent"),
    "count": ("", "count", "dimensionless"),
    "deg": ("°", "angle", "degree"),
}

_LONGEST_FIRST = sorted(UNITS, key=len, reverse=True)


class UnknownUnitSuffixError(ValueError):
    """A name that carries a number does not end in a suffix of ``UNITS``."""


@cache
def unit_of_name(name: str) -> str:
    """Return the suffix of ``name`` that is a key of ``UNITS``.

    Raises:
        UnknownUnitSuffixError: the name ends in none of them.
    """
    for suffix in _LONGEST_FIRST:
        if name == suffix or name.endswith("_" + suffix):
            return suffix
    raise UnknownUnitSuffixError(f"the name {name!r} does not end in a unit; known: {', '.join(sorted(UNITS))}")


def printed_unit(suffix: str) -> str:
    """Return the unit as it stands on paper, for example ``Ω/kft`` for ``ohm_per_kft``."""
    return UNITS[suffix][0]
