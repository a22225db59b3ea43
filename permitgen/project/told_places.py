"""Places told by a wall or from one become points of the plan, with all that they settle: building, outdoors, facing, description."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from permitgen.project.named_walls import NamedWall, ToldWronglyError, Walls, toward, wall_named
from permitgen.system.site.compass import NEAR_DEG, Direction, angle_between_deg, bearing_of
from permitgen.system.site.geometry import Point, contains

if TYPE_CHECKING:
    from permitgen.project.measured import Measured
    from permitgen.project.sections.hardware import PlaceModel
    from permitgen.project.sections.told_places import GroundModel, SpotModel
    from permitgen.system.site.plan import Room

OUTSIDE_WALL, GROUND, GARAGE = "outside wall", "ground", "garage"
# A stated point or measurement that is this near the one told agrees with it.
AGREES_FT = 0.5
_JUST_OUTSIDE_FT = 0.1
# Words of spaces within a building, and those with which a space is outside all the same, for example "garage outside wall".
_ROOMS = ("garage", "basement", "closet", "utility", "attic", "laundry", "kitchen", "bedroom", "hall", "crawl")
_OUTSIDE = ("outside", "outdoor", "wall", "ground", "yard", "pad", "roof", "eave")


@dataclass(frozen=True, slots=True)
class Spot:
    """What words tell of a place; ``point`` None where a distance is not known."""

    point: Point | None
    wall: NamedWall
    words: tuple[str, ...]
    is_on_wall: bool


def spot_of(told: SpotModel, walls: Walls) -> Spot | None:
    """Return the spot that a place tells in words; None where it tells none.

    Raises:
        ToldWronglyError: the words lead to no place, or to two.
    """
    if told.ground is not None:
        if told.wall:
            raise ToldWronglyError("wall and ground both say where it is; expected one of the two", "ground", at_key=True)
        _no_corner_without_wall(told)
        return _on_ground(told.ground, walls)
    if not told.wall:
        _no_corner_without_wall(told)
        return None
    wall = walls.wall(told.wall, "wall")
    if wall.is_of_the_lot:
        raise ToldWronglyError("a lot line is no wall; expected ground: {away_from: " + wall.name + ", …}", "wall")
    words = (_whose(wall, walls), f"{wall.side} wall {'inside' if wall.is_inside else 'outside'}")
    if told.distance is None:
        if told.from_:
            walls.corner(wall, told.from_, "from")
        return Spot(None, wall, words, is_on_wall=True)
    if not told.from_:
        corners = " or ".join(f"{corner} corner" for corner in wall.corners)
        raise ToldWronglyError(f"a distance along a wall is from one of its corners; expected from: {corners}", "distance", at_key=True)
    point = walls.along(wall, told.from_, told.distance.number, "distance")
    return Spot(point, wall, (*words, f"{told.distance.spelled} from the {_corner(told.from_)}"), is_on_wall=True)


def _whose(wall: NamedWall, walls: Walls) -> str:
    """Return what a wall belongs to: its room, where it is one of a room."""
    return wall_named(wall.name, [*walls.rooms, wall.building])[0]


def ground_point(ground: GroundModel, walls: Walls) -> Point | None:
    """Return the point of a thing on the ground; None where a distance is not known.

    Raises:
        ToldWronglyError: the words lead to no place.
    """
    return _on_ground(ground, walls).point


def _no_corner_without_wall(told: SpotModel) -> None:
    for key, said in (("from", told.from_), ("distance", told.distance)):
        if said:
            raise ToldWronglyError(f"{key} goes with a wall; expected wall: its building and side", key, at_key=True)


def _on_ground(ground: GroundModel, walls: Walls) -> Spot:
    wall = walls.wall(ground.away_from, "ground", "away_from")
    if ground.from_ and ground.past:
        raise ToldWronglyError("from and past both name a corner; expected one of the two", "ground", "past", at_key=True)
    corner = ground.from_ or ground.past
    key = "from" if ground.from_ else "past"
    inside = " inside" if wall.is_inside else ""
    off = f"{_spelled(ground.distance)} off {wall.spoken if wall.is_of_the_lot else f'the {wall.side} wall{inside}'}"
    where = () if wall.is_of_the_lot else (_whose(wall, walls),)
    if not corner:
        if ground.along is not None:
            message = "a distance along a wall is from one of its corners; expected from or past"
            raise ToldWronglyError(message, "ground", "along", at_key=True)
        return Spot(None, wall, (*where, off) if ground.distance is not None else where, is_on_wall=False)
    near, far = walls.corner(wall, corner, "ground", key)
    if ground.distance is None or ground.along is None:
        return Spot(None, wall, where, is_on_wall=False)
    sign = -1.0 if ground.past else 1.0
    if not ground.past and ground.along.number > wall.length_ft + AGREES_FT:
        message = f"{wall.spoken} is {wall.length_ft:g} ft long; beyond its end say past: the other corner"
        raise ToldWronglyError(message, "ground", "along")
    foot = toward(near, far, sign * ground.along.number)
    # From a lot line one measures into the lot, from the inside of a wall into the building.
    deep = -ground.distance.number if wall.is_inside or wall.is_of_the_lot else ground.distance.number
    point = (round(foot[0] + deep * wall.out[0], 9), round(foot[1] + deep * wall.out[1], 9))
    along = f"{ground.along.spelled} {'past' if ground.past else 'from'} the {_corner(corner)}"
    return Spot(point, wall, (*where, off, along), is_on_wall=False)


def _spelled(length: Measured | None) -> str:
    return length.spelled if length is not None else ""


def _corner(text: str) -> str:
    said = " ".join(text.split()).casefold().removeprefix("the ")
    return said if said.endswith("corner") else f"{said} corner"


def place_told(place: PlaceModel, walls: Walls, use_of: Callable[[str], str]) -> PlaceModel:
    """Return a place with all that its words settle; ``use_of`` gives the use of a building.

    Raises:
        ToldWronglyError: the words lead to no place, or what is stated beside them contradicts them.
    """
    settled: dict[str, Any] = {}
    if isinstance(place.faces, str):
        settled["faces"] = walls.direction(place.faces, "faces")
    spot = spot_of(place, walls)
    if spot is None:
        return place.model_copy(update=settled) if settled else place
    told = _told_by(spot, walls, use_of)
    _refuse_contradictions(place, settled.get("faces", place.faces), told, spot, walls)
    if spot.is_on_wall:
        _refuse_covered(spot, walls)
    settled |= {key: value for key, value in told.items() if key not in ("space", "description") or not getattr(place, key)}
    return place.model_copy(update=settled)


def _told_by(spot: Spot, walls: Walls, use_of: Callable[[str], str]) -> dict[str, Any]:
    wall, inside = spot.wall, spot.wall.is_inside
    told: dict[str, Any] = {"outdoors": not inside}
    if spot.point is not None:
        told["map"] = [*spot.point]
    if inside:
        told["building"] = wall.building
        # A garage is one room; what other buildings are divided into, the plan says by their rooms, or the file by the space.
        room = _room_of(spot, walls)
        if room is not None:
            told["space"] = room.space
        elif use_of(wall.building) == GARAGE:
            told["space"] = GARAGE
    elif not spot.is_on_wall:
        told["space"] = GROUND
    if spot.is_on_wall:
        told["building"] = wall.building
        told |= {} if inside else {"space": OUTSIDE_WALL}
        out = (-wall.out[0], -wall.out[1]) if inside else wall.out
        told["faces"] = Direction(round(bearing_of(out, walls.north_deg), 6) % 360)
    told["description"] = ", ".join(spot.words)
    return told


def _room_of(spot: Spot, walls: Walls) -> Room | None:
    """Return the room in which a place inside lies, as the plan tells it: that of the named wall, else that before the wall there."""
    wall = spot.wall
    if (named := wall_named(wall.name, [*walls.rooms])[0]) in walls.rooms:
        return walls.rooms[named]
    if spot.point is None:
        return None
    before = _JUST_OUTSIDE_FT if spot.is_on_wall else 0.0
    return walls.room_at(wall.building, (spot.point[0] - before * wall.out[0], spot.point[1] - before * wall.out[1]))


def _refuse_contradictions(place: PlaceModel, faces: Any, told: dict[str, Any], spot: Spot, walls: Walls) -> None:
    where = f"wall: {spot.wall.name}" if spot.is_on_wall else f"away_from: {spot.wall.name}"
    _refuse_another_building(place, told, where)
    if place.outdoors is not None and place.outdoors != told["outdoors"]:
        raise _contradiction(where, f"outdoors: {'yes' if place.outdoors else 'no'}", "outdoors")
    if spot.wall.is_inside and "outside" in place.space.casefold():
        raise _contradiction(where, f"space: {place.space}", "space")
    _refuse_room_outside(place, spot, walls, where)
    _refuse_another_room(place, spot, walls)
    if isinstance(faces, Direction) and "faces" in told:
        apart = angle_between_deg(faces.on_page(walls.north_deg), told["faces"].on_page(walls.north_deg))
        if apart > NEAR_DEG + 1e-6:
            raise _contradiction(where, f"faces: {place.faces if isinstance(place.faces, str) else faces.words}", "faces")
    if len(place.map) == 2 and spot.point is not None:
        apart = math.dist(place.map, spot.point)
        if apart > AGREES_FT:
            drawn = f"map: [{place.map[0]:g}, {place.map[1]:g}], which lies {apart:.1f} ft from [{spot.point[0]:g}, {spot.point[1]:g}],"
            raise _contradiction(where, drawn, "map")


def _refuse_another_building(place: PlaceModel, told: dict[str, Any], where: str) -> None:
    if place.building and told.get("building", place.building) != place.building:
        raise _contradiction(where, f"building: {place.building}", "building")
    if "building" in place.absent and "building" in told:
        raise _contradiction(where, "building: none", "building")


def _refuse_room_outside(place: PlaceModel, spot: Spot, walls: Walls, where: str) -> None:
    """Refuse a place outside a wall in a room: who writes the room means the other side of the wall."""
    space = place.space.casefold()
    if spot.wall.is_inside or any(word in space for word in _OUTSIDE):
        return
    if any(word in space for word in _ROOMS) or space in {room.space.casefold() for room in walls.rooms.values() if room.space}:
        inside = f"wall: {spot.wall.building} {spot.wall.side} inside"
        raise ToldWronglyError(
            f"{where} is outside, and space: {place.space} is a room; expected {inside}, or space: {OUTSIDE_WALL}", "space"
        )


def _refuse_another_room(place: PlaceModel, spot: Spot, walls: Walls) -> None:
    room = _room_of(spot, walls) if spot.wall.is_inside else None
    if room is not None and place.space and place.space.casefold() != room.space.casefold():
        raise _contradiction(f"the {room.name} of {room.building}, where it stands,", f"space: {place.space}", "space")


def _contradiction(told: str, stated: str, key: str) -> ToldWronglyError:
    return ToldWronglyError(f"{told} and {stated} contradict each other; expected one of the two, or both alike", key)


def _refuse_covered(spot: Spot, walls: Walls) -> None:
    """Refuse a place outside on a part of a wall at which another building stands: nobody hangs a meter there."""
    if spot.point is None or spot.wall.is_inside:
        return
    outside = (spot.point[0] + _JUST_OUTSIDE_FT * spot.wall.out[0], spot.point[1] + _JUST_OUTSIDE_FT * spot.wall.out[1])
    for name, outline in walls.outlines.items():
        if name != spot.wall.building and contains(outline, outside):
            expected = f"expected another distance, {spot.wall.building} {spot.wall.side} inside, or a wall of {name}"
            raise ToldWronglyError(f"{name} covers this part of {spot.wall.spoken}; {expected}", "wall")
