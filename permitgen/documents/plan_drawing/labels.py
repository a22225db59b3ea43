"""Places labels beside what they name: no label on another, as few lines as possible behind it, leaders that do not cross.

A label has white behind it, so that a line that must pass is broken by it and never runs through letters.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from permitgen.documents.canvas.bounds import Box, text_box
from permitgen.documents.canvas.colors import BLACK, WHITE
from permitgen.documents.canvas.figures import circle, polygon, rectangle
from permitgen.documents.canvas.shapes import Line, Shape, Text, rotated
from permitgen.documents.canvas.styles import FINE, TextStyle
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.markers import STEP_RADIUS_MM, step

Point = tuple[float, float]
Segment = tuple[float, float, float, float]
_GAP_MM = 0.7
_REACHES_MM = (1.6, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0, 21.0, 27.0, 35.0, 45.0, 58.0)
_BEHIND = 5.0
"""What it costs to stand behind equipment: beyond the wall it hangs on."""
_NEAR_MM = 3.2
"""A label nearer than this needs no leader."""


@dataclass(frozen=True, slots=True)
class Clear:
    """What one label leaves free that others may cover: some boxes, and lines whose weight is ``lines`` or more.

    ``is_within``: it leaves free all that lies outside the area that it names. Its leader crosses none of ``no_leader``.
    """

    boxes: Sequence[Box] = ()
    no_leader: Sequence[Box] = ()
    lines: float = math.inf
    is_within: bool = False


WITHIN = Clear(is_within=True)


@dataclass(slots=True)
class LabelRoom:
    """What is taken on a sheet and what has been placed.

    ``lines`` are drawn lines that a label should not cover, with a weight, ``areas`` hatched ones; ``boxes`` what it must not touch;
    ``strokes`` and ``words`` what has been placed, ``placed`` the boxes of labels, ``named`` those by their first line.
    """

    room: Box
    boxes: list[Box] = field(default_factory=list)
    lines: list[tuple[Segment, float]] = field(default_factory=list)
    areas: list[tuple[Box, float]] = field(default_factory=list)
    leaders: list[Segment] = field(default_factory=list)
    strokes: list[Shape] = field(default_factory=list)
    words: list[Shape] = field(default_factory=list)
    named: dict[str, Box] = field(default_factory=dict)
    placed: list[Box] = field(default_factory=list)

    @property
    def drawn(self) -> tuple[Shape, ...]:
        """Everything placed: all lines first, so that none runs through letters."""
        return (*self.strokes, *self.words)

    def take_outline(self, points: Sequence[Point], weight: float = 1.0, *, closed: bool = True) -> None:
        """Mark the edges of an outline as lines."""
        ends = (*points[1:], points[0]) if closed else points[1:]
        self.lines += [((*a, *b), weight) for a, b in zip(points, ends, strict=False)]

    def take_text(self, text: Text) -> None:
        """Set a text with white behind it and keep others off."""
        box = text_box(text).grown(_GAP_MM)
        self.boxes.append(box)
        self.placed.append(box)
        self.words += [_ground_of(text), text]

    def is_free(self, box: Box) -> bool:
        """Whether a box lies in the room and touches nothing that must not be touched."""
        return self.room.contains(box) and not _meets_one_of(box, self.boxes) and not any(_cuts(s, box) for s in self.leaders)

    def covered(self, box: Box) -> float:
        """Return how much line and hatching a box would cover."""
        lines = sum(weight for segment, weight in self.lines if _cuts(segment, box))
        return lines + sum(weight for area, weight in self.areas if _meet(area, box))

    def breaks(self, weight: float) -> bool:
        """Whether something placed covers a line of at least this weight."""
        return any(line >= weight and _cuts(segment, box.grown(-0.1)) for segment, line in self.lines for box in self.placed)

    def _clears(self, box: Box, clear: Clear) -> bool:
        if any(_meet(box, other) for other in clear.boxes):
            return False
        return not any(weight >= clear.lines and _cuts(segment, box) for segment, weight in self.lines)

    def upright_label(self, middle: Point, words: str, style: TextStyle, within: Box) -> bool:
        """Place a text that reads from the right in the middle of an area; False where it finds no room there."""
        text = Text(middle[0] + style.cap_height_mm / 2, middle[1], words, style, "middle", 90.0)
        box = text_box(text).grown(_GAP_MM)
        if not within.contains(box) or not self.is_free(box):
            return False
        self.take_text(text)
        return True

    def natural_box(self, anchor: Point, words: str, toward: Point, style: TextStyle, disc: str) -> Box:
        """Return where a label would stand if nothing were in its way."""
        length = math.hypot(*toward)
        direction = (toward[0] / length, toward[1] / length) if length else (1.0, 0.0)
        return _box_beyond(anchor, direction, _REACHES_MM[0], _size((words,), style, disc))

    def label(
        self,
        anchor: Point,
        lines: Sequence[str],
        *,
        toward: Point = (0.0, 0.0),
        style: TextStyle = LETTERING.text,
        within: Box | None = None,
        disc: str = "",
        clear: Clear | None = None,
    ) -> bool:
        """Place a label near ``anchor``, if possible in the direction ``toward``; a leader joins it where it stands off. False: no room.

        ``within`` is an area that the label names: inside it, it needs no leader. ``disc`` is a number in a black disc before the words.
        ``clear`` is what it has to leave free, whatever that costs.
        """
        size = _size(lines, style, disc)
        best: tuple[float, Box, bool] | None = None
        candidates = _candidates(toward, centered=within is not None)
        for base, direction, reach in sorted(candidates, key=lambda candidate: candidate[0]):
            if best is not None and base >= best[0]:
                break  # what comes after costs more before anything is looked at
            box = _box_beyond(anchor, direction, reach, size) if direction is not None else _box_around(anchor, size)
            if not self.is_free(box) or (clear is not None and not self._clears(box, clear)):
                continue
            leads = not within.contains(box) if within is not None else reach > _NEAR_MM
            if leads and clear is not None and not _may_lead_clear(_lead(anchor, box), clear, has_area=within is not None):
                continue
            cost = base + 5.0 * self.covered(box)
            if leads:
                cost += self._cost_of(_lead(anchor, box))
            if cost < (best[0] if best is not None else math.inf):
                best = (cost, box, leads)
        if best is None:
            return False
        self._set(anchor, _Words(lines, style, disc), best[1], leader=best[2])
        return True

    def _may_lead(self, lead: Segment) -> bool:
        """Whether a leader stays off other texts and marks; the mark it starts from does not count."""
        start = Box(lead[0], lead[1], lead[0], lead[1])
        others = [box for box in self.boxes if not box.contains(start)]
        return not any(_cuts(lead, box.grown(-0.2)) for box in others) and not any(crossing(lead, other) for other in self.leaders)

    def _cost_of(self, lead: Segment) -> float:
        """Return what a leader costs: more with each line that it crosses, infinity where it may not stand."""
        return 2.0 + 2.5 * sum(crossing(lead, segment) for segment, _ in self.lines) if self._may_lead(lead) else math.inf

    def _set(self, anchor: Point, words: _Words, box: Box, *, leader: bool) -> None:
        if leader:
            lead = _lead(anchor, box)
            self.leaders.append(lead)
            self.strokes += [Line(*lead, FINE), circle(anchor[0], anchor[1], 0.5, fill=BLACK)]
        inner = box.grown(-_GAP_MM)
        self.boxes.append(box)
        self.named.setdefault(words.lines[0], box)
        self.placed.append(box)
        self.words.append(rectangle(box.left, box.top, box.width, box.height, fill=WHITE))
        right = leader and inner.right < anchor[0]
        room = _disc_width(words.disc)
        if words.disc:
            x = inner.right - STEP_RADIUS_MM if right else inner.left + STEP_RADIUS_MM
            self.words += step(words.disc).at(x, (box.top + box.bottom) / 2)
        first = (box.top + box.bottom - words.style.cap_height_mm) / 2 if len(words.lines) == 1 else inner.top
        for index, line in enumerate(words.lines):
            y = first + words.style.cap_height_mm + index * LETTERING.leading_mm
            self.words.append(Text(inner.right - room if right else inner.left + room, y, line, words.style, "end" if right else "start"))


def _may_lead_clear(lead: Segment, clear: Clear, *, has_area: bool) -> bool:
    return not (has_area and clear.is_within) and not any(_cuts(lead, box) for box in clear.no_leader)


def _ground_of(text: Text) -> Shape:
    """Return the white behind a text, turned as it is, so that it breaks no line beside a slanting one."""
    level = text_box(replace(text, rotation_deg=0.0)).grown(_GAP_MM)
    turn = rotated(text.rotation_deg, text.x, text.y)
    corners = ((level.left, level.top), (level.right, level.top), (level.right, level.bottom), (level.left, level.bottom))
    return polygon([turn.apply(*corner) for corner in corners], fill=WHITE)


@dataclass(frozen=True, slots=True)
class _Words:
    """What a label says: its lines, and the number in a disc beside them."""

    lines: Sequence[str]
    style: TextStyle
    disc: str


def _disc_width(disc: str) -> float:
    return 2 * STEP_RADIUS_MM + 0.8 if disc else 0.0


def _size(lines: Sequence[str], style: TextStyle, disc: str) -> tuple[float, float]:
    width = max(text_width(line, style) for line in lines) + _disc_width(disc)
    deep = text_box(Text(0, 0, lines[-1], style)).bottom if len(lines) > 1 else 0.4
    high = max(style.cap_height_mm, -text_box(Text(0, 0, lines[0], style)).top)
    height = max(high + (len(lines) - 1) * LETTERING.leading_mm + max(deep, 0.0), 2 * STEP_RADIUS_MM if disc else 0.0)
    return (width + 2 * _GAP_MM, height + 2 * _GAP_MM)


def _candidates(toward: Point, *, centered: bool) -> Iterator[tuple[float, Point | None, float]]:
    """Yield directions (None: the middle) and reaches around an anchor with what each costs before anything is looked at.

    Farther and off the wanted direction costs more.
    """
    wanted = math.atan2(-toward[1], toward[0]) if toward != (0.0, 0.0) else None
    if centered:
        yield 0.0, None, 0.0
    turns = []
    for turn in range(24):
        angle = math.radians(turn * 15.0) + (wanted or 0.0)
        off = abs((angle - wanted + math.pi) % (2 * math.pi) - math.pi) if wanted is not None else 0.0
        turns.append(((math.cos(angle), -math.sin(angle)), off * 3.0, _BEHIND if off > 2.0 else 0.0))
    for reach in _REACHES_MM:
        for direction, aside, behind in turns:
            yield reach * 0.5 + aside + behind, direction, reach


def _box_around(anchor: Point, size: tuple[float, float]) -> Box:
    """Return the box whose middle is the anchor."""
    return Box(anchor[0] - size[0] / 2, anchor[1] - size[1] / 2, anchor[0] + size[0] / 2, anchor[1] + size[1] / 2)


def _box_beyond(anchor: Point, direction: Point, reach: float, size: tuple[float, float]) -> Box:
    """Return the box whose nearest side is about ``reach`` from the anchor."""
    width, height = size
    x = anchor[0] + direction[0] * (reach + width / 2)
    y = anchor[1] + direction[1] * (reach + height / 2)
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _lead(anchor: Point, box: Box) -> Segment:
    """Return the leader from the anchor to the middle of the nearer upright side, or to the top or bottom of a box above or below it."""
    if box.left <= anchor[0] <= box.right:
        x = min(max(anchor[0], box.left + 1.0), box.right - 1.0)
        return (*anchor, x, box.bottom if box.bottom < anchor[1] else box.top)
    side = box.left if box.left > anchor[0] else box.right
    return (*anchor, side, (box.top + box.bottom) / 2)


def _meet(one: Box, other: Box) -> bool:
    return one.left < other.right and other.left < one.right and one.top < other.bottom and other.top < one.bottom


def _meets_one_of(box: Box, others: Sequence[Box]) -> bool:
    """Whether a box meets one of others: written out, since a sheet asks this a million times."""
    left, top, right, bottom = box
    for one in others:  # noqa: SIM110  a generator takes three times as long
        if left < one[2] and one[0] < right and top < one[3] and one[1] < bottom:
            return True
    return False


def crossing(one: Segment, other: Segment) -> bool:
    """Whether two segments cross each other (touching ends do not count)."""
    ax, ay, bx, by = one
    px, py, qx, qy = other
    # On which side of a segment each end of the other lies; written out, since a sheet asks this a million times.
    dx, dy = bx - ax, by - ay
    if (dx * (py - ay) - dy * (px - ax)) * (dx * (qy - ay) - dy * (qx - ax)) >= -1e-9:
        return False
    dx, dy = qx - px, qy - py
    return (dx * (ay - py) - dy * (ax - px)) * (dx * (by - py) - dy * (bx - px)) < -1e-9


def _cuts(segment: Segment, box: Box) -> bool:
    """Whether a segment has a part inside a box (clipping by Liang and Barsky)."""
    x1, y1, x2, y2 = segment
    if (x1 < box.left and x2 < box.left) or (x1 > box.right and x2 > box.right):
        return False
    if (y1 < box.top and y2 < box.top) or (y1 > box.bottom and y2 > box.bottom):
        return False
    low, high = 0.0, 1.0
    for delta, start, least, most in ((x2 - x1, x1, box.left, box.right), (y2 - y1, y1, box.top, box.bottom)):
        if abs(delta) < 1e-12:
            if not least < start < most:
                return False
            continue
        first, second = sorted(((least - start) / delta, (most - start) / delta))
        low, high = max(low, first), min(high, second)
        if low >= high:
            return False
    return True
