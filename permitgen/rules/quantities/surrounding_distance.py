"""How far equipment stands from things around it: doors, lot lines, gas meters, other equipment; drawn, stated, or not known."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_least, does_not_apply, not_judged, require_at_least
from permitgen.rules.quantities.plan_contradictions import UNKNOWN_HALF_WIDTH_FT, shape_on_plan
from permitgen.rules.quantities.plan_openings import jambs, wall_at
from permitgen.system.site.facing import walls_not_shown
from permitgen.system.site.geometry import Outline, distance_between, edges
from permitgen.system.site.surroundings import DRAWN_AS, EQUIPMENT, OPENINGS, PROPERTY_LINE, fact_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.site.plan import Plan


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Things of one kind as the plan draws them: each an outline, where a single point is a thing of unknown size.

    ``unplaced`` names what is there and not drawn. ``are_all`` says whether there are no others: where it is False, a thing that is
    not drawn may be anywhere, but no nearer than ``unseen_ft`` where that is known.
    """

    shapes: tuple[Outline, ...]
    are_all: bool
    unplaced: tuple[str, ...] = ()
    unseen_ft: float | None = None


def judge_distance(item: Equipment, given: Given, limit: Value, thing: str) -> Judgement:
    """Judge the distance of equipment to the nearest thing: a violation by either of statement and plan, a pass where all is known."""
    place = given.need(item.place, f"place of {item.tag}")
    stated = place.fact(fact_of(thing))
    if stated is None and thing == "door or window":
        stated = place.fact("to_door_or_window")
    around = surroundings_of(item, given, thing)
    own = shape_on_plan(given.system, item)
    drawn = [_bounds(shape, other) for shape in own for other in around.shapes]
    nearest = _value(item, thing, min((most for _, most in drawn), default=math.inf))
    if nearest is not None and not at_least(nearest, limit):
        return _judged(item, thing, nearest, limit)
    if stated is not None:
        return _judged(item, thing, stated, limit)
    if around.are_all and not around.shapes and not around.unplaced:
        return does_not_apply(f"{item.tag}: no {thing} on the site")
    known = _value(item, thing, min([least for least, _ in drawn] + ([around.unseen_ft] if around.unseen_ft is not None else [math.inf])))
    is_known = bool(own) and not around.unplaced and (around.are_all or around.unseen_ft is not None)
    if is_known and known is not None and at_least(known, limit):
        return _judged(item, thing, known, limit)
    why = f" (place on the plan of {around.unplaced[0]})" if own and around.unplaced else ""
    return not_judged(f"distance of {item.tag} to the nearest {thing}{why}")


def _judged(item: Equipment, thing: str, distance: Value, limit: Value) -> Judgement:
    message = f"{item.tag}: {distance.length} to the nearest {thing}, {limit.length} needed"
    return require_at_least(message, computed=distance.named("d"), limit=limit)


def _value(item: Equipment, thing: str, feet: float) -> Value | None:
    title = f"distance of {item.tag} to the nearest {thing}"
    return Value(feet, "ft", FromSystem("measured on the site plan"), "d", title) if math.isfinite(feet) else None


def _bounds(one: Outline, other: Outline) -> tuple[float, float]:
    """Return the least and the largest distance that two drawn things may have, ft; of a single point the size is not known."""
    apart = distance_between(one, other)
    unknown = UNKNOWN_HALF_WIDTH_FT * sum(len(shape) == 1 for shape in (one, other))
    return max(0.0, apart - unknown), apart


def surroundings_of(item: Equipment, given: Given, thing: str) -> Surroundings:
    """Return the things of the kind ``thing`` around a piece of equipment."""
    plan = given.system.site.plan
    if thing == PROPERTY_LINE:
        return Surroundings(tuple(edges(plan.lot.outline)) if plan.lot is not None else (), are_all=plan.lot is not None)
    if thing in EQUIPMENT:
        return _equipment(item, given, EQUIPMENT[thing])
    if thing in OPENINGS:
        return _openings(item, given, thing)
    shapes, unplaced = _features(plan, (thing,))
    return Surroundings(shapes, thing in plan.features_shown, unplaced)


def _features(plan: Plan, names: tuple[str, ...]) -> tuple[tuple[Outline, ...], tuple[str, ...]]:
    """Return the features of some kinds as the plan draws them, and what it calls those that it places nowhere."""
    shapes: list[Outline] = []
    unplaced: list[str] = []
    for feature in plan.features:
        if feature.kind.casefold() not in names:
            continue
        if feature.outline:
            shapes.append(feature.outline)
        elif feature.point is not None:
            shapes.append((feature.point,))
        else:
            unplaced.append(feature.label or feature.kind)
    return tuple(shapes), tuple(unplaced)


def _equipment(item: Equipment, given: Given, kind: str) -> Surroundings:
    """Other equipment of a kind; a house has a meter, so that where the file describes none it is not known where it is."""
    others = [other for other in given.system.equipment.values() if other is not item and other.kind == kind]
    shapes = {other.tag: shape_on_plan(given.system, other) for other in others}
    return Surroundings(
        tuple(shape for each in shapes.values() for shape in each),
        are_all=bool(others) or kind != "meter",
        unplaced=tuple(tag for tag, each in shapes.items() if not each),
    )


def _openings(item: Equipment, given: Given, thing: str) -> Surroundings:
    """Doors and windows; a wall of which nobody says that all of its openings are drawn may have one anywhere."""
    plan = given.system.site.plan
    walls = [building.outline for building in plan.buildings]
    features, unplaced = _features(plan, DRAWN_AS.get(thing, ()))
    shapes: list[Outline] = list(features)
    for opening in plan.openings:
        if any(word in opening.kind for word in OPENINGS[thing]):
            wall = wall_at(opening.point, walls)
            is_known = wall is not None and opening.width_ft is not None
            shapes.append(jambs(opening.point, opening.width_ft, wall) if is_known else (opening.point,))  # type: ignore[arg-type]
    not_shown = [wall for building in plan.buildings for wall in walls_not_shown(plan, building)]
    unseen = [_bounds(shape, wall)[0] for shape in shape_on_plan(given.system, item) for wall in not_shown]
    return Surroundings(tuple(shapes), bool(walls) and not not_shown, unplaced, min(unseen, default=None))
