"""Draws the map of the site: buildings, roofs with arrays, numbered switches, north, *you are here*.

The one drawing of the map, for the placard and for the record. Up is what the reader faces where that is known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.bounds import Box, bounds, text_box
from permitgen.documents.canvas.colours import BLACK, DARK_GREY, LIGHT_GREY, MID_GREY, PALE_GREY, WHITE
from permitgen.documents.canvas.figures import circle, hatching, polygon, rectangle
from permitgen.documents.canvas.shapes import Group, Line, Shape, Text, moved
from permitgen.documents.canvas.styles import MEDIUM, THIN, WIDE, Pen, TextStyle, capitals
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.views.site_map import MapOutline, SiteMap

Point = tuple[float, float]
COMPASS = {
    "north": 0.0,
    "east": 90.0,
    "south": 180.0,
    "west": 270.0,
    "north-east": 45.0,
    "south-east": 135.0,
    "south-west": 225.0,
    "north-west": 315.0,
}


@dataclass(frozen=True, slots=True)
class MapStyle:
    """Sizes in mm of what is drawn on the map."""

    marker_mm: float = 8.0
    label_mm: float = 2.6
    number_mm: float = 4.2
    reach_mm: float = 9.0


@dataclass(frozen=True, slots=True)
class _Frame:
    """Turns plan feet into millimetres of the drawing."""

    turn_deg: float
    scale: float
    dx: float
    dy: float

    def at(self, point: Point) -> Point:
        x, y = _turned(point, self.turn_deg)
        return (x * self.scale + self.dx, -y * self.scale + self.dy)

    def direction(self, compass_deg: float, up_deg: float) -> Point:
        """Return the unit vector on the drawing of a compass direction; ``up_deg`` is the direction at the top."""
        angle = math.radians(compass_deg - up_deg)
        return (math.sin(angle), -math.cos(angle))


def _turned(point: Point, degrees: float) -> Point:
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return (point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine)


def map_shapes(site: SiteMap, width: float, height: float, *, heading_up_deg: float | None = None, style: MapStyle | None = None) -> Group:
    """Return the map in a box ``width`` × ``height`` mm with its top left corner at the origin."""
    look = style or MapStyle()
    up = site.north_deg if heading_up_deg is None else heading_up_deg
    frame = _frame(site, width, height, up - site.north_deg, look)
    shapes: list[Shape] = [rectangle(0, 0, width, height, fill=WHITE)]
    box = rectangle(0, 0, width, height)
    shapes.append(Group(tuple(_ground(site, frame)), clip=box))
    drawn = [*_buildings(site, frame, look), *_marks(site, frame, look), *_steps(site, frame, look, up)]
    shapes += drawn
    shapes += _north(_free_corner(width, height, look, drawn), up, look)
    shapes.append(rectangle(0, 0, width, height, pen=MEDIUM))
    return Group(tuple(shapes))


def _frame(site: SiteMap, width: float, height: float, turn: float, look: MapStyle) -> _Frame:
    points = [p for building in site.buildings for p in building.outline] + [s.at for s in site.steps] + [m.at for m in site.marks]
    turned = [_turned(p, turn) for p in points]
    left, right = min(x for x, _ in turned), max(x for x, _ in turned)
    low, high = min(y for _, y in turned), max(y for _, y in turned)
    side, top, bottom = look.marker_mm + look.reach_mm * 0.6, look.marker_mm + 3.0, look.marker_mm + 2 * look.reach_mm
    scale = min((width - 2 * side) / max(right - left, 1.0), (height - top - bottom) / max(high - low, 1.0))
    dx = (width - (right - left) * scale) / 2 - left * scale
    dy = top + ((height - top - bottom) - (high - low) * scale) / 2 + high * scale
    return _Frame(turn, scale, dx, dy)


def _ground(site: SiteMap, frame: _Frame) -> Iterable[Shape]:
    for ground in site.grounds:
        outline = tuple(frame.at(point) for point in ground.outline)
        yield polygon(outline, pen=Pen(0.18, LIGHT_GREY), fill=PALE_GREY)
    if site.lot:
        yield polygon(tuple(frame.at(point) for point in site.lot), pen=THIN.coloured(MID_GREY).dashed(4.0, 1.2))


def _buildings(site: SiteMap, frame: _Frame, look: MapStyle) -> list[Shape]:
    shapes: list[Shape] = []
    label = capitals(CONDENSED_MEDIUM, look.label_mm, DARK_GREY)
    shapes += [polygon(tuple(frame.at(p) for p in b.outline), fill=WHITE) for b in site.buildings]
    shapes += [polygon(tuple(frame.at(p) for p in roof.outline), pen=Pen(0.18, LIGHT_GREY)) for roof in site.roofs]
    for array in site.arrays:
        outline = tuple(frame.at(p) for p in array.outline)
        shapes += hatching(outline, pen=THIN.coloured(MID_GREY), spacing=1.6)
        shapes.append(polygon(outline, pen=MEDIUM))
        shapes += _array_name(outline, capitals(CONDENSED_BOLD, look.label_mm))
    for building in site.buildings:
        outline = tuple(frame.at(p) for p in building.outline)
        shapes.append(polygon(outline, pen=WIDE))
        if building.label:
            shapes += _building_name(building.label.upper(), outline, _free_spot(outline, site, frame), label, _texts(shapes))
    for ground in site.grounds:
        if ground.label and _inside(ground, site, frame):
            shapes += _label_on(ground.label.upper(), _middle(tuple(frame.at(p) for p in ground.outline)), label)
    return shapes


def _texts(shapes: list[Shape]) -> list[Box]:
    return [text_box(shape) for shape in shapes if isinstance(shape, Text)]


def _building_name(words: str, outline: tuple[Point, ...], spot: Point, style: TextStyle, taken: list[Box]) -> list[Shape]:
    """The name of a building at its spot; upright, or beside the building, where it would lie on another name."""
    left, right, top, bottom = _bounds(outline)
    half, away = style.cap_height_mm / 2, 1.4
    candidates = (
        Text(spot[0], spot[1] + half, words, style, "middle"),
        Text(spot[0] + half, spot[1], words, style, "middle", 90.0),
        Text((left + right) / 2, bottom + away + 2 * half, words, style, "middle"),
        Text((left + right) / 2, top - away, words, style, "middle"),
        Text(right + away, (top + bottom) / 2 + half, words, style),
    )
    free = (name for name in candidates if all(text_box(name).grown(0.4).shared(box) is None for box in taken))
    return [next(free, candidates[0])]


def _inside(ground: MapOutline, site: SiteMap, frame: _Frame) -> bool:
    """Whether the middle of a ground feature lies within the drawn part of the plan."""
    middle = _middle(tuple(frame.at(p) for p in ground.outline))
    corners = [frame.at(p) for b in site.buildings for p in b.outline]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    low, high = min(y for _, y in corners), max(y for _, y in corners)
    return left - 8 <= middle[0] <= right + 8 and low - 8 <= middle[1] <= high + 8


def _free_spot(outline: tuple[Point, ...], site: SiteMap, frame: _Frame) -> Point:
    """Return a place for a building's name that no array covers: the middle, else the middle of the larger free half."""
    middle = _middle(outline)
    arrays = [tuple(frame.at(p) for p in array.outline) for array in site.arrays]
    covering = [
        a for a in arrays if _bounds(a)[0] - 2 < middle[0] < _bounds(a)[1] + 2 and _bounds(a)[2] - 3 < middle[1] < _bounds(a)[3] + 3
    ]
    if not covering:
        return middle
    left, right, top, bottom = _bounds(outline)
    a_left, a_right, a_top, a_bottom = _bounds(covering[0])
    gaps = {((left + right) / 2, (top + a_top) / 2): a_top - top, ((left + right) / 2, (a_bottom + bottom) / 2): bottom - a_bottom}
    gaps |= {((left + a_left) / 2, middle[1]): a_left - left, ((a_right + right) / 2, middle[1]): right - a_right}
    return max(gaps, key=lambda spot: gaps[spot])


def _bounds(outline: tuple[Point, ...]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return min(xs), max(xs), min(ys), max(ys)


def _middle(outline: tuple[Point, ...]) -> Point:
    left, right, top, bottom = _bounds(outline)
    return ((left + right) / 2, (top + bottom) / 2)


def _label_on(text: str, at: Point, style: TextStyle) -> list[Shape]:
    return [Text(at[0], at[1] + style.cap_height_mm / 2, text, style, "middle")]


def _array_name(outline: tuple[Point, ...], style: TextStyle) -> list[Shape]:
    """The name on an array, turned along its longer side; left out where it would reach beyond the array."""
    left, right, top, bottom = _bounds(outline)
    upright = bottom - top > right - left
    words = next((text for text in ("SOLAR PANELS", "SOLAR", "PV") if text_width(text, style) + 2 < max(bottom - top, right - left)), "")
    if not words or min(bottom - top, right - left) < style.cap_height_mm + 1.6:
        return []
    x, y = _middle(outline)
    long, short = text_width(words, style) + 1.6, style.cap_height_mm + 1.6
    width, height = (short, long) if upright else (long, short)
    half = style.cap_height_mm / 2
    at = Text(x + half, y, words, style, "middle", 90.0) if upright else Text(x, y + half, words, style, "middle")
    return [rectangle(x - width / 2, y - height / 2, width, height, fill=WHITE), at]


def _marks(site: SiteMap, frame: _Frame, look: MapStyle) -> list[Shape]:
    shapes: list[Shape] = []
    for mark in site.marks:
        x, y = frame.at(mark.at)
        if mark.kind in ("energy storage", "generator"):
            side = look.label_mm * 1.5
            shapes.append(rectangle(x - side / 2, y - side / 2, side, side, pen=THIN, fill=LIGHT_GREY))
            letter = {"energy storage": "B", "generator": "G"}[mark.kind]
            style = capitals(CONDENSED_BOLD, look.label_mm * 0.8)
            shapes.append(Text(x, y + style.cap_height_mm / 2, letter, style, "middle"))
        else:
            shapes.append(circle(x, y, 0.8, fill=DARK_GREY))
    return shapes


def _steps(site: SiteMap, frame: _Frame, look: MapStyle, up: float) -> list[Shape]:
    """Numbered markers stand off the wall, spread so that none covers another, each with a leader to its place."""
    anchors = [frame.at(step.at) for step in site.steps]
    outward = [_outward(step.facing, anchor, site, frame, up) for step, anchor in zip(site.steps, anchors, strict=True)]
    centers = [(a[0] + d[0] * look.reach_mm, a[1] + d[1] * look.reach_mm) for a, d in zip(anchors, outward, strict=True)]
    centers = _spread(centers, look.marker_mm + 1.0)
    shapes: list[Shape] = []
    for anchor, center in zip(anchors, centers, strict=True):
        shapes.append(Line(anchor[0], anchor[1], center[0], center[1], MEDIUM))
        shapes.append(circle(anchor[0], anchor[1], 0.9, fill=BLACK))
    number = capitals(CONDENSED_BOLD, look.number_mm, WHITE)
    for step, center in zip(site.steps, centers, strict=True):
        shapes.append(circle(center[0], center[1], look.marker_mm / 2, fill=BLACK))
        shapes.append(Text(center[0], center[1] + number.cap_height_mm / 2, str(step.number), number, "middle"))
    return shapes + _you_are_here(site, frame, look, centers)


def _outward(facing: str, anchor: Point, site: SiteMap, frame: _Frame, up: float) -> Point:
    if facing in COMPASS:
        return frame.direction(COMPASS[facing], up)
    corners = [frame.at(p) for b in site.buildings for p in b.outline]
    middle = (sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)) if corners else (0.0, 0.0)
    away = (anchor[0] - middle[0], anchor[1] - middle[1])
    length = math.hypot(*away) or 1.0
    return (away[0] / length, away[1] / length)


def _spread(centers: list[Point], least: float) -> list[Point]:
    """Push markers apart until no two are nearer than ``least``; a fixed number of rounds keeps it repeatable."""
    placed = list(centers)
    for _ in range(60):
        moved_any = False
        for first in range(len(placed)):
            for second in range(first + 1, len(placed)):
                moved_any |= _push(placed, first, second, least)
        if not moved_any:
            break
    return placed


def _push(placed: list[Point], first: int, second: int, least: float) -> bool:
    (x1, y1), (x2, y2) = placed[first], placed[second]
    gap = math.hypot(x2 - x1, y2 - y1)
    if gap >= least - 1e-6:
        return False
    ux, uy = ((x2 - x1) / gap, (y2 - y1) / gap) if gap > 1e-6 else (1.0, 0.0)
    shift = (least - gap) / 2
    placed[first], placed[second] = (x1 - ux * shift, y1 - uy * shift), (x2 + ux * shift, y2 + uy * shift)
    return True


def _you_are_here(site: SiteMap, frame: _Frame, look: MapStyle, markers: list[Point]) -> list[Shape]:
    """A filled arrow in the reading direction below the reader's place, unlike any other sign on the map."""
    if site.you_are_here is None:
        return []
    x, y = frame.at(site.you_are_here)
    tip = y + look.reach_mm + look.marker_mm / 2 + 1.5
    while any(abs(mx - x) < look.marker_mm and tip - 1 < my + look.marker_mm / 2 for mx, my in markers):
        tip += 1.0
    half, length = look.marker_mm * 0.42, look.marker_mm * 0.75
    arrow = polygon(((x, tip), (x + half, tip + length), (x, tip + length * 0.75), (x - half, tip + length)), fill=BLACK)
    style = capitals(CONDENSED_BOLD, look.label_mm)
    baseline, words = tip + length + style.cap_height_mm + 1.2, "YOU ARE HERE"
    room = text_width(words, style) + 1.6
    ground = rectangle(x - room / 2, baseline - style.cap_height_mm - 0.8, room, style.cap_height_mm + 1.6, fill=WHITE)
    return [arrow, ground, Text(x, baseline, words, style, "middle")]


def _free_corner(width: float, height: float, look: MapStyle, drawn: list[Shape]) -> Point:
    """Return where the north arrow stands: the first corner, beginning at the top right, in which nothing is drawn."""
    reach = look.marker_mm * 0.5 + look.label_mm * 2
    near, right, bottom = reach + 1.0, width - reach - 1.0, height - reach - 1.0
    corners = ((right, near), (near, near), (right, bottom), (near, bottom))
    taken = [box for shape in drawn if (box := bounds((shape,))) is not None]

    def is_free(corner: Point) -> bool:
        x, y = corner
        around = Box(x - reach, y - reach, x + reach, y + reach)
        return all(around.shared(box) is None for box in taken)

    return next((corner for corner in corners if is_free(corner)), corners[0])


def _north(middle: Point, up: float, look: MapStyle) -> list[Shape]:
    size = look.marker_mm * 0.5
    x, y = middle
    angle = math.radians(-up)
    dx, dy = math.sin(angle), -math.cos(angle)
    tip, tail = (x + dx * size, y + dy * size), (x - dx * size, y - dy * size)
    side = (-dy * size * 0.42, dx * size * 0.42)
    needle = polygon(
        (tip, (tail[0] + side[0], tail[1] + side[1]), (x - dx * size * 0.5, y - dy * size * 0.5), (tail[0] - side[0], tail[1] - side[1])),
        fill=BLACK,
    )
    letter = capitals(CONDENSED_BOLD, look.label_mm)
    lx, ly = tip[0] + dx * (letter.cap_height_mm * 0.9), tip[1] + dy * (letter.cap_height_mm * 0.9)
    return [needle, Text(lx, ly + letter.cap_height_mm / 2, "N", letter, "middle")]


def placed_map(
    site: SiteMap, x: float, y: float, width: float, height: float, *, heading_up_deg: float | None = None, style: MapStyle | None = None
) -> Group:
    """Return the map with its top left corner at (x, y)."""
    return Group((map_shapes(site, width, height, heading_up_deg=heading_up_deg, style=style),), transform=moved(x, y))
