"""Walls and corners as people name them: ``garage right``, ``garage, east``, ``garage right inside``, ``lot left``; ``front corner``."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from permitgen.project.directions import SIDES, read_direction
from permitgen.project.messages import Location
from permitgen.project.sections.plan import PlanModel
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.site.compass import WORDS, Direction, bearing_of
from permitgen.system.site.facing import outward, walls_facing
from permitgen.system.site.geometry import Outline, Point, contains
from permitgen.system.site.plan import Room

LOT = "lot"
_BESIDE_THE_SIDE = ("wall", "line", "inside", "outside")
# A corner lies toward a word that is within 60 degrees of the wall.
_LEAST_ALONG = 0.5
_SAME_FT = 0.01


class ToldWronglyError(Exception):
    """Words that lead to no place. ``key`` is where they stand below the thing told, or from the top of the file."""

    def __init__(self, message: str, *key: str | int, from_top: bool = False, at_key: bool = False) -> None:
        super().__init__(message)
        self.key: Location = key
        self.from_top = from_top
        self.at_key = at_key


@dataclass(frozen=True, slots=True)
class NamedWall:
    """A wall, or a line of the lot: ``name`` as written, ``side`` the word for its side, both ends, and its outward normal on the page.

    ``spoken_as`` is what else it is in a sentence: the wall of a room, the eave of a roof.
    """

    name: str
    building: str
    side: str
    start: Point
    end: Point
    out: Point
    is_inside: bool
    corners: tuple[str, ...]
    spoken_as: str = ""

    @property
    def length_ft(self) -> float:
        """Its length, ft."""
        return math.dist(self.start, self.end)

    @property
    def is_of_the_lot(self) -> bool:
        """Whether it is a lot line."""
        return not self.building

    @property
    def spoken(self) -> str:
        """The wall in a sentence."""
        if self.spoken_as:
            return self.spoken_as
        return f"the {self.side} lot line" if self.is_of_the_lot else f"the {self.side} wall of {self.building}"


@dataclass(frozen=True, slots=True)
class Walls:
    """The walls of a plan whose outlines are known, and the directions of the words that name them."""

    outlines: Mapping[str, Outline]
    lot: Outline
    north_deg: float
    has_front: bool
    rooms: Mapping[str, Room] = field(default_factory=dict)

    def room_at(self, building: str, point: Point) -> Room | None:
        """Return the room of a building in which a point lies; None where none is told there."""
        return next((room for room in self.rooms.values() if room.building == building and contains(room.outline, point)), None)

    def direction(self, word: str, *key: str | int) -> Direction:
        """Return the direction of a side or a compass word.

        Raises:
            ToldWronglyError: no such word, or a side as seen from the street on a plan that does not say where the front faces.
        """
        said = word.casefold()
        if said in SIDES:
            if not self.has_front:
                raise front_missing()
            return Direction((self.north_deg + 180 - 90 * SIDES.index(said)) % 360)
        try:
            found = read_direction(word)
        except ValueError as error:
            raise ToldWronglyError(_no_side(word), *key) from error
        if found is None:
            raise ToldWronglyError(_no_side(word), *key)
        return found

    def wall(self, name: str, *key: str | int) -> NamedWall:
        """Return the one wall of a name.

        Raises:
            ToldWronglyError: no building, side or wall of that name, or several walls.
        """
        building, side = wall_named(name, [*self.outlines, *self.rooms, LOT])
        is_lot = building == LOT and LOT not in self.outlines
        room = self.rooms.get(building)
        outline = self.lot if is_lot else room.outline if room is not None else self.outlines.get(building, ())
        if not outline:
            known = [f"{each} {word}" for each in (*self.outlines, *self.rooms) for word in SIDES]
            hint = did_you_mean(name, known) or "; a wall is named by building and side, as " + (known[1] if known else "house right")
            raise ToldWronglyError(f"the plan has no {'lot' if is_lot else f'wall {quoted(name)}'}{hint}", *key)
        if not side:
            raise ToldWronglyError(f"{quoted(name)} names no side; expected one, such as {building} right", *key)
        found = walls_facing(outline, self.direction(side, *key), self.north_deg)
        if len(found) != 1:
            raise ToldWronglyError(
                f"{len(found) or 'no'} wall{'s' * bool(found)} drawn of {building} {_face(found)} {side}{_instead(found)}", *key
            )
        start, end = found[0]
        is_inside = "inside" in name.casefold().split()
        if room is not None and not is_inside:
            raise ToldWronglyError(f"the walls of a room are told from inside; expected {building} {side} inside", *key)
        owner = "" if is_lot else room.building if room is not None else building
        spoken = f"the {side} wall of the {room.name}" if room is not None else ""
        return NamedWall(name, owner, side, start, end, outward(outline, found[0]), is_inside, self.corners_of(start, end), spoken)

    def corner(self, wall: NamedWall, text: str, *key: str | int) -> tuple[Point, Point]:
        """Return the corner of a wall that a word names, and the other one.

        Raises:
            ToldWronglyError: the wall has no such corner.
        """
        word = " ".join(part for part in text.split() if part.casefold() not in ("corner", "the"))
        toward = self.direction(word, *key).on_page(self.north_deg)
        length = wall.length_ft
        share = ((wall.end[0] - wall.start[0]) * toward[0] + (wall.end[1] - wall.start[1]) * toward[1]) / length
        if abs(share) < _LEAST_ALONG:
            named = " and a ".join(wall.corners)
            message = f"{wall.spoken} has no {word} corner; it has a {named} corner{did_you_mean(word, wall.corners)}"
            raise ToldWronglyError(message, *key)
        return (wall.end, wall.start) if share > 0 else (wall.start, wall.end)

    def along(self, wall: NamedWall, corner: str, distance_ft: float, *key: str | int) -> Point:
        """Return the point of a wall so far from a corner of it.

        Raises:
            ToldWronglyError: no such corner, or a distance beyond the wall's length; ``key`` is that of the distance.
        """
        near, far = self.corner(wall, corner, *key[:-1], "from")
        if distance_ft > wall.length_ft + _SAME_FT:
            raise ToldWronglyError(f"{wall.spoken} is {wall.length_ft:g} ft long; {distance_ft:g} ft from its corner is beyond it", *key)
        return toward(near, far, distance_ft)

    def corners_of(self, start: Point, end: Point) -> tuple[str, ...]:
        """Return what its two corners are called: as seen from the street where that is known, else by the compass."""
        words = [*SIDES] if self.has_front else list(WORDS[::4])
        length = math.dist(start, end)
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        found = []
        for sign in (-1.0, 1.0):
            bearing = bearing_of((sign * along[0], sign * along[1]), self.north_deg)
            found.append(min(words, key=lambda word: abs((self.direction(word).bearing_deg - bearing + 180) % 360 - 180)))
        return tuple(found)


def walls_of(plan: PlanModel) -> Walls:
    """Return the walls of a plan; buildings that are told by their size have none yet."""
    outlines = {name: _points(drawn.outline) for name, drawn in plan.buildings.items() if drawn.outline}
    return Walls(outlines, _points(plan.lot), north_of(plan), plan.front_faces is not None)


def _points(corners: list[list[float]]) -> Outline:
    return tuple((x, y) for x, y in corners)


def toward(near: Point, far: Point, distance_ft: float) -> Point:
    """Return the point so far from ``near`` in the direction of ``far``; behind ``near`` where the distance is below zero."""
    share = distance_ft / math.dist(near, far)
    return (_round(near[0] + share * (far[0] - near[0])), _round(near[1] + share * (far[1] - near[1])))


def _round(number: float) -> float:
    return round(number, 9)


def north_of(given: PlanModel) -> float:
    """Return the compass direction of the page's up, degrees: the opposite of what the front faces, which is the bottom of the page."""
    if given.front_faces is not None:
        return (given.front_faces.bearing_deg + 180) % 360
    return given.north if given.north is not None else 0.0


def wall_named(name: str, buildings: list[str]) -> tuple[str, str]:
    """Return building and side of walls named as ``garage`` or ``garage, east``: the side empty for all walls.

    The longest name of a building that begins it counts; both are as written where none does.
    """
    text = " ".join(name.replace(",", " ").split())
    begins = [building for building in buildings if f"{text} ".startswith(f"{building} ")]
    building = max(begins, key=len, default=text)
    rest = text.removeprefix(building).split()
    return building, " ".join(word for word in rest if word.casefold() not in _BESIDE_THE_SIDE)


def front_missing() -> ToldWronglyError:
    """Return the fault of a plan that speaks of sides and does not say where the front is; one for all places that speak of them."""
    message = "right, left, front and back are as seen from the street; expected front_faces: what a compass reads at the front door"
    return ToldWronglyError(message, "site", "plan", from_top=True, at_key=True)


def _no_side(word: str) -> str:
    expected = "expected front, right, back or left as seen from the street, or a compass word"
    return f"{quoted(word)} is no side; {expected}{did_you_mean(word, [*SIDES, *WORDS])}"


def _face(found: list[tuple[Point, Point]]) -> str:
    return "face" if len(found) > 1 else "faces"


def _instead(found: list[tuple[Point, Point]]) -> str:
    return "; expected a point of the plan and what the thing faces in place of the wall's name" if found else ""
