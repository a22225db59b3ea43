"""Rooms told by their size and the corner or the wall of the building at which they lie."""

from __future__ import annotations

from permitgen.project.directions import SIDES
from permitgen.project.named_walls import ToldWronglyError, Walls, front_missing
from permitgen.project.plan_values import PlanSize
from permitgen.project.sections.plan import PlanModel, RoomModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.geometry import Outline
from permitgen.system.site.plan import Room
from permitgen.system.site.roof_shapes import Rectangle, rectangle_of

_FITS_FT = 0.01
_OPPOSITE = {"front": "back", "back": "front", "left": "right", "right": "left"}


def rooms_told(plan: PlanModel, walls: Walls) -> tuple[dict[str, Room], list[tuple[tuple[str, ...], ToldWronglyError]]]:
    """Return the rooms by the name that walls are called by, and (place below the plan, fault) of what is told wrongly."""
    found: dict[str, Room] = {}
    faults: list[tuple[tuple[str, ...], ToldWronglyError]] = []
    for building, drawn in plan.buildings.items():
        for name, told in drawn.rooms.items():
            try:
                found[f"{building} {name}"] = _room(building, name, told, plan, walls, found)
            except ToldWronglyError as error:
                faults.append((("buildings", building, "rooms", name), error))
    return found, faults


def _room(building: str, name: str, told: RoomModel, plan: PlanModel, walls: Walls, others: dict[str, Room]) -> Room:
    if name.rsplit(maxsplit=1)[-1].casefold() in SIDES or f"{building} {name}" in plan.buildings:
        raise ToldWronglyError(f"{quoted(f'{building} {name}')} is a wall or a building already; call this room otherwise", at_key=True)
    outline: Outline = tuple((x, y) for x, y in told.outline)
    if told.size is not None:
        if plan.front_faces is None:
            raise front_missing()
        outline = _of_size(building, told, told.size, walls)
    box = rectangle_of(outline)
    for other in (other for other in others.values() if other.building == building):
        if box is not None and (taken := rectangle_of(other.outline)) is not None and _overlap(box, taken):
            raise ToldWronglyError(f"the room reaches into the {other.name}; rooms do not overlap", "at" if told.at else "outline")
    return Room(name=name, building=building, space=told.space or name, outline=outline)


def _of_size(building: str, told: RoomModel, size: PlanSize, walls: Walls) -> Outline:
    around = rectangle_of(walls.outlines[building])
    if around is None:
        raise ToldWronglyError("a size tells a room of a building of four corners square to the page only; expected its outline", "size")
    width, depth = around.right - around.left, around.back - around.front
    if size.width_ft > width + _FITS_FT or size.depth_ft > depth + _FITS_FT:
        raise ToldWronglyError(f"{size.spelled} is more than {building}, which is {width:g} ft wide and {depth:g} ft deep", "size")
    return tuple((x, y) for x, y in size.outline_from(*_front_left(told, around, size.width_ft, size.depth_ft)))


def _front_left(told: RoomModel, around: Rectangle, wide: float, deep: float) -> tuple[float, float]:
    words = [word for part in told.at.split() if (word := part.casefold()) not in ("corner", "wall", "the", "at")]
    strange = next((word for word in words if word not in SIDES), "")
    if strange or not words or len(words) > 2 or (len(words) == 2 and words[1] in (words[0], _OPPOSITE[words[0]])):
        expected = "expected a corner of the building such as front right corner, or a wall such as right wall"
        raise ToldWronglyError(
            f"{quoted(told.at)} is no corner and no wall; {expected}{did_you_mean(strange, SIDES) if strange else ''}", "at"
        )
    if len(words) == 2:
        if told.from_ or told.distance is not None:
            raise ToldWronglyError("a room in a corner needs no distance; expected at: one wall, or no from and distance", "at")
        return _toward(words[0], words[1], 0.0, around, wide, deep)
    corner = " ".join(word for part in told.from_.split() if (word := part.casefold()) not in ("corner", "the"))
    along = [side for side in SIDES if side not in (words[0], _OPPOSITE[words[0]])]
    if corner not in along or told.distance is None:
        expected = f"expected from: {along[0]} corner or {along[1]} corner, and distance"
        raise ToldWronglyError(f"the room's place along the {words[0]} wall is not told; {expected}", "from" if told.from_ else "at")
    length, reach = (around.right - around.left, wide) if corner in ("left", "right") else (around.back - around.front, deep)
    if told.distance.number + reach > length + _FITS_FT:
        message = f"{told.distance.spelled} and {reach:g} ft of room are more than the {length:g} ft of the {words[0]} wall"
        raise ToldWronglyError(message, "distance")
    return _toward(words[0], corner, told.distance.number, around, wide, deep)


def _toward(one: str, other: str, off_ft: float, around: Rectangle, wide: float, deep: float) -> tuple[float, float]:
    """Return the front left corner of a room against the side ``one``, ``off_ft`` from the corner toward ``other``."""
    off = {one: 0.0, other: off_ft}
    left = around.left + off["left"] if "left" in off else around.right - off["right"] - wide
    front = around.front + off["front"] if "front" in off else around.back - off["back"] - deep
    return left, front


def _overlap(one: Rectangle, other: Rectangle) -> bool:
    across = min(one.right, other.right) - max(one.left, other.left)
    deep = min(one.back, other.back) - max(one.front, other.front)
    return across > _FITS_FT and deep > _FITS_FT
