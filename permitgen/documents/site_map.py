"""Draws the map of the site for placard and record: the drawing of the site plan, simplified, with numbered switches on it.

Up is what the reader faces where that is known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box, bounds, text_box
from permitgen.documents.canvas.colors import BLACK, LIGHT_GRAY, MID_GRAY, WHITE
from permitgen.documents.canvas.figures import circle, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved
from permitgen.documents.canvas.styles import MEDIUM, THIN, capitals
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import CONDENSED_BOLD
from permitgen.documents.plan_drawing.labels import LabelRoom
from permitgen.documents.plan_drawing.marks import north_arrow
from permitgen.documents.plan_drawing.scales import Lay, Margins, extent_of, filling_lay
from permitgen.documents.plan_drawing.site_drawing import (
    Detail,
    name_arrays,
    name_buildings,
    name_grounds,
    name_points,
    simplified,
    site_shapes,
)
from permitgen.documents.symbols.markers import step
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.site_map import MapStep, SiteMap

Point = tuple[float, float]
_LETTER = {"energy storage": "B", "generator": "G"}
_MEANS = {"B": "BATTERY", "G": "GENERATOR", "M": "UTILITY METER"}


@dataclass(frozen=True, slots=True)
class MapStyle:
    """Sizes in mm of what is drawn on the map."""

    marker_mm: float = 8.0
    label_mm: float = 2.6
    reach_mm: float = 9.0


def map_shapes(view: SiteMap, width: float, height: float, *, heading_up_deg: float | None = None, style: MapStyle | None = None) -> Group:
    """Return the map in a box ``width`` × ``height`` mm with its top left corner at the origin."""
    look = style or MapStyle()
    detail = simplified(look.label_mm)
    key, tall = _key(view, look, width)
    below = height - tall
    room, edge = Box(0, 0, width, below), rectangle(0, 0, width, below)
    lay = _lay(view, room, look, heading_up_deg)
    space = LabelRoom(room.grown(-1.0))
    shapes: list[Shape] = [rectangle(0, 0, width, height, fill=WHITE)]
    shapes.append(Group(tuple(site_shapes(view.site, lay, room, detail, space)), clip=edge))
    way = [Line(*lay.at(one), *lay.at(other), _WAY) for one, other in zip(view.way, view.way[1:], strict=False)]
    marks = [*way, *_steps(view, lay, room, look), *_sources(view, lay, look)]
    space.boxes += _boxes(marks)
    north = _north(view, lay, room, look, space)
    _names(view, lay, room, detail, space)
    shapes += [*way, *space.drawn, *marks[len(way) :], *north, *_below(key, width, below), rectangle(0, 0, width, height, pen=MEDIUM)]
    return Group(tuple(shapes))


_WAY = MEDIUM.colored(MID_GRAY).dashed(2.0, 1.4)


def _key(view: SiteMap, look: MapStyle, width: float) -> tuple[list[Shape], float]:
    """Say below the map what its letters are, what the dashed line is, and what is not on it; with its top left corner at the origin.

    Returns the shapes and their height in mm, 0 where there is nothing to say.
    """
    letters = dict.fromkeys(_LETTER[source.kind] for source in view.sources) | ({"M": None} if view.meter is not None else {})
    words = [f"{letter} = {_MEANS[letter]}" for letter in sorted(letters)]
    style, line = capitals(CONDENSED_BOLD, look.label_mm * 0.85), look.label_mm + 1.2
    x, y = 2.0, line - 0.4
    shapes: list[Shape] = []
    for word in words:
        shapes.append(Text(x, y, word, style))
        x += text_width(word, style) + 3.0
    if words and len(view.way) > 1 and x + 8.0 + text_width(_WAY_WORDS, style) < width:
        shapes += [Line(x, y - style.cap_height_mm / 2, x + 6.0, y - style.cap_height_mm / 2, _WAY), Text(x + 7.5, y, _WAY_WORDS, style)]
    if missing := _not_on_it(view):
        y += line if words else 0.0
        broken = break_lines(missing, style, width - 4.0)
        shapes += [Text(2.0, y + number * line, text, style) for number, text in enumerate(broken)]
        y += (len(broken) - 1) * line
    return (shapes, y + 1.4) if shapes else ([], 0.0)


def _below(key: list[Shape], width: float, y: float) -> list[Shape]:
    return [Line(0, y, width, y, THIN), Group(tuple(key), transform=moved(0, y))] if key else []


def _not_on_it(view: SiteMap) -> str:
    """Say what a reader looks for in vain on the map."""
    numbers = [str(number) for number in view.not_on_it]
    missing = [f"SWITCH{'ES' if len(numbers) > 1 else ''} {listed(numbers).upper()}"] if numbers else []
    missing += ["THIS PLACARD"] if view.says_where_it_hangs and view.you_are_here is None else []
    return f"NOT ON THIS MAP: {', '.join(missing)}" if missing else ""


_WAY_WORDS = "WAY"


def placed_map(
    site: SiteMap, x: float, y: float, width: float, height: float, *, heading_up_deg: float | None = None, style: MapStyle | None = None
) -> Group:
    """Return the map with its top left corner at (x, y)."""
    return Group((map_shapes(site, width, height, heading_up_deg=heading_up_deg, style=style),), transform=moved(x, y))


def _lay(view: SiteMap, room: Box, look: MapStyle, heading_up_deg: float | None) -> Lay:
    """Fill the box with buildings, switches and sources; around them is room for the markers of the steps."""
    turn = 0.0 if heading_up_deg is None else heading_up_deg - view.site.north_deg
    points = [p for building in view.site.buildings for p in building.outline]
    points += [*(step.at for step in view.steps), *_lettered(view), *view.way]
    side, above, below = look.marker_mm + look.reach_mm * 0.6, look.marker_mm / 2 + look.reach_mm + 1.5, look.marker_mm + 2 * look.reach_mm
    return filling_lay(extent_of(points, turn), room, Margins(side, above, side, below), turn)


def _names(view: SiteMap, lay: Lay, room: Box, detail: Detail, space: LabelRoom) -> None:
    name_arrays(view.site, lay, detail, space)
    name_buildings(view.site, lay, room, detail, space)
    name_points(view.site.points, lay, detail, space)
    name_grounds(view.site, lay, room, detail, space)


def _boxes(shapes: Sequence[Shape]) -> list[Box]:
    """Return the boxes of shapes; a slanting line takes small boxes along its way."""
    found: list[Box] = []
    for shape in shapes:
        if isinstance(shape, Line):
            count = max(1, math.ceil(math.dist((shape.x1, shape.y1), (shape.x2, shape.y2)) / 1.5))
            for index in range(count + 1):
                x, y = (a + (b - a) * index / count for a, b in ((shape.x1, shape.x2), (shape.y1, shape.y2)))
                found.append(Box(x - 0.4, y - 0.4, x + 0.4, y + 0.4))
        elif (box := text_box(shape) if isinstance(shape, Text) else bounds((shape,))) is not None:
            found.append(box)
    return found


def _sources(view: SiteMap, lay: Lay, look: MapStyle) -> list[Shape]:
    """Battery units, generators and the meter as boxes with a letter, moved apart where they would cover each other."""
    shapes: list[Shape] = []
    style, side = capitals(CONDENSED_BOLD, look.label_mm * 0.8), _side_mm(look)
    letters = [*(_LETTER[source.kind] for source in view.sources), *(["M"] if view.meter is not None else [])]
    for letter, (x, y) in zip(letters, _boxed(view, lay, look), strict=True):
        shapes.append(rectangle(x - side / 2, y - side / 2, side, side, pen=THIN, fill=LIGHT_GRAY))
        shapes.append(Text(x, y + style.cap_height_mm / 2, letter, style, "middle"))
    return shapes


def _side_mm(look: MapStyle) -> float:
    return look.label_mm * 1.5


def _boxed(view: SiteMap, lay: Lay, look: MapStyle) -> list[Point]:
    """Return where the boxes with letters stand."""
    spots = [lay.at(at) for at in _lettered(view)]
    return _spread(spots, _side_mm(look) + 0.2, [(1.0, 0.0)] * len(spots))


def _steps(view: SiteMap, lay: Lay, room: Box, look: MapStyle) -> list[Shape]:
    """Numbered markers stand off the wall, along it where several do, so that none covers another or a box with a letter.

    Each has a leader to its place.
    """
    anchors = [lay.at(item.at) for item in view.steps]
    outward = [_outward(item, anchor, view, lay) for item, anchor in zip(view.steps, anchors, strict=True)]
    centers = [(a[0] + d[0] * look.reach_mm, a[1] + d[1] * look.reach_mm) for a, d in zip(anchors, outward, strict=True)]
    along = [(-y, x) for x, y in outward]
    centers = _spread(centers, look.marker_mm + 1.0, along, _boxed(view, lay, look), (look.marker_mm + _side_mm(look)) / 2 + 1.0)
    shapes: list[Shape] = []
    for anchor, center in zip(anchors, centers, strict=True):
        shapes.append(Line(anchor[0], anchor[1], center[0], center[1], MEDIUM))
        shapes.append(circle(anchor[0], anchor[1], 0.9, fill=BLACK))
    for item, center in zip(view.steps, centers, strict=True):
        shapes += step(str(item.number), look.marker_mm / 2).at(*center)
    return shapes + _you_are_here(view, lay, room, look, centers)


def _outward(item: MapStep, anchor: Point, view: SiteMap, lay: Lay) -> Point:
    if item.facing != (0.0, 0.0):
        return lay.direction(item.facing)
    corners = [lay.at(p) for b in view.site.buildings for p in b.outline]
    middle = (sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)) if corners else (0.0, 0.0)
    away = (anchor[0] - middle[0], anchor[1] - middle[1])
    length = math.hypot(*away) or 1.0
    return (away[0] / length, away[1] / length)


def _spread(centers: list[Point], least: float, along: list[Point], fixed: Sequence[Point] = (), off_fixed: float = 0.0) -> list[Point]:
    """Push markers apart until no two are nearer than ``least``, and none to what is ``fixed`` than ``off_fixed``.

    Of two at one spot the second moves the way that ``along`` has for it. A fixed number of rounds keeps it repeatable.
    """
    placed = list(centers)
    for _ in range(_ROUNDS):
        moved_any = False
        for first in range(len(placed)):
            for second in range(first + 1, len(placed)):
                moved_any |= _push(placed, first, second, least, along[second])
            for spot in fixed:
                moved_any |= _push_off(placed, first, spot, off_fixed, along[first])
        if not moved_any:
            break
    return placed


_ROUNDS = 200


def _push_off(placed: list[Point], index: int, spot: Point, least: float, along: Point) -> bool:
    """Push one marker away from what stays where it is."""
    pair = [spot, placed[index]]
    is_moved = _push(pair, 0, 1, least, along)
    (x, y), (x0, y0) = pair[1], pair[0]
    placed[index] = (x + spot[0] - x0, y + spot[1] - y0)
    return is_moved


def _push(placed: list[Point], first: int, second: int, least: float, along: Point) -> bool:
    (x1, y1), (x2, y2) = placed[first], placed[second]
    gap = math.hypot(x2 - x1, y2 - y1)
    if gap >= least - 1e-6:
        return False
    ux, uy = ((x2 - x1) / gap, (y2 - y1) / gap) if gap > 1e-6 else along
    shift = (least - gap) / 2
    placed[first], placed[second] = (x1 - ux * shift, y1 - uy * shift), (x2 + ux * shift, y2 + uy * shift)
    return True


def _you_are_here(view: SiteMap, lay: Lay, room: Box, look: MapStyle, markers: list[Point]) -> list[Shape]:
    """A filled arrow in the reading direction where the reader stands, unlike any other sign on the map.

    It stands below the reader's place, which is what a reader faces; where switches or batteries leave no room there, at the nearest
    free spot, with a line to the place: an arrow that only points somewhere near would send people to another wall.
    """
    if view.you_are_here is None:
        return []
    place = lay.at(view.you_are_here)
    at_place = [math.dist(lay.at(item.at), place) < _SAME_MM for item in view.steps]
    switches = [Box(*center, *center).grown(look.marker_mm / 2 + 0.5) for center in markers]
    own = [box for box, is_own in zip(switches, at_place, strict=True) if is_own]
    others = [box for box, is_own in zip(switches, at_place, strict=True) if not is_own]
    others += [Box(*at, *at).grown(look.label_mm * 0.8) for at in (lay.at(source.at) for source in view.sources)]
    marked = [Box(*at, *at).grown(look.label_mm * 0.8) for at in (lay.at(each) for each in _lettered(view))]
    usual = (place[0], place[1] + (look.reach_mm + look.marker_mm / 2 + 1.5 if own else _BELOW_PLACE_MM))
    signs = [_Sign(spot, look) for spot in (usual, *_spots_around(place, _BELOW_PLACE_MM))]
    inside = room.grown(-1.0)
    free = (sign for sign in signs if inside.contains(sign.box) and not any(sign.covers(box) for box in (*own, *others, *marked)))
    chosen = next((sign for sign in free if not _crosses(place, sign.tip, others)), signs[0])
    leader: list[Shape] = [Line(*place, *chosen.tip, THIN), circle(*place, 0.7, fill=BLACK)]
    return [*(leader if math.dist(chosen.tip, usual) > look.marker_mm / 2 else ()), *chosen.drawn()]


def _lettered(view: SiteMap) -> list[Point]:
    return [*(source.at for source in view.sources), *([view.meter] if view.meter is not None else [])]


_SAME_MM = 1.0
"""A switch nearer than this to the reader's place is at that place."""
_BELOW_PLACE_MM = 2.0
"""How far below a place without a switch of its own the arrow begins."""


@dataclass(frozen=True, slots=True)
class _Sign:
    """The arrow with its tip at ``tip`` and the words below it."""

    tip: Point
    look: MapStyle

    @property
    def _half(self) -> float:
        return self.look.marker_mm * 0.42

    @property
    def _length(self) -> float:
        return self.look.marker_mm * 0.75

    @property
    def _words(self) -> Text:
        style = capitals(CONDENSED_BOLD, self.look.label_mm)
        return Text(self.tip[0], self.tip[1] + self._length + style.cap_height_mm + 1.2, "YOU ARE HERE", style, "middle")

    @property
    def _parts(self) -> tuple[Box, Box]:
        x, y = self.tip
        return Box(x - self._half, y, x + self._half, y + self._length), text_box(self._words).grown(0.8)

    @property
    def box(self) -> Box:
        """What arrow and words take up together."""
        arrow, ground = self._parts
        return Box(min(arrow.left, ground.left), arrow.top, max(arrow.right, ground.right), ground.bottom)

    def covers(self, taken: Box) -> bool:
        """Whether the arrow or the words lie on ``taken``."""
        return any(part.shared(taken) is not None for part in self._parts)

    def drawn(self) -> list[Shape]:
        """Return the shapes of the sign."""
        (x, y), half, length = self.tip, self._half, self._length
        outline = polygon(((x, y), (x + half, y + length), (x, y + length * 0.75), (x - half, y + length)), fill=BLACK)
        ground = self._parts[1]
        return [outline, rectangle(ground.left, ground.top, ground.width, ground.height, fill=WHITE), self._words]


def _spots_around(place: Point, nearest: float) -> list[Point]:
    """Spots around a place, the near ones first and of those the lower ones: the reader stands below what he faces."""
    spots = []
    for ring in range(28):
        reach = nearest + 2.0 * ring
        for turn in range(0, 105, 15):
            for side in (1, -1) if turn else (1,):
                angle = math.radians(turn) * side
                spots.append((place[0] + reach * math.sin(angle), place[1] + reach * math.cos(angle)))
    return spots


def _crosses(place: Point, tip: Point, others: list[Box]) -> bool:
    """Whether the way from a place to the arrow runs over a switch or a battery that stands elsewhere."""
    return any(step.shared(box) is not None for step in _boxes([Line(*place, *tip, MEDIUM)]) for box in others)


def _north(view: SiteMap, lay: Lay, room: Box, look: MapStyle, space: LabelRoom) -> list[Shape]:
    """The north arrow in the first corner, beginning at the top right, in which no building and no marker stands."""
    reach = look.marker_mm * 0.5 + look.label_mm * 2
    near, right, bottom = room.left + reach + 1.0, room.right - reach - 1.0, room.bottom - reach - 1.0
    taken = [*space.boxes, *(box for b in view.site.buildings if (box := bounds((polygon([lay.at(p) for p in b.outline]),))) is not None)]
    corners = ((right, near), (near, near), (right, bottom), (near, bottom))

    def is_free(corner: Point) -> bool:
        around = Box(*corner, *corner).grown(reach)
        return all(around.shared(box) is None for box in taken)

    x, y = next((corner for corner in corners if is_free(corner)), corners[0])
    letter = capitals(CONDENSED_BOLD, look.label_mm)
    space.boxes.append(Box(x, y, x, y).grown(reach))
    arrow = north_arrow(x, y, lay.north_clockwise_deg(view.site.north_deg), radius=look.marker_mm * 0.45, letter=letter)
    grounds = [text_box(shape).grown(0.5) for shape in arrow if isinstance(shape, Text)]
    return [*(rectangle(box.left, box.top, box.width, box.height, fill=WHITE) for box in grounds), *arrow]
