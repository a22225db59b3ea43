"""Quantities as people write them, read by a grammar of our own. Import every parser from here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from permitgen.values.conductor_size import ConductorSize


class QuantityError(ValueError):
    """A text is not the quantity its field asks for; the message says what was expected."""


@dataclass(frozen=True, slots=True)
class SystemVoltage:
    """A nominal voltage; ``form`` is ``split phase``, ``wye``, ``line to line`` or ``line to neutral``."""

    line_to_line_v: float | None
    line_to_neutral_v: float | None
    form: str


@dataclass(frozen=True, slots=True)
class BreakerText:
    """Rating and poles of ``2P 80 A``; ``poles`` is None where not written."""

    rating_a: float
    poles: int | None


@dataclass(frozen=True, slots=True)
class TemperatureCoefficient:
    """A voltage coefficient with its sign; ``unit`` is ``percent_per_c`` or ``v_per_c``."""

    number: float
    unit: str


def parse_quantity(text: str, unit_suffix: str, *, minimum: float | None = None, maximum: float | None = None, positive: bool = False) -> float:
    """Return ``text`` as a number in the unit ``unit_suffix`` (a key of ``values.units.UNITS``); raises QuantityError."""
    raise NotImplementedError


def parse_one_of(text: str, unit_suffixes: tuple[str, ...], *, minimum: float | None = None, maximum: float | None = None, positive: bool = False) -> tuple[float, str]:
    """Return the number and the first of ``unit_suffixes`` whose kind of quantity ``text`` is: watts or amperes."""
    raise NotImplementedError


def parse_number(text: str, *, minimum: float | None = None, maximum: float | None = None, positive: bool = False) -> float:
    """Return a bare number, without unit."""
    raise NotImplementedError


def parse_count(text: str, *, minimum: int = 0, maximum: int | None = None) -> int:
    """Return a whole number."""
    raise NotImplementedError


def parse_yes_no(text: str) -> bool:
    """Return True for ``yes``, False for ``no``."""
    raise NotImplementedError


def parse_date(text: str) -> date:
    """Return the day written ``2025-03-04``."""
    raise NotImplementedError


def parse_system_voltage(text: str) -> SystemVoltage:
    """Read ``120/240 V``, ``208Y/120 V``, ``240 V``."""
    raise NotImplementedError


def parse_breaker(text: str) -> BreakerText:
    """Read ``2P 80 A`` or ``80 A``."""
    raise NotImplementedError


def parse_temperature_coefficient(text: str) -> TemperatureCoefficient:
    """Read ``-0.27 %/°C``, ``-0.16 V/°C``, ``-1.8 mV/°C``."""
    raise NotImplementedError


def parse_conductor_size(text: str) -> ConductorSize:
    """Read ``6 AWG``, ``1/0 AWG``, ``250 kcmil``."""
    raise NotImplementedError


def parse_trade_size(text: str) -> str:
    """Return the name of ``values.trade_size.TRADE_SIZES``: ``1-1/4 in`` gives ``1-1/4``."""
    raise NotImplementedError


def is_unknown(text: str) -> bool:
    """Tell whether the writer says the fact is not known: the word ``unknown``."""
    return text.strip().casefold() == "unknown"
