"""Leads: the conductors between two units, with the circuit's tag on the line, its text below, and devices at either end."""

from __future__ import annotations

from typing import Protocol

from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.manner import Manner, inks, wire_pen
from permitgen.documents.diagram.parts import Extent, draw_part, part_extent, part_width
from permitgen.documents.diagram.sketch import Sketch, snapped
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.markers import TAG_HEIGHT_MM, circuit_tag, tag_width
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Lead, Part, Way

_BRIEF_COLUMN_MM = 24.0
_TEXT_INDENT_MM = 1.5
# Sizes stand so far below a tag that a cloud around the tag ends short of them.
_TEXT_TOP_MM = TAG_HEIGHT_MM / 2 + 1.5


def lead_lines(lead: Lead, manner: Manner) -> tuple[str, ...]:
    """Return the lines that stand below a lead."""
    if manner.detail == "full":
        return lead.full
    texts = lead.brief if manner.detail != "tags" else ()
    return tuple(line for text in texts for line in break_lines(text, LETTERING.text, min(_BRIEF_COLUMN_MM, manner.above_mm - 8.0)))


def lead_width(lead: Lead, manner: Manner) -> float:
    """Return the least length of a lead, mm, on the grid."""
    parts = [part_width(part, manner) + UNIT for part in (lead.near, lead.far) if part is not None]
    tags = sum(tag_width(tag) + UNIT for tag in lead.tags)
    texts = max((text_width(line, LETTERING.text) for line in lead_lines(lead, manner)), default=0.0)
    return snapped(max(sum(parts) + tags + 2 * UNIT, texts + 2 * _TEXT_INDENT_MM))


def lead_extent(lead: Lead, manner: Manner) -> Extent:
    """Return how far a lead with its texts reaches above and below its line."""
    lines = lead_lines(lead, manner)
    found = Extent(TAG_HEIGHT_MM / 2, _TEXT_TOP_MM if lines else TAG_HEIGHT_MM / 2)
    for part in (lead.near, lead.far):
        if part is not None:
            found = found.joined(part_extent(_bare(part), manner))
    return Extent(found.above, found.below + len(lines) * manner.leading_mm)


def _bare(part: Part) -> Part:
    """Return a part on the wire without its rating below: that room belongs to the conductors."""
    return Part(part.kind, part.above, part.below, step=part.step)


def draw_lead(sketch: Sketch, lead: Lead, start: float, end: float, y: float, manner: Manner) -> None:
    """Draw a lead from x = start to x = end."""
    pen = wire_pen(lead.kind, is_existing=lead.is_existing)
    drawn = inks(is_existing=lead.is_existing)
    at = start
    if lead.near is not None:
        middle = start + UNIT + part_width(_bare(lead.near), manner) / 2
        left, right = draw_part(sketch, _bare(lead.near), middle, y, manner, drawn)
        sketch.wire(((at, y), (left, y)), pen)
        at = right
    stop = end
    if lead.far is not None:
        middle = end - UNIT - part_width(_bare(lead.far), manner) / 2
        left, right = draw_part(sketch, _bare(lead.far), middle, y, manner, drawn)
        sketch.wire(((right, y), (end, y)), pen)
        stop = left
    at = _draw_tags(sketch, lead, at, stop, y)
    sketch.wire(((at, y), (stop, y)), pen)
    lowest = max((part_extent(_bare(part), manner).below for part in (lead.near, lead.far) if part is not None), default=0.0)
    top = y + max(_TEXT_TOP_MM, lowest)
    style = LETTERING.text
    for index, line in enumerate(lead_lines(lead, manner)):
        sketch.text(start + _TEXT_INDENT_MM, top + (index + 0.5) * manner.leading_mm + style.cap_height_mm / 2, line, style)


def _draw_tags(sketch: Sketch, lead: Lead, start: float, stop: float, y: float) -> float:
    """Put the hexagons on the line with short pieces of wire between; return where the wire goes on."""
    pen = wire_pen(lead.kind, is_existing=lead.is_existing)
    at = start
    for tag in lead.tags:
        symbol = circuit_tag(tag)
        width = symbol.right - symbol.left
        begin = min(at + UNIT, stop - width)
        sketch.wire(((at, y), (begin, y)), pen)
        sketch.symbol(symbol, begin + width / 2, y)
        at = begin + width
    return at


class LeadDrawing(Protocol):
    """How what lies between two units is measured and drawn."""

    def width(self, way: Way, manner: Manner) -> float:
        """Return the least length of a lead, mm."""

    def extent(self, way: Way, manner: Manner) -> Extent:
        """Return how far a lead with its texts reaches above and below its line."""

    def draw(self, sketch: Sketch, way: Way, start: float, end: float, y: float, manner: Manner) -> None:
        """Draw a lead from x = start to x = end."""

    def lines(self, way: Way, y: float) -> tuple[float, ...]:
        """Return the y of every line drawn for a way."""


class OneLineLeads:
    """One line for all conductors of a circuit."""

    def width(self, way: Way, manner: Manner) -> float:
        """Return the least length of a lead, mm."""
        return lead_width(way.lead, manner) if way.lead is not None else 0.0

    def extent(self, way: Way, manner: Manner) -> Extent:
        """Return how far a lead with its texts reaches above and below its line."""
        return lead_extent(way.lead, manner) if way.lead is not None else Extent()

    def draw(self, sketch: Sketch, way: Way, start: float, end: float, y: float, manner: Manner) -> None:
        """Draw a lead from x = start to x = end."""
        if way.lead is not None:
            draw_lead(sketch, way.lead, start, end, y, manner)

    def lines(self, way: Way, y: float) -> tuple[float, ...]:
        """Return the y of the one line."""
        del way
        return (y,)


ONE_LINE: LeadDrawing = OneLineLeads()
