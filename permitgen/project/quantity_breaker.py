"""Ratings of overcurrent devices as people write them: ``2P 80 A``, ``80 A``, ``80A/2P``, ``two-pole 80 A``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_numbers import plain_text
from permitgen.project.quantity_value import parse_quantity
from permitgen.reading.problems import quoted

_POLES = re.compile(r"(?:^|(?<=[ /,Aa-]))([1-4]|one|two|three|single|double|triple)[ -]?(?:p|poles?)(?![a-z])", re.IGNORECASE)
_WORDS = {"one": 1, "single": 1, "two": 2, "double": 2, "three": 3, "triple": 3}

LARGEST_RATING_A = 1600.0
"""Four times the largest usual service of a dwelling (common practice, no published source): a rating above it is a slip."""


@dataclass(frozen=True, slots=True)
class BreakerText:
    """Rating and poles of ``2P 80 A``; ``poles`` is None where not written."""

    rating_a: float
    poles: int | None


def parse_breaker(text: str) -> BreakerText:
    """Read a rating with or without the number of poles, in either order.

    Raises:
        QuantityError: no rating, poles given twice, or more than four poles.
    """
    plain = plain_text(text)
    found = _POLES.findall(plain)
    rating = _POLES.sub("", plain).strip(" ,/-")
    if len(found) > 1 or re.search(r"[0-9] ?-?(?:p|pole)", rating, re.IGNORECASE):
        raise QuantityError(f'{quoted(plain)} is not a breaker; write poles and rating, for example "2P 80 A"')
    if not rating:
        raise QuantityError(f'{quoted(plain)} gives no rating; write for example "2P 80 A"')
    poles = None if not found else _WORDS.get(found[0].lower()) or int(found[0])
    return BreakerText(parse_quantity(rating, "a", positive=True, maximum=LARGEST_RATING_A), poles)
