"""The vicinity sketch: the lot, the streets along it, the nearest cross street, north. Not to scale, from what the project states."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.site.geometry import centroid
from permitgen.system.site.plan import STREETS
from permitgen.views.wording import feet_and_inches

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from permitgen.system.site.plan import Plan, Street

SIDES = 4
"""Of the lot on the page, clockwise from up: up, right, down, left."""


@dataclass(frozen=True, slots=True)
class VicinityStreet:
    """A street along one side of the lot, or across the one at side ``crosses`` toward ``side``; ``words`` tell how far the crossing is."""

    name: str
    side: int
    crosses: int | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class Vicinity:
    """The sketch; ``north_deg`` is the compass direction of the page's up, ``missing`` what nobody states, by name."""

    streets: tuple[VicinityStreet, ...]
    north_deg: float
    missing: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Whether no street is named along the lot: then there is nothing to find the lot by."""
        return not self.streets

    @property
    def is_whole(self) -> bool:
        """Whether it shows all that a vicinity sketch is asked for."""
        return not self.is_empty and not self.missing


def vicinity_of(plan: Plan) -> Vicinity:
    """Return the sketch: streets drawn with their label beside the lot, streets stated along it, and what crosses them.

    Of several that cross toward one side it is the nearest. At a corner the streets along the lot cross each other.
    """
    stated = [VicinityStreet(street.name.upper(), _side(street.toward_deg)) for street in plan.vicinity if not street.crosses]
    named = {street.name.casefold() for street in stated}
    along = [*(street for street in _drawn(plan) if street.name.casefold() not in named), *stated]
    across = _nearest(plan, {street.name.casefold(): street.side for street in along})
    is_at_corner = {street.side % 2 for street in along} == {0, 1}
    missing = [] if across or is_at_corner else ["nearest cross street"]
    return Vicinity((*_one_a_side(along), *across), plan.north_deg, tuple(missing if along else ["streets", *missing]))


def _nearest(plan: Plan, sides: Mapping[str, int]) -> list[VicinityStreet]:
    """Return the nearest crossing toward each side; ``sides`` are those of the streets along the lot.

    Toward the side along which a street lies, or away from it, nothing crosses it.
    """
    found: dict[int, VicinityStreet] = {}
    for street in sorted(plan.vicinity, key=lambda each: each.distance_ft if each.distance_ft is not None else math.inf):
        crossed, side = sides.get(street.crosses.casefold()), _side(street.toward_deg)
        if crossed is not None and side % 2 != crossed % 2:
            found.setdefault(side, _crossing(street, crossed))
    return list(found.values())


def _one_a_side(along: Sequence[VicinityStreet]) -> list[VicinityStreet]:
    """Streets that run along the same side, a frontage road and its highway, are one with both names."""
    names: dict[int, list[str]] = {}
    for street in along:
        names.setdefault(street.side, []).append(street.name)
    return [VicinityStreet(", ".join(dict.fromkeys(those)), side) for side, those in names.items()]


def _drawn(plan: Plan) -> list[VicinityStreet]:
    """Return the streets of the plan that have a name, each at the side of the lot on which it lies."""
    if plan.lot is None or len(plan.lot.outline) < 3:
        return []
    xs, ys = [x for x, _ in plan.lot.outline], [y for _, y in plan.lot.outline]
    found: dict[str, VicinityStreet] = {}
    for feature in plan.features:
        if feature.kind.casefold() in STREETS and feature.label and len(feature.outline) > 1:
            x, y = centroid(feature.outline) if len(feature.outline) > 2 else feature.outline[0]
            beyond = (y - max(ys), x - max(xs), min(ys) - y, min(xs) - x)
            found.setdefault(feature.label.casefold(), VicinityStreet(feature.label.upper(), beyond.index(max(beyond))))
    return list(found.values())


def _crossing(street: Street, crossed: int) -> VicinityStreet:
    far = f"{feet_and_inches(street.distance_ft)} FROM THE LOT" if street.distance_ft is not None else ""
    return VicinityStreet(street.name.upper(), _side(street.toward_deg), crossed, far)


def _side(toward_deg: float) -> int:
    return round(toward_deg / 90.0) % SIDES
