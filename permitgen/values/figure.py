"""Numbers within a sentence: as short as a person would write them, lengths as on a tape where they are whole inches."""

from __future__ import annotations

_PLACES = 3
_INCHES_OF_A_FOOT = 12
_WHOLE = 1e-6


def figure(number: float) -> str:
    """Return a number with at most three decimals, ``66.667``; what is smaller than that keeps two digits."""
    text = f"{round(number, _PLACES):g}" if abs(number) < 10**5 else f"{number:.0f}"
    return f"{number:.2g}" if text in ("0", "-0") and number else text


def length(number: float, unit: str) -> str:
    """Return a length with its unit, ``12.5 ft``; feet that no short decimal gives but whole inches do, ``2 ft 4 in``."""
    inches = number * _INCHES_OF_A_FOOT
    short, whole = abs(round(number, 2) - number) < _WHOLE, abs(round(inches) - inches) < _WHOLE * _INCHES_OF_A_FOOT
    if unit != "ft" or short or not whole:
        return f"{figure(number)} {unit}"
    feet, rest = divmod(round(inches), _INCHES_OF_A_FOOT)
    return f"{feet} ft {rest} in" if feet else f"{rest} in"
