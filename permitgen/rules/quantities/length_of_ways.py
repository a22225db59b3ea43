"""How long the ways of a circuit are from end to end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.values.equation import one_or_sum_of, selected

if TYPE_CHECKING:
    from collections.abc import Callable

    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, Way
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


def way_ft(given: Given, way: Way, title: str, counts: Callable[[Raceway], bool] = lambda _: True) -> Value:
    """Return the length of one way, ft: the sum of its runs, or of those that count.

    Raises:
        MissingFactError: the length of a run that counts is not stated.
    """
    runs = [run for run in (given.system.raceways[tag] for tag in way.runs) if counts(run)]
    lengths = [given.need(run.length_ft, f"length of {run.tag}") for run in runs]
    return one_or_sum_of(lengths, symbol="L", title=title, unit="ft")


def longest_way_ft(given: Given, circuit: Circuit, title: str, counts: Callable[[Raceway], bool] = lambda _: True) -> Value:
    """Return the length of the longest way of a circuit that has one, ft.

    Raises:
        MissingFactError: the length of a run that counts is not stated.
    """
    found = [way_ft(given, way, title, counts) for way in circuit.ways]
    if len(found) == 1:
        return found[0]
    number = max(value.number for value in found)
    return selected(number, "ft", by="longest of", inputs=tuple(found), symbol="L", title=f"{title}, its longest way")
