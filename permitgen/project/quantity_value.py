"""A text with a number and a unit becomes a number in the unit its field asks for."""

from __future__ import annotations

import re
from dataclasses import dataclass

from permitgen.project import quantity_messages as messages
from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_numbers import Number, plain_text, read_number
from permitgen.project.quantity_units import AS_WRITTEN, BY_SUFFIX, Unit, unit_of
from permitgen.reading.problems import quoted

# What most texts look like; anything else takes the long way. Ten digits and ten decimals keep the ratio exact and small.
_USUAL = re.compile(r"(-?[0-9]{1,10})(?:\.([0-9]{1,10}))? ?([A-Za-z°%Ω/-]+)")
# Whole numbers in a row, which no group of three digits is.
_ROW = re.compile(r"([0-9]{1,4})(?: ?, ?[0-9]{1,2})+")
_FEET_AND_INCHES = re.compile(r"([0-9]{1,5}) ?(?:'|ft\.?|feet|foot) ?-? ?([0-9][^'\"a-z]*)(?:\"|''|in\.?|inch|inches)", re.IGNORECASE)
_MAY_BE_NEGATIVE = {"temperature", "temperature difference", "temperature coefficient", "voltage coefficient", "angle", "factor"}
_MAY_BE_FRACTION = {"length", "power", "time", "weight"}


@dataclass(frozen=True, slots=True)
class TemperatureCoefficient:
    """A voltage coefficient with its sign; ``unit`` is ``percent_per_c`` or ``v_per_c``."""

    number: float
    unit: str


def parse_quantity(
    text: str, unit_suffix: str, *, minimum: float | None = None, maximum: float | None = None, positive: bool = False
) -> float:
    """Return ``text`` as a number in the unit ``unit_suffix`` (a key of ``values.units.UNITS``).

    ``minimum`` and ``maximum`` (inclusive) are in that unit. Below zero is refused except for temperatures, coefficients,
    angles and factors, or where ``minimum`` allows it; ``positive`` refuses zero too.

    Raises:
        QuantityError: no number, no unit, another kind of quantity, an ambiguous form, or out of range.
        KeyError: ``unit_suffix`` is no unit of the program.
    """
    wanted = BY_SUFFIX[unit_suffix]
    usual = _USUAL.fullmatch(text)
    if usual is not None:
        whole, decimals, spelled = usual.groups()
        unit = AS_WRITTEN.get(spelled)
        if unit is not None and unit.kind == wanted.kind:
            figures = Number(int(whole + decimals), 10 ** len(decimals), "") if decimals else Number(int(whole), 1, "")
            return _within(text, _converted(figures, unit, wanted), unit_suffix, minimum, maximum, positive=positive)
    plain = plain_text(text)
    figures, unit = _figures_and_unit(plain, unit_suffix)
    return _within(plain, _converted(figures, unit, wanted), unit_suffix, minimum, maximum, positive=positive)


def parse_one_of(
    text: str, unit_suffixes: tuple[str, ...], *, minimum: float | None = None, maximum: float | None = None, positive: bool = False
) -> tuple[float, str]:
    """Return the number and the first of ``unit_suffixes`` that ``text`` fits: ``("w", "a")`` for watts or amperes.

    Raises:
        QuantityError: as ``parse_quantity``; where no kind fits, the message names all of them.
        KeyError: one of ``unit_suffixes`` is no unit of the program.
    """
    plain = plain_text(text)
    number = read_number(plain)
    unit = unit_of(number.rest) if number is not None else None
    fitting = [suffix for suffix in unit_suffixes if unit is not None and _fits(unit, BY_SUFFIX[suffix])]
    if not fitting:
        raise QuantityError(messages.none_fits(plain, unit, unit_suffixes))
    return parse_quantity(plain, fitting[0], minimum=minimum, maximum=maximum, positive=positive), fitting[0]


def parse_number(text: str, *, minimum: float | None = None, maximum: float | None = None, positive: bool = False) -> float:
    """Return a plain number without unit; ``95 %`` is read as 0.95.

    Raises:
        QuantityError: not a plain number, or out of range.
    """
    return parse_quantity(text, "factor", minimum=minimum, maximum=maximum, positive=positive)


def parse_count(text: str, *, minimum: int = 0, maximum: int | None = None) -> int:
    """Return a whole number.

    Raises:
        QuantityError: not a whole number, or out of range.
    """
    if row := _ROW.fullmatch(text.strip()):
        raise QuantityError(f"{quoted(text)}: one whole number is read here, not several; expected for example {row[1]}")
    return int(parse_quantity(text, "count", minimum=minimum, maximum=maximum))


def parse_temperature_coefficient(text: str) -> TemperatureCoefficient:
    """Read ``-0.27 %/°C``, ``-0.16 V/°C`` or ``-1.8 mV/°C``; the sign is kept, a positive one is the caller's to judge.

    Raises:
        QuantityError: another kind of quantity.
    """
    return TemperatureCoefficient(*parse_one_of(text, ("percent_per_c", "v_per_c")))


def _figures_and_unit(plain: str, unit_suffix: str) -> tuple[Number, Unit]:
    wanted = BY_SUFFIX[unit_suffix]
    feet = _FEET_AND_INCHES.fullmatch(plain) if wanted.kind == "length" else None
    if feet is not None:
        return _feet_and_inches(plain, feet[1], feet[2])
    number = read_number(plain)
    if number is None:
        raise QuantityError(messages.no_number(plain, unit_suffix))
    if wanted.kind in messages.UNITLESS:
        return _without_unit(plain, number, unit_suffix)
    if not number.rest:
        raise QuantityError(messages.no_unit(plain, unit_suffix))
    return number, _unit_after(number, plain, unit_suffix)


def _unit_after(number: Number, plain: str, unit_suffix: str) -> Unit:
    wanted = BY_SUFFIX[unit_suffix]
    unit = unit_of(number.rest)
    if unit is None:
        raise QuantityError(messages.unknown_unit(plain, number, unit_suffix))
    if not _fits(unit, wanted):
        raise QuantityError(messages.wrong_kind(plain, number, unit, unit_suffix))
    if number.is_fraction and wanted.kind not in _MAY_BE_FRACTION:
        raise QuantityError(f"{quoted(plain)}: a fraction is read only for lengths; write a decimal number")
    return unit


def _without_unit(plain: str, number: Number, unit_suffix: str) -> tuple[Number, Unit]:
    wanted = BY_SUFFIX[unit_suffix]
    if wanted.kind == "count":
        if number.rest or number.over % number.under:
            raise QuantityError(f"{quoted(plain)} is not a whole number, {messages.examples(unit_suffix)}")
        return number, wanted
    if number.rest == "%":
        return number._replace(under=number.under * 100), wanted
    if number.rest:
        raise QuantityError(f"{quoted(plain)} is not a number without a unit, {messages.examples(unit_suffix)}")
    return number, wanted


def _feet_and_inches(plain: str, feet: str, inches: str) -> tuple[Number, Unit]:
    number = read_number(inches.strip())
    if number is None or number.rest:
        raise QuantityError(f'{quoted(plain)} is not a length; write it as "5 ft 6 in"')
    if number.over >= 12 * number.under:
        raise QuantityError(f'{quoted(plain)}: {inches.strip()} in is a foot or more; write it as "5 ft 6 in"')
    return number._replace(over=int(feet) * 12 * number.under + number.over), AS_WRITTEN["in"]


def _fits(unit: Unit, wanted: Unit) -> bool:
    return unit.kind == wanted.kind or (unit.kind == "temperature" and wanted.kind == "temperature difference")


def _converted(figures: Number, unit: Unit, wanted: Unit) -> float:
    over, under = figures.over, figures.under
    if wanted.kind == "temperature" and unit is not wanted:
        # Through kelvin, in hundredths, because every zero point is a whole number of hundredths.
        over, under = (over * 100 + unit.zero * under) * unit.over * wanted.under, under * unit.under * wanted.over
        return (over - wanted.zero * under) / (under * 100)
    # Division of whole numbers rounds once, to the nearest float.
    return (over * unit.over * wanted.under) / (under * unit.under * wanted.over)


def _within(text: str, number: float, unit_suffix: str, minimum: float | None, maximum: float | None, *, positive: bool) -> float:
    if (minimum is not None and number < minimum) or (maximum is not None and number > maximum):
        raise QuantityError(messages.out_of_range(text, number, unit_suffix, minimum, maximum))
    kind = BY_SUFFIX[unit_suffix].kind
    if positive and number <= 0:
        raise QuantityError(f"{quoted(text)} is not more than zero; expected {messages.expected(unit_suffix)}")
    if number < 0 and minimum is None and kind not in _MAY_BE_NEGATIVE:
        raise QuantityError(f"{quoted(text)} is below zero, which {messages.an(kind)} cannot be")
    if kind == "temperature" and _is_below_absolute_zero(number, unit_suffix):
        raise QuantityError(f"{quoted(text)} is below absolute zero")
    return number


def _is_below_absolute_zero(number: float, unit_suffix: str) -> bool:
    return number < -BY_SUFFIX[unit_suffix].zero / 100
