"""Raceways enter an enclosure only where its wall lets them, and leave each other room for their locknuts."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require
from permitgen.rules.parts import parts_for
from permitgen.rules.rule import rule
from permitgen.values.trade_size import trade_size_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.enclosure import EntryZone
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.raceway import Entry, Raceway

_EDGE = 1e-9


@rule(
    "entry-zones",
    title="Raceways enter an enclosure only where its wall lets them, and leave each other room for their locknuts",
    provision="listed_and_instructed",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge each raceway that enters an enclosure with described entry zones, and each pair on one wall.

    Requires: the raceway's outside lies inside a zone of its wall and its trade size is not above the zone's largest; locknuts have
    room inside the zone and beside their neighbors, else a caution.
    Why: where the wall tapers, or a part stands behind it, a hub does not seat and water runs in.
    Applies to: enclosures whose entry zones the file gives.
    Example that fails: 2 in conduit with its center 1 in from the edge of the zone.
    Example that passes: the same 1.6 in from the edge.
    """
    if not item.entry_zones:
        return does_not_apply(f"{item.tag}: no entry zones are stated")
    entering = [run for run in given.system.raceways.values() if run.is_conduit and _ends_at(run, item, given)]
    if not entering:
        return does_not_apply(f"{item.tag}: no raceway enters it")
    parts = parts_for(entering, lambda run: _one(item, given, run))
    placed = [run for run in entering if item.tag in run.entries]
    parts += parts_for(combinations(placed, 2), lambda pair: _pair(item, given, *pair))
    return all_of(f"{item.tag}: every raceway enters where the wall lets it", parts)


def _ends_at(run: Raceway, item: Equipment, given: Given) -> bool:
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[run.tag]]
    at_end = any(run.tag in circuit.runs_at(end) for circuit in circuits for end in circuit.ends if end.tag == item.tag)
    controls = (c for c in given.system.controls.values() if run.tag in c.runs)
    return at_end or item.tag in run.entries or any(item.tag in (control.source, control.device) for control in controls)


def _radius(run: Raceway, given: Given) -> float:
    name = given.need(run.trade_size, f"trade size of {run.tag}")
    return given.table("raceway_outside_diameter").at(name, "diameter").number / 2


def _one(item: Equipment, given: Given, run: Raceway) -> Judgement:
    entry = run.entries.get(item.tag)
    if entry is None:
        return not_judged(f"where {run.tag} enters {item.tag}")
    zones = [zone for zone in item.entry_zones if zone.wall == entry.wall]
    if not zones:
        return require(fact=False, message=f"{run.tag}: the {entry.wall} wall of {item.tag} has no zone for entries")
    room = max(_room(item, given, run, entry, zone) for zone in zones)
    radius, around = _radius(run, given), given.provision("locknut_room").value("around_in").number
    if room < radius - _EDGE:
        return require(
            fact=False, message=f"{run.tag}: {room:.3g} in to the edge of the zone on the {entry.wall} wall, {radius:.4g} in needed"
        )
    message = f"{run.tag}: {room:.3g} in to the edge of the zone on the {entry.wall} wall, {radius + around:.4g} in with a locknut"
    return require(room >= radius + around - _EDGE, message, otherwise=Verdict.CAUTION)


def _room(item: Equipment, given: Given, run: Raceway, entry: Entry, zone: EntryZone) -> float:
    """Return the smallest distance from the center to an edge of the zone; negative outside, or where the size is too large."""
    size = given.need(run.trade_size, f"trade size of {run.tag}")
    if zone.largest and trade_size_in(size) > trade_size_in(zone.largest):
        return -1.0
    x = given.need(entry.from_left_in, f"distance of {run.tag} from the left of the {entry.wall} wall of {item.tag}").number
    y = given.need(entry.from_back_in, f"distance of {run.tag} from the back of {item.tag}").number
    what = f"entry zone on the {zone.wall} wall of {item.tag}"
    left, right, back, front = (given.need(edge, what).number for edge in (zone.left_in, zone.right_in, zone.back_in, zone.front_in))
    return min(x - left, right - x, y - back, front - y)


def _pair(item: Equipment, given: Given, first: Raceway, second: Raceway) -> Judgement | None:
    around = given.provision("locknut_room").value("around_in").number
    one, other = first.entries[item.tag], second.entries[item.tag]
    places = (one.from_left_in, other.from_left_in, one.from_back_in, other.from_back_in)
    if one.wall != other.wall or None in places:
        return None
    x1, x2, y1, y2 = (place.number for place in places if place is not None)
    apart = ((x1 - x2) ** 2 + (y1 - y2) ** 2) ** 0.5
    touching = _radius(first, given) + _radius(second, given)
    names = f"{first.tag} and {second.tag}"
    if apart < touching - _EDGE:
        return require(fact=False, message=f"{names}: {apart:.3g} in apart on the {one.wall} wall, {touching:.4g} in needed")
    enough = touching + around
    message = f"{names}: {apart:.3g} in apart on the {one.wall} wall, {enough:.4g} in with locknuts"
    return require(apart >= enough - _EDGE, message, otherwise=Verdict.CAUTION)
