"""Where a run lies. One word settles whether it is wet, buried and inside; words that contradict each other are refused.

A raceway outdoors above grade is wet inside, and so is one underground (NEC articles on wet locations and underground
installations); the inside of a building is dry unless the file says that it is wet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from permitgen.system.raceway import WIREWAYS

UNDERGROUND, ROOF = "underground", "roof"
ATTIC = "attic"
INSIDE = ("indoors", ATTIC)
PLACES = (*INSIDE, "outdoors", ROOF, UNDERGROUND)
# Keys that only a buried run has.
_OF_BURIED_RUNS = ("cover", "surface", "riser")


@dataclass(frozen=True, slots=True)
class RunPlace:
    """None where the file does not settle it; ``on_roof`` and ``in_open_air`` are what its places say: a part of it lies there.

    ``in_attic`` is whether a part of it lies in an attic; ``inside_building: yes`` alone leaves that open.
    """

    wet: bool | None
    buried: bool | None
    inside_building: bool | None
    on_roof: bool
    in_open_air: bool
    in_attic: bool | None


def run_place_of(given: Any) -> RunPlace:
    """Return what the keys of a run settle: those that say it, else ``place``, else what only runs of one kind state."""
    places = given.place or _place_told_by_others(given)
    wet, buried, inside = given.wet, given.buried, given.inside_building
    if places:
        wet = any(place not in INSIDE for place in places) if wet is None else wet
        buried = UNDERGROUND in places if buried is None else buried
        inside = any(place in INSIDE for place in places) if inside is None else inside
    elif wet is False and buried is None:
        # What lies underground is wet.
        buried = False
    in_open_air = any(place in (ROOF, "outdoors") for place in places)
    return RunPlace(wet, buried, inside, ROOF in places, in_open_air, _in_attic(given, places, inside))


def _in_attic(given: Any, places: tuple[str, ...], inside: bool | None) -> bool | None:  # noqa: FBT001
    if given.place:
        return ATTIC in places
    return False if inside is False else None


def _place_told_by_others(given: Any) -> tuple[str, ...]:
    """Return the place that other keys tell: a height above the roof, a cover, sunlight."""
    if given.above_roof is not None:
        return (ROOF,)
    if given.buried or (given.buried is None and any(getattr(given, key) for key in _OF_BURIED_RUNS)):
        return (UNDERGROUND,)
    if given.inside_building:
        return ("indoors",)
    return ("outdoors",) if given.within_array or given.in_sun else ()


def contradictions(given: Any) -> Iterator[tuple[str, str]]:
    """Yield (key, message) for each key of a run that another one contradicts."""
    places = given.place
    told = f"place: {', '.join(places)}" if places else ""
    if told and given.buried is not None and given.buried != (UNDERGROUND in places):
        yield "buried", f"{told} and buried: {_word(given.buried)} contradict each other; expected one of the two, or both alike"
    if told and given.inside_building is not None and given.inside_building != any(place in INSIDE for place in places):
        answer = _word(given.inside_building)
        yield "inside_building", f"{told} and inside_building: {answer} contradict each other; expected one of the two, or both alike"
    if told and given.above_roof is not None and ROOF not in places:
        yield "above_roof", f"{told} and a height above the roof contradict each other; expected place: roof"
    underground = given.buried if not told else UNDERGROUND in places
    for key in _OF_BURIED_RUNS if underground is False else ():
        if getattr(given, key):
            said = told or "buried: no"
            yield key, f"{said} and {key} contradict each other, as only a run underground has one; expected place: underground"
    yield from _sizes(given)
    if given.wet is False:
        where = _always_wet(given)
        if where:
            yield "wet", f"{where} and wet: no contradict each other; what lies there counts as wet; expected wet: yes, or no such key"


def _sizes(given: Any) -> Iterator[tuple[str, str]]:
    """A wireway has a width and a depth, conduit and tubing a trade size."""
    if given.kind in WIREWAYS:
        if given.trade_size is not None:
            yield "trade_size", "a wireway has no trade size; expected interior_width and interior_depth"
        return
    for key in ("interior_width", "interior_depth"):
        if getattr(given, key) is not None:
            yield key, f"only a wireway has an interior width and depth; {given.kind} has none"


def _always_wet(given: Any) -> str:
    if given.buried or given.above_roof is not None:
        return "buried: yes" if given.buried else "a height above the roof"
    return next((f"place: {place}" for place in given.place if place in (UNDERGROUND, ROOF)), "")


def _word(answer: bool) -> str:  # noqa: FBT001
    return "yes" if answer else "no"
