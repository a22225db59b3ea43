"""Where buildings stand that are told by their size: by setbacks from the lot lines, beside, behind or before another one."""

from __future__ import annotations

from permitgen.project.directions import SIDES
from permitgen.project.named_walls import ToldWronglyError, front_missing, wall_named
from permitgen.project.plan_values import PlanSize, Shift
from permitgen.project.sections.plan import BuildingModel, PlanModel
from permitgen.project.sections.told_places import SetbackModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.geometry import Outline
from permitgen.system.site.roof_shapes import Rectangle, rectangle_of

_IN_LINE_FT = 0.01
Corners = list[list[float]]


def neighbor_of(drawn: BuildingModel, name: str, plan: PlanModel) -> str:
    """Return the building by which another one stands; empty where it stands by itself.

    Raises:
        ToldWronglyError: there is no such building, or it is the building itself.
    """
    key = next((key for key in ("beside", "behind", "in_front_of") if getattr(drawn, key)), "")
    if not key:
        return ""
    said = str(getattr(drawn, key))
    found, side = wall_named(said, [*plan.buildings])
    if found not in plan.buildings:
        known = (
            [f"{each} {word}" for each in plan.buildings if each != name for word in ("right", "left")]
            if key == "beside"
            else plan.buildings
        )
        raise ToldWronglyError(f"the plan has no building {quoted(found)}{did_you_mean(said, known)}", key)
    if found == name:
        raise ToldWronglyError(f"{name} stands {key.replace('_', ' ')} itself; expected another building", key)
    if key == "beside" and side.casefold() not in ("right", "left"):
        raise ToldWronglyError(f"{quoted(said)} does not say on which side; expected {found} right or {found} left", key)
    if key != "beside" and side:
        raise ToldWronglyError(f"{quoted(said)} names a side; expected {key}: {found}", key)
    return found


def standing(name: str, drawn: BuildingModel, size: PlanSize, plan: PlanModel, known: dict[str, Corners]) -> Corners:
    """Return the corners of a building told by its size, whose neighbor is among those ``known``.

    Raises:
        ToldWronglyError: what is said does not tell where it stands.
    """
    if drawn.front_left:
        return size.outline_from(*drawn.front_left)
    if drawn.setback is not None:
        return size.outline_from(*_set_back(drawn.setback, size, plan))
    neighbor = neighbor_of(drawn, name, plan)
    if neighbor:
        return size.outline_from(*_by_neighbor(drawn, size, neighbor, known[neighbor]))
    if plan.lot or (len(plan.buildings) > 1 and not _is_first(name, plan)):
        told = "setback, beside, behind, in_front_of or front_left"
        raise ToldWronglyError(f"the plan does not say where {name} stands; expected one of {told}", at_key=True)
    return size.outline_from(0.0, 0.0)


def _is_first(name: str, plan: PlanModel) -> bool:
    """Whether a building is the one from which all others are told: no other stands by itself."""
    return not any(not (each.beside or each.behind or each.in_front_of) for other, each in plan.buildings.items() if other != name)


def _set_back(setback: SetbackModel, size: PlanSize, plan: PlanModel) -> tuple[float, float]:
    lot = rectangle_of(_points(plan.lot))
    if lot is None:
        drawn = "not a rectangle square to the page" if plan.lot else "not drawn"
        raise ToldWronglyError(
            f"the lot is {drawn}; expected front_left: [x, y] in place of setback, or lot: its size", "setback", at_key=True
        )
    across = _one_of(setback, "left", "right")
    deep = _one_of(setback, "front", "back")
    near, far = getattr(setback, across).number, getattr(setback, deep).number
    left = lot.left + near if across == "left" else lot.right - near - size.width_ft
    front = lot.front + far if deep == "front" else lot.back - far - size.depth_ft
    if left < lot.left - _IN_LINE_FT or left + size.width_ft > lot.right + _IN_LINE_FT:
        room = lot.right - lot.left
        raise ToldWronglyError(f"{near:g} ft and the width of {size.width_ft:g} ft are more than the lot's {room:g} ft", "setback", across)
    if front < lot.front - _IN_LINE_FT or front + size.depth_ft > lot.back + _IN_LINE_FT:
        room = lot.back - lot.front
        raise ToldWronglyError(f"{far:g} ft and the depth of {size.depth_ft:g} ft are more than the lot's {room:g} ft", "setback", deep)
    return left, front


def _one_of(setback: SetbackModel, one: str, other: str) -> str:
    told = [key for key in (one, other) if getattr(setback, key) is not None]
    if len(told) != 1:
        found = "both" if told else "neither"
        raise ToldWronglyError(f"expected the distance from the {one} or the {other} lot line; found {found}", "setback")
    return told[0]


def _by_neighbor(drawn: BuildingModel, size: PlanSize, name: str, corners: Corners) -> tuple[float, float]:
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    other = Rectangle(min(xs), min(ys), max(xs), max(ys))
    gap = drawn.detached.number if drawn.detached is not None else 0.0
    if drawn.beside:
        side = wall_named(drawn.beside, [name])[1].casefold()
        _must_have_wall(_points(corners), other, side, name, "beside")
        left = other.right + gap if side == "right" else other.left - gap - size.width_ft
        return left, _in_line(drawn.front, drawn.back, other.front, other.back - size.depth_ft)
    side, key = ("back", "behind") if drawn.behind else ("front", "in_front_of")
    _must_have_wall(_points(corners), other, side, name, key)
    front = other.back + gap if drawn.behind else other.front - gap - size.depth_ft
    return _in_line(drawn.left, drawn.right, other.left, other.right - size.width_ft), front


def _in_line(low: Shift | None, high: Shift | None, at_low: float, at_high: float) -> float:
    """Return where a building begins whose low or high wall is in line with, or so far from that of, its neighbor."""
    return at_low + low.feet if low is not None else at_high + (high.feet if high is not None else 0.0)


def _must_have_wall(outline: Outline, other: Rectangle, side: str, name: str, key: str) -> None:
    """Refuse a neighbor that has no wall square to the page at its outermost: nothing can stand against a corner."""
    axis, at = {"front": (1, other.front), "right": (0, other.right), "back": (1, other.back), "left": (0, other.left)}[side]
    if sum(abs(corner[axis] - at) <= _IN_LINE_FT for corner in outline) < 2:
        message = f"no wall of {name} is drawn square to the page on its {side}; expected front_left: [x, y] in place of {key}"
        raise ToldWronglyError(message, key)


def _points(corners: Corners) -> Outline:
    return tuple((x, y) for x, y in corners)


def outlines_told(plan: PlanModel) -> tuple[dict[str, Corners], list[tuple[str, ToldWronglyError]]]:
    """Return the corners of every building, and (name, fault) of those that are told wrongly.

    A building stands once its neighbor does; what is left over at the end stands in a ring or by one that is told wrongly.
    """
    known = {name: drawn.outline for name, drawn in plan.buildings.items() if drawn.outline}
    waiting = {name: drawn for name, drawn in plan.buildings.items() if not drawn.outline}
    faults: list[tuple[str, ToldWronglyError]] = []
    # A size is along the street and away from it, and a roof told by its ridge has a front: a page that is north up has neither.
    by_sides = [name for name, drawn in plan.buildings.items() if drawn.size is not None or drawn.roof is not None]
    if by_sides and plan.front_faces is None:
        return known, [(by_sides[0], front_missing())]
    faults += [
        (wall, ToldWronglyError(f"{quoted(wall)} is a wall of {name}; call this building otherwise", at_key=True))
        for name in plan.buildings
        for side in SIDES
        if (wall := f"{name} {side}") in plan.buildings
    ]
    while waiting:
        ready = [name for name, drawn in waiting.items() if _can_stand(name, drawn, plan, known)]
        for name in ready:
            drawn = waiting.pop(name)
            try:
                if drawn.size is not None:
                    known[name] = standing(name, drawn, drawn.size, plan, known)
            except ToldWronglyError as error:
                faults.append((name, error))
        if not ready:
            break
    if waiting and not faults:
        ring = ", ".join(waiting)
        message = f"{ring} stand by each other in a ring; expected setback or front_left for one of them"
        faults.append((next(iter(waiting)), ToldWronglyError(message, at_key=True)))
    return known, faults


def _can_stand(name: str, drawn: BuildingModel, plan: PlanModel, known: dict[str, Corners]) -> bool:
    try:
        neighbor = neighbor_of(drawn, name, plan)
    except ToldWronglyError:
        return True
    return not neighbor or neighbor in known
