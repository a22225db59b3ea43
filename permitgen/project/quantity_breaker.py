"""Ratings of overcurrent devices as people write them: ``2P 80 A``, ``80 A``, ``80A/2P``, ``two-pole 80 A``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from permitgen.project.quantity_error import QuantityError
from permitgen.project.quantity_numbers import plain_text
from permitgen.project.quantity_value import parse_quantity
from permitgen.reading.problems import quoted

_POLES = re.compile(r"(?:^|(?<=[ /,Aa-]))([1-4]|one|two|three|single|double|triple)[ -]?(?:p|poles?)(?![a-z])", re.IGNORECASE)
_KIND = re.compile(r"(fuses?|circuit breaker|breaker) +", re.IGNORECASE)
_INTERRUPTING = re.compile(r"(?:^|(?<= |,))([0-9]{1,3}(?:\.[0-9]+)?) ?kA(?: ?AIC)?(?=$|[ ,])", re.IGNORECASE)
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


@dataclass(frozen=True, slots=True)
class DeviceText:
    """What ``fuses 60A 2P 100kA`` says of a device; empty where it says nothing."""

    breaker: BreakerText
    kind: str = ""
    interrupting_rating: str = ""


def parse_device(text: str) -> DeviceText:
    """Read a device as a directory has it: its kind or none, poles and rating in either order, its interrupting rating or none.

    Raises:
        QuantityError: no rating, poles or interrupting rating given twice, or more than four poles.
    """
    plain = plain_text(text)
    named = _KIND.match(plain)
    kind = "" if named is None else "fuse" if named[1].casefold().startswith("fuse") else "circuit breaker"
    rest = plain[named.end() :] if named is not None else plain
    interrupting = _INTERRUPTING.findall(rest)
    if len(interrupting) > 1:
        raise QuantityError(f'{quoted(plain)} gives two interrupting ratings; write for example "2P 60 A 10 kA"')
    breaker = parse_breaker(_INTERRUPTING.sub(" ", rest).strip(" ,") if interrupting else rest)
    return DeviceText(breaker, kind, f"{interrupting[0]} kA" if interrupting else "")
