"""Quantities as people write them, read by a grammar of our own: the one place to import a parser of field text from.

Values come out exact: a text is a ratio of whole numbers until the one division at the end, so ``35 ft`` in feet is 35.0
and ``10.7 m`` is the float nearest to its length in feet.
"""

from __future__ import annotations

from permitgen.project.conductor_text import parse_conductor_size, parse_trade_size
from permitgen.project.quantity_breaker import BreakerText, DeviceText, parse_breaker, parse_device
from permitgen.project.quantity_date import parse_date, require_days
from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_value import (
    TemperatureCoefficient,
    parse_count,
    parse_number,
    parse_one_of,
    parse_quantity,
    parse_temperature_coefficient,
)
from permitgen.project.quantity_voltage import SystemVoltage, parse_system_voltage
from permitgen.project.quantity_words import UNKNOWN, is_unknown, parse_yes_no

__all__ = [
    "UNKNOWN",
    "BreakerText",
    "DeviceText",
    "QuantityError",
    "SystemVoltage",
    "TemperatureCoefficient",
    "is_unknown",
    "parse_breaker",
    "parse_conductor_size",
    "parse_count",
    "parse_date",
    "parse_device",
    "parse_number",
    "parse_one_of",
    "parse_quantity",
    "parse_system_voltage",
    "parse_temperature_coefficient",
    "parse_trade_size",
    "parse_yes_no",
    "require_days",
]
