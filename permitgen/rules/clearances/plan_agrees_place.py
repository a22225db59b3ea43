"""Equipment stands where the text says: lot, building, clear depth before others, distances to openings and to storage units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.quantities.bollards import bollards_near
from permitgen.rules.quantities.plan_contradictions import outside_ft, shape_on_plan
from permitgen.rules.quantities.plan_distances import footprint_on_plan, space_before
from permitgen.rules.quantities.plan_openings import distance_to_opening, distance_to_unseen_opening
from permitgen.rules.quantities.unit_distances import distances_told_twice
from permitgen.rules.rule import rule
from permitgen.system.site.facing import facing_on_page
from permitgen.system.site.geometry import AT_WALL_FT, Outline, Point, along, distance_between, inside_ft
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.place import Place

_BARELY_FT = 0.05


@rule(
    "plan-agrees-place",
    title="Equipment stands where the text says: lot, building, clear depth before others, distances to openings and to storage units",
    provision="drawn_as_stated",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge where the plan draws one piece of equipment.

    Requires: on the lot; indoors inside its building, on an outside wall within 3 ft of it and not inside a building; nothing drawn
    nearer in front of it than the clear depth stated; the stated distance to a door or window as drawn; the stated distance of storage
        units as drawn, and as the next unit states it; each to 0.5 ft; no bollards before what is said to have no protection from vehicles.
    Why: text and plan that contradict each other cannot both be built; one of them is judged, the other is built.
    Applies to: equipment with a place on the plan, but not arrays; storage units that state their distance to the next.
    Example that fails: a battery said to be in the garage and drawn in the house.
    Example that passes: the same battery drawn 2 ft inside the garage.
    """
    drawn, told = _drawn(item, given), _told_twice(item, given)
    if drawn is None and not told:
        return does_not_apply(f"{item.tag}: not drawn as equipment")
    parts = [*(drawn or ()), *told]
    if not parts:
        return does_not_apply(f"{item.tag}: the plan draws nothing that could contradict its place")
    return all_of(f"{item.tag}: drawn where it is said to be", parts)


def _drawn(item: Equipment, given: Given) -> list[Judgement] | None:
    """What the plan draws of equipment; None where it does not draw it as equipment."""
    place = item.place
    if item.kind == "pv_array" or place is None or place.x_ft is None or place.y_ft is None:
        return None
    at = (place.x_ft.number, place.y_ft.number)
    return [
        *_on_lot(item, given),
        *_at_building(item, place, at, given),
        *_before(item, place, given),
        *_openings(item, place, given),
        *_bollards(item, place, given),
    ]


def _told_twice(item: Equipment, given: Given) -> list[Judgement]:
    """The distance to the next storage unit, told by the unit itself, by its neighbor and by the plan."""
    found = []
    for pair in distances_told_twice(given.system, item):
        other = f"{pair.told} says {pair.other_ft:.1f} ft" if pair.told else f"{pair.other_ft:.1f} ft drawn"
        message = f"{item.tag}: {pair.stated_ft:.1f} ft to the next storage unit stated, {other}"
        found.append(_at_most(message, abs(pair.stated_ft - pair.other_ft), given, f"difference of the distances from {item.tag}"))
    return found


def _on_lot(item: Equipment, given: Given) -> list[Judgement]:
    lot = given.system.site.plan.lot
    if lot is None or item.kind == "utility_service":
        return []
    off = max(outside_ft(lot.outline, shape) for shape in shape_on_plan(given.system, item))
    return [_at_most(f"{item.tag}: drawn {off:.1f} ft off the lot", off, given, f"{item.tag} beyond the lot line")]


def _at_building(item: Equipment, place: Place, at: Point, given: Given) -> list[Judgement]:
    plan = given.system.site.plan
    own = plan.building(place.building)
    if "roof" in place.space or place.outdoors is None:
        return []
    found = []
    for building in plan.buildings:
        deep = inside_ft(building.outline, at)
        if deep > 0 and (place.outdoors or (own is not None and building is not own)):
            where = "outdoors" if place.outdoors else f"in {place.building}"
            message = f"{item.tag}: said to be {where}, drawn {deep:.1f} ft inside {building.name}"
            found.append(_at_most(message, deep, given, f"{item.tag} inside {building.name}"))
    if own is not None and (not place.outdoors or "wall" in place.space):
        away = outside_ft(own.outline, [at])
        message = f"{item.tag}: said to be at {own.name}, drawn {away:.1f} ft outside it"
        allowed = Value(AT_WALL_FT, "ft", FromSystem("equipment on an outside wall"), "d", "from the wall") if place.outdoors else None
        found.append(_at_most(message, away, given, f"{item.tag} outside {own.name}", allowed))
    return found


def _before(item: Equipment, place: Place, given: Given) -> list[Judgement]:
    """Nothing is drawn before the equipment's own width nearer than the depth that is said to be clear.

    The space of 30 in may shift sideways; the width of the equipment is in it however it shifts.
    """
    system, clear = given.system, place.fact("clear_depth")
    outline, facing = footprint_on_plan(system, item), facing_on_page(system.site.plan, place)
    if not item.holds_devices or clear is None or outline is None:
        return []
    low, high = along(outline, (-facing[1], facing[0]))
    space = space_before(outline, facing, max(0.0, high - low - 2 * _BARELY_FT), clear.number)
    others = [other for other in system.equipment.values() if other is not item and _may_stand_before(place, other)]
    return [
        _too_near(item, other, clear, _ahead_ft(outline, facing, shape), given)
        for other in others
        for shape in shape_on_plan(system, other)
        if distance_between(space, shape) == 0.0
    ]


def _may_stand_before(place: Place, other: Equipment) -> bool:
    there = other.place
    if there is None or not other.may_stand_before_others:
        return False
    return there.outdoors == place.outdoors and "roof" not in there.space and "underground" not in there.space


def _ahead_ft(outline: Outline, facing: Point, shape: Outline) -> float:
    return max(0.0, along(shape, facing)[0] - along(outline, facing)[1])


def _too_near(item: Equipment, other: Equipment, clear: Value, ahead: float, given: Given) -> Judgement:
    """A violation below the least depth of any voltage; between that and what is stated the statement is doubtful."""
    tolerance = given.provision("drawn_as_stated").value("tolerance_ft").number
    least = given.table("working_space_depth").band(0.0, "condition_1")
    drawn = Value(ahead, "ft", FromSystem("measured on the site plan"), "d", f"{other.tag} in front of {item.tag}")
    limit = Value(max(0.0, clear.number - tolerance), "ft", FromSystem("as stated, less the tolerance"), "d", f"clear depth of {item.tag}")
    message = f"{item.tag}: {clear.length} said to be clear in front, {other.tag} drawn {ahead:.1f} ft in front"
    verdict = Verdict.VIOLATED if ahead < least.number else Verdict.CAUTION
    return require_at_least(message, computed=drawn, limit=limit, otherwise=verdict)


def _openings(item: Equipment, place: Place, given: Given) -> list[Judgement]:
    """Some measure to the openings of the dwelling, some to those of any building: the drawing that fits better is compared."""
    stated = place.fact("to_door_or_window")
    measured = [distance_to_opening(given.system, item, of_any_building=any_) for any_ in (False, True)]
    known = [distance for distance in measured if distance is not None]
    if stated is None or not known:
        return []
    drawn = min(known, key=lambda distance: abs(stated.number - distance.number))
    unseen = distance_to_unseen_opening(given.system, item, of_any_building=True)
    if stated.number < drawn.number and unseen is not None and unseen.number <= stated.number:
        return []  # what was measured on site may be an opening that the plan does not draw
    apart = abs(stated.number - drawn.number)
    message = f"{item.tag}: {stated.length} to a door or window stated, {drawn.number:.1f} ft drawn"
    return [_at_most(message, apart, given, f"difference of stated and drawn distance of {item.tag}")]


def _bollards(item: Equipment, place: Place, given: Given) -> list[Judgement]:
    """What is said to have no protection from vehicles has no bollards before it."""
    if place.word("vehicle_protection") != "none":
        return []
    number = max(len(bollards_near(given.system, shape)) for shape in shape_on_plan(given.system, item))
    drawn = Value(float(number), "count", FromSystem("bollards on the site plan"), "n", f"bollards before {item.tag}")
    none = Value(0.0, "count", FromSystem("as stated"), "n", f"protection of {item.tag}")
    message = f"{item.tag}: said to have no protection from vehicles, {number} bollard{'s' if number > 1 else ''} drawn before it"
    return [require_at_most(message, computed=drawn, limit=none)] if number else []


def _at_most(message: str, found: float, given: Given, title: str, limit: Value | None = None) -> Judgement:
    tolerance = given.provision("drawn_as_stated").value("tolerance_ft")
    measured = Value(found, "ft", FromSystem("measured on the site plan"), "d", title)
    return require_at_most(message, computed=measured, limit=limit or tolerance)
