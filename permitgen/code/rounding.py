"""The roundings that the code permits, each by name; nothing else in a calculation is rounded.

Comparisons tolerate the last digits of binary arithmetic: 12.999999999999998 units are 13, and 50 × 0.58 is 29.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.values.value import Value

TOLERANCE = 1e-9


def whole_count(number: float) -> float:
    """Return ``number`` rounded down to a whole count: modules, units or conductors that fit."""
    return float(math.floor(number + TOLERANCE * max(1.0, abs(number))))


def count_by_note_7(number: float) -> float:
    """Return ``number`` rounded down, or up where it ends in 0.8 or more (Chapter 9, Note 7: conductors all of one size)."""
    whole = whole_count(number)
    return whole + 1 if number - whole >= 0.8 - TOLERANCE else whole


def amperes_of_load(number: float) -> float:
    """Return a load in amperes with a fraction below one half dropped and a larger one raised (220.5(B), load calculations only)."""
    return float(math.floor(number + 0.5 + TOLERANCE))


def whole_degrees_up(number: float) -> float:
    """Return a temperature rounded up to a whole degree, as the bands of the correction tables are read."""
    return float(math.ceil(number - TOLERANCE * max(1.0, abs(number))))


def kilowatts_over(number: float, limit: float) -> float:
    """Return the kilowatts of ``number`` above ``limit``, a major fraction counted as a whole one (Table 220.55, Note 1)."""
    return float(math.floor(max(0.0, number - limit) + 0.5 + TOLERANCE))


def rounded_down(value: Value, *, symbol: str, title: str, provision: Provision | None = None) -> Value:
    """Return ``whole_count`` of a value as a step of its own."""
    return selected(whole_count(value.number), "count", by="rounded down", inputs=(value,), symbol=symbol, title=title, provision=provision)


def load_amperes(value: Value, provision: Provision, *, symbol: str = "I", title: str = "load current, rounded") -> Value:
    """Return ``amperes_of_load`` of a value as a step of its own; ``provision`` is the rounding rule of the edition."""
    number = amperes_of_load(value.number)
    return selected(number, "a", by="fraction below 0.5 A dropped", inputs=(value,), symbol=symbol, title=title, provision=provision)
