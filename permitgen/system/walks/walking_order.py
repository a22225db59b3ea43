"""In which order a person who walks around the house comes to the handles of a shutdown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise, permutations
from typing import TYPE_CHECKING

from permitgen.system.site.geometry import Point, length_of_way
from permitgen.system.site.way_around import way_around

if TYPE_CHECKING:
    from permitgen.system.handle import Handle
    from permitgen.system.place import Place
    from permitgen.system.system import System

_MOST_TRIED = 6
"""Handles of one rank whose orders are all tried; more are taken as they stand."""


def in_walking_order(system: System, handles: Sequence[Handle], rank: Callable[[Handle], int]) -> list[Handle]:
    """Return the handles by rank, and within a rank by the shortest way from the service disconnect around the house and back to it.

    The reader of the placard stands at the service, which comes last. Where a place is not on the plan the order stays as it is.
    """
    ordered = sorted(handles, key=rank)
    places = {handle.id: point_of_place(handle.place) for handle in ordered}
    if not ordered or any(place is None for place in places.values()):
        return ordered
    points = {id_: place for id_, place in places.items() if place is not None}
    buildings = tuple(building.outline for building in system.site.plan.buildings if building.outline)
    known: dict[tuple[Point, Point], float] = {}

    def feet(one: Point, other: Point) -> float:
        if (one, other) not in known:
            known[one, other] = known[other, one] = length_of_way(way_around(buildings, one, other))
        return known[one, other]

    home = points[ordered[-1].id]
    found: list[Handle] = []
    for of_rank in sorted({rank(handle) for handle in ordered}):
        group = [handle for handle in ordered if rank(handle) == of_rank]
        here = points[found[-1].id] if found else home
        found += _shortest(group, here, home, points, feet)
    return found


def _shortest(
    group: list[Handle], here: Point, home: Point, points: dict[str, Point], feet: Callable[[Point, Point], float]
) -> list[Handle]:
    if not 1 < len(group) <= _MOST_TRIED:
        return group

    def length(order: Iterable[Handle]) -> float:
        way = (here, *(points[handle.id] for handle in order), home)
        return round(sum(feet(one, other) for one, other in pairwise(way)), 3)

    return list(min(permutations(group), key=length))


def point_of_place(place: Place | None) -> Point | None:
    """Return where a place lies on the plan, None where the project does not say."""
    if place is None or place.x_ft is None or place.y_ft is None:
        return None
    return (place.x_ft.number, place.y_ft.number)
