"""An inverter with several ac ports: what joins them inside is ac, its relay toward the utility is drawn, converters stand at dc only."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.diagram.above import overhang, write_above
from permitgen.documents.diagram.box_units import apart, control_stubs, dot, entry_heights
from permitgen.documents.diagram.manner import ENCLOSURE_PEN, Manner, inks, wire_pen
from permitgen.documents.diagram.parts import chain_extent, chain_width, draw_part, part_width
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Tap, stack_branches
from permitgen.documents.symbols import conversion
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Part, Unit, Way

_AROUND_MM = 3 * UNIT


def has_ac_ports(unit: Unit) -> bool:
    """Whether more than one way of an inverter is ac."""
    power = [way for branch in unit.branches for way in branch.ways if way.lead is not None and way.lead.kind == "power"]
    return bool(power) and bool(unit.entries) and not _is_dc(unit.entries[0])


def draft_hybrid(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """Return the inverter: from the entry by its relay to where the ac ports meet, from there the inverter to its dc inputs."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    inverter, converter = conversion.inverter(drawn), conversion.converter(drawn)
    entry = unit.entries[0]
    meeting = snapped(chain_width(entry.parts, manner) + 2 * UNIT)
    link = meeting + 2 * UNIT + inverter.right - inverter.left
    parts = max((chain_width(way.parts, manner) for branch in unit.branches for way in branch.ways), default=0.0)
    width = snapped(max(link + 3 * UNIT + converter.right - converter.left, meeting + parts + 2 * UNIT))
    stack = stack_branches(
        unit.branches, draft, manner.beyond(width), least_lead_mm=overhang(unit, manner, width), least_pitch_mm=max(pitch, 6 * UNIT)
    )
    sketch = Sketch()
    power, control = apart(stack)
    ac, dc = [tap for tap in power if not _is_dc(tap.way)], [tap for tap in power if _is_dc(tap.way)]
    control_stubs(sketch, control, width)
    _along(sketch, entry.parts, (0.0, meeting), 0.0, manner, pen)
    at = dc[0].y if dc else snapped(max(0.0, *(tap.y for tap in ac)) + 6 * UNIT)
    _ac_side(sketch, ac, (meeting, width), at, manner, pen)
    sketch.symbol(inverter, meeting + UNIT - inverter.left, at)
    sketch.wire(((link - UNIT, at), (link, at)), pen)
    _dc_side(sketch, dc, (link, width), link + UNIT - converter.left, pen, unit)
    entries = entry_heights(unit, 0.0, pitch)
    reach = [tap.y + chain_extent(tap.way.parts, manner).below for tap in ac]
    lowest = max([chain_extent(entry.parts, manner).below, at, *reach, *(tap.y for tap in (*dc, *control)), *entries])
    highest = max([_AROUND_MM, *(chain_extent(way.parts, manner).above + UNIT for way in (entry, *(tap.way for tap in ac[:1])))])
    box = Box(0.0, -highest, width, lowest + _AROUND_MM)
    sketch.boundary(box, ENCLOSURE_PEN)
    write_above(sketch, unit, manner, box.top)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, entries)


def _is_dc(way: Way) -> bool:
    return way.conductors[:1] == ("+",)


def _along(sketch: Sketch, parts: Sequence[Part], ends: tuple[float, float], y: float, manner: Manner, pen: Pen) -> None:
    """Draw parts one after the other on a line."""
    start, end = ends
    for part in parts:
        middle = start + UNIT + part_width(part, manner) / 2
        left, right = draw_part(sketch, part, middle, y, manner)
        sketch.wire(((start, y), (left, y)), pen)
        start = right
    sketch.wire(((start, y), (end, y)), pen)


def _ac_side(sketch: Sketch, taps: Sequence[Tap], ends: tuple[float, float], inverter_y: float, manner: Manner, pen: Pen) -> None:
    """The upright line on which the entry, the other ac ports and the inverter meet."""
    meeting, width = ends
    levels = [0.0, inverter_y, *(tap.y for tap in taps)]
    sketch.wire(((meeting, min(levels)), (meeting, max(levels))), pen)
    dot(sketch, meeting, 0.0)
    for tap in taps:
        _along(sketch, tap.way.parts, (meeting, width), tap.y, manner, pen)
        dot(sketch, meeting, tap.y)
    sketch.wire(((meeting, inverter_y), (meeting + UNIT, inverter_y)), pen)


def _dc_side(sketch: Sketch, taps: Sequence[Tap], ends: tuple[float, float], middle: float, pen: Pen, unit: Unit) -> None:
    """A converter at each dc input, on one link."""
    link, width = ends
    converter = conversion.converter(inks(is_existing=unit.is_existing))
    for tap in taps:
        sketch.wire(((link, tap.y), (middle + converter.left, tap.y)), pen)
        sketch.symbol(converter, middle, tap.y)
        sketch.wire(((middle + converter.right, tap.y), (width, tap.y)), pen)
        dot(sketch, link, tap.y)
    if taps:
        sketch.wire(((link, taps[0].y), (link, taps[-1].y)), pen)
