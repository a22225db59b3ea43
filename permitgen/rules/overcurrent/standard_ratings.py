"""Overcurrent devices have a standard rating; another one must be known to exist."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.standard_sizes import largest_standard_rating_a, next_standard_rating_a, standard_ratings_a
from permitgen.rules.judgement import Judgement, Verdict, require
from permitgen.rules.rule import rule
from permitgen.values.figure import figure

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "standard-ratings",
    title="Overcurrent devices have a standard rating; another one must be known to exist",
    provision="standard_ratings",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the rating of one device against the standard list.

    Requires: a rating of the list, or a statement that the device exists in another rating, which the code permits.
    Why: a rating nobody makes is a slip of the pen; it is found before the shopping list is written.
    Applies to: every device with a stated rating.
    Example that fails: a 55 A breaker.
    Example that passes: a 60 A breaker.
    """
    rating = given.need(device.device.rating_a, f"rating of the breaker or fuse at {device.tag}")
    number = rating.number
    known = standard_ratings_a(given.code) + (_fuse_ratings(given) if device.device.kind == "fuse" else ())
    if number in known:
        return require(fact=True, message=f"{device.tag}: {figure(number)} A is a standard rating", values=(rating,))
    if device.device.is_nonstandard:
        return require(
            fact=True, message=f"{device.tag}: {figure(number)} A is no standard rating and is stated to exist", values=(rating,)
        )
    near = [f"{largest_standard_rating_a(given.code, number):g} A"] if number > min(known) else []
    near += [f"{next_standard_rating_a(given.code, number):g} A"] if number < max(known) else []
    return require(
        fact=False,
        message=f"{device.tag}: {figure(number)} A is no standard rating; nearest: {' and '.join(near)}",
        otherwise=Verdict.CAUTION,
        values=(rating,),
        places=(device.at,) if device.at is not None else (),
    )


def _fuse_ratings(given: Given) -> tuple[float, ...]:
    table = given.table("standard_overcurrent_ratings")
    numbers = (table.number_at(("fuses only", row), "rating") for row in table.rows_of("fuses only"))
    return tuple(number for number in numbers if number is not None)
