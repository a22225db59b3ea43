"""Conductors side by side: L1, L2, neutral, ground, each in its own track; a pole of every breaker in each ungrounded one."""

from __future__ import annotations

from permitgen.documents.canvas.shapes import Point
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.leads import lead_lines
from permitgen.documents.diagram.manner import ABOVE_PART_MM, CONTROL_PEN, GROUND_PEN, Manner, inks, wire_pen
from permitgen.documents.diagram.parts import Extent, lines_below, part_extent, part_symbol, part_width
from permitgen.documents.diagram.sketch import Sketch, snapped
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.markers import STEP_RADIUS_MM, TAG_HEIGHT_MM, circuit_tag, step, tag_width
from permitgen.documents.symbols.metering import meter_of_legs
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Lead, Part, Way
from permitgen.views.one_line_ways import GROUND_NAME, NEUTRAL_NAME

TRACK_MM = 2 * UNIT
_TAG_ABOVE_MM = 1.2
_TEXT_DOWN_MM = 1.4


def depth(names: tuple[str, ...]) -> float:
    """Return how far the last track lies below the first, mm."""
    return max(0, len(names) - 1) * TRACK_MM


def is_hot(name: str) -> bool:
    """Whether a conductor is ungrounded and so passes through the poles of breakers."""
    return name not in (NEUTRAL_NAME, GROUND_NAME)


def track_pen(name: str, *, is_existing: bool) -> Pen:
    """Return the pen of one conductor; the equipment grounding conductor is dashed."""
    return GROUND_PEN if name == GROUND_NAME else wire_pen("power", is_existing=is_existing)


def draw_straight(sketch: Sketch, names: tuple[str, ...], start: float, end: float, y: float, *, is_existing: bool) -> None:
    """Draw every track from x = start to x = end."""
    for index, name in enumerate(names):
        at = y + index * TRACK_MM
        sketch.wire(((start, at), (end, at)), track_pen(name, is_existing=is_existing))


def draw_poles(
    sketch: Sketch, part: Part, names: tuple[str, ...], span: tuple[float, float], y: float, manner: Manner, *, is_existing: bool
) -> None:
    """Draw a part over the tracks between two x: a pole in each ungrounded conductor, the others straight, texts above and below."""
    start, end = span
    middle = (start + end) / 2
    symbol = part_symbol(part, inks(is_existing=is_existing))
    hot = [index for index, name in enumerate(names) if is_hot(name) or (name == NEUTRAL_NAME and part.opens_neutral)]
    if part.kind == "meter":
        # A meter has no poles: one circle takes all the ungrounded conductors.
        center = y + sum(hot) / max(1, len(hot)) * TRACK_MM
        legs = tuple(y + index * TRACK_MM - center for index in hot)
        sketch.symbol(meter_of_legs(legs, inks(is_existing=is_existing)), middle, center)
    for index, name in enumerate(names):
        at, pen = y + index * TRACK_MM, track_pen(name, is_existing=is_existing)
        if index in hot:
            if part.kind != "meter":
                sketch.symbol(symbol, middle, at)
            sketch.wire(((start, at), (middle + symbol.left, at)), pen)
            sketch.wire(((middle + symbol.right, at), (end, at)), pen)
        else:
            sketch.wire(((start, at), (end, at)), pen)
    style = LETTERING.text
    sketch.text(middle, y - ABOVE_PART_MM, part.above, style, "middle")
    edge = y + depth(names) + max(symbol.box.bottom, 0.0) + 0.8
    if part.step:
        sketch.symbol(step(part.step), middle, edge + STEP_RADIUS_MM)
        edge += 2 * STEP_RADIUS_MM + 0.6
    for index, line in enumerate(lines_below(part, manner)):
        sketch.text(middle, edge + style.cap_height_mm + 0.5 + index * manner.leading_mm, line, style, "middle")


def way_reach(way: Way, manner: Manner) -> Extent:
    """Return how far a way reaches inside a unit."""
    found = Extent(UNIT, UNIT + depth(way.conductors))
    for part in way.parts:
        reach = part_extent(part, manner)
        found = found.joined(Extent(reach.above, reach.below + depth(way.conductors)))
    return found


class ThreeLineLeads:
    """Draws the conductors between two units, each in its track, with letters at their start and the circuit's tag above them."""

    def width(self, way: Way, manner: Manner) -> float:
        """Return the least length of a lead, mm."""
        lead = _lead(way)
        texts = max((text_width(line, LETTERING.text) for line in lead_lines(lead, manner)), default=0.0)
        parts = sum(part_width(part, manner) + UNIT for part in (lead.near, lead.far) if part is not None)
        return snapped(max(parts + sum(tag_width(tag) + 1.0 for tag in lead.tags) + 4 * UNIT, texts + 3.0))

    def extent(self, way: Way, manner: Manner) -> Extent:
        """Return how far a lead reaches above its first track and below it."""
        lead = _lead(way)
        above, below = TAG_HEIGHT_MM + _TAG_ABOVE_MM, depth(way.conductors) + _TEXT_DOWN_MM
        for part in (lead.near, lead.far):
            if part is not None:
                reach = part_extent(_bare(part), manner)
                above, below = max(above, reach.above), max(below, reach.below + depth(way.conductors))
        return Extent(above, below + len(lead_lines(lead, manner)) * manner.leading_mm)

    def draw(self, sketch: Sketch, way: Way, start: float, end: float, y: float, manner: Manner) -> None:
        """Draw a lead from x = start to x = end."""
        lead = _lead(way)
        if lead.kind == "control":
            sketch.wire(((start, y), (end, y)), CONTROL_PEN)
            _draw_tags(sketch, lead, start, y)
            self._write(sketch, lead, (start, y + _TEXT_DOWN_MM), manner)
            return
        names, is_existing = way.conductors, lead.is_existing
        left, right = start, end
        if lead.near is not None:
            left = start + UNIT + part_width(_bare(lead.near), manner)
            draw_poles(sketch, _bare(lead.near), names, (start, left), y, manner, is_existing=is_existing)
        if lead.far is not None:
            right = end - UNIT - part_width(_bare(lead.far), manner)
            draw_poles(sketch, _bare(lead.far), names, (right, end), y, manner, is_existing=is_existing)
        draw_straight(sketch, names, left, right, y, is_existing=is_existing)
        _draw_tags(sketch, lead, left, y)
        lowest = max((part_extent(_bare(part), manner).below for part in (lead.near, lead.far) if part is not None), default=_TEXT_DOWN_MM)
        self._write(sketch, lead, (start, y + depth(names) + max(lowest, _TEXT_DOWN_MM)), manner)

    def lines(self, way: Way, y: float) -> tuple[float, ...]:
        """Return the y of every track."""
        return tuple(y + index * TRACK_MM for index in range(max(1, len(way.conductors))))

    def _write(self, sketch: Sketch, lead: Lead, at: Point, manner: Manner) -> None:
        style = LETTERING.text
        for index, line in enumerate(lead_lines(lead, manner)):
            sketch.text(at[0] + 1.5, at[1] + (index + 0.5) * manner.leading_mm + style.cap_height_mm / 2, line, style)


def _draw_tags(sketch: Sketch, lead: Lead, start: float, y: float) -> None:
    """Put the tags above the first track."""
    at = start + UNIT
    for tag in lead.tags:
        symbol = circuit_tag(tag)
        width = symbol.right - symbol.left
        sketch.symbol(symbol, at + width / 2, y - _TAG_ABOVE_MM - TAG_HEIGHT_MM / 2)
        at += width + 1.0


def _lead(way: Way) -> Lead:
    if way.lead is None:
        raise ValueError("a way without a lead has nothing to draw")
    return way.lead


def _bare(part: Part) -> Part:
    return Part(part.kind, part.above, part.below, step=part.step, opens_neutral=part.opens_neutral)


THREE_LINE = ThreeLineLeads()
