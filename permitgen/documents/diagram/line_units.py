"""Units that lie in the line: the utility, meters, junction boxes, switches, transfer switches, inverters. Their text stands above."""

from __future__ import annotations

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import THIN, Pen
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.leads import lead_extent
from permitgen.documents.diagram.manner import ENCLOSURE_PEN, GAP_MM, Manner, inks, wire_pen
from permitgen.documents.diagram.parts import part_symbol
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, stack_branches
from permitgen.documents.diagram.words import WordBlock, unit_words
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols import conversion, metering, sources, switching
from permitgen.documents.symbols.symbol import UNIT, Symbol
from permitgen.views.one_line import Unit

_TEXT_ABOVE_MM = 2.6
_UTILITY_MORE_MM = 4.0
_CLEAR_MM = 0.8
_EARTH_X_MM = 2 * UNIT
_LEFT_PART_MM = 2 * UNIT
_SHELL_MM = 2 * UNIT
"""Distance from a switch to its enclosure."""


def draft_line_unit(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """Return a unit that lies in the line."""
    block = _by_form(unit, pitch, manner, draft)
    if unit.grounding is not None:
        bodies = [item.box for item in block.sketch.items if item.kind in ("symbol", "boundary") and item.box.left < _LEFT_PART_MM]
        draw_earth(block.sketch, unit.grounding, (_EARTH_X_MM, max(box.bottom for box in bodies)), manner)
        return block_of(block.sketch, block.entries)
    return block


def _by_form(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    if unit.kind == "junction":
        return _junction(unit, pitch, manner, draft)
    if unit.kind == "inverter" and _inputs(unit) > 1:
        return _inverter(unit, pitch, manner, draft)
    if unit.kind == "transfer switch":
        return _transfer(unit, pitch, manner, draft)
    return _symbol_unit(unit, pitch, manner, draft)


def _inputs(unit: Unit) -> int:
    return sum(len(branch.ways) for branch in unit.branches)


def _overhang(unit: Unit, manner: Manner, own_mm: float) -> float:
    """Return how long a lead must be for the unit's text to end before what comes next."""
    return _words(unit, manner).width + 2 * GAP_MM - own_mm


def _words(unit: Unit, manner: Manner) -> WordBlock:
    return unit_words(unit, manner, manner.above_mm + (_UTILITY_MORE_MM if unit.kind == "utility" else 0.0))


def _write_above(sketch: Sketch, unit: Unit, manner: Manner, top: float) -> None:
    """Write the unit's text above it, clear of what stands above its lines."""
    words = _words(unit, manner)
    leads = [way.lead for branch in unit.branches for way in branch.ways if way.lead is not None]
    clear = -max((lead_extent(lead, manner).above for lead in leads), default=0.0)
    words.draw(sketch, 0.0, min(top - _TEXT_ABOVE_MM, clear - _CLEAR_MM) - words.height)


def _entry_heights(unit: Unit, first: float, pitch: float) -> tuple[float, ...]:
    return tuple(first + index * max(pitch, 4 * UNIT) for index in range(len(unit.entries)))


def _own_symbol(unit: Unit) -> Symbol:
    drawn = inks(is_existing=unit.is_existing)
    if unit.kind == "disconnect" and unit.parts:
        return part_symbol(unit.parts[0], drawn) if unit.parts[0].kind == "breaker" else switching.switch(drawn)
    by_kind = {"utility": sources.utility, "meter": metering.meter, "disconnect": switching.switch, "inverter": conversion.inverter}
    return by_kind[unit.kind](drawn)


def _symbol_unit(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """A symbol, for a switch with an enclosure around it (and its fuses behind it)."""
    symbol = _own_symbol(unit)
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    shell = _SHELL_MM if unit.kind == "disconnect" else 0.0
    middle = snapped(shell - symbol.left)
    right = middle + symbol.right
    sketch = Sketch()
    sketch.symbol(symbol, middle, 0.0)
    box = Box(0.0, symbol.box.top, right, symbol.box.bottom)
    if unit.kind == "disconnect" and unit.parts and unit.parts[0].kind == "fuse":
        fuse = switching.fuse(drawn)
        at = right + UNIT - fuse.left
        sketch.wire(((right, 0.0), (at + fuse.left, 0.0)), pen)
        sketch.symbol(fuse, at, 0.0)
        right = at + fuse.right
    width = snapped(right + shell)
    if shell:
        sketch.wire(((0.0, 0.0), (middle + symbol.left, 0.0)), pen)
        sketch.wire(((right, 0.0), (width, 0.0)), pen)
        box = Box(0.0, -2.5 * UNIT, width, 2.5 * UNIT)
        sketch.boundary(box, ENCLOSURE_PEN)
    elif unit.branches:
        sketch.wire(((right, 0.0), (width, 0.0)), pen)
    _write_above(sketch, unit, manner, box.top)
    stack = stack_branches(unit.branches, draft, manner.beyond(width), least_lead_mm=_overhang(unit, manner, width))
    entries = _entry_heights(unit, 0.0, pitch)
    for y in entries[1:]:
        sketch.wire(((0.0, y), (0.0, 0.0)), pen)
    x = _fan_out(sketch, stack, width, pen)
    sketch.add(stack.beyond, x, 0.0)
    return block_of(sketch, entries)


def _fan_out(sketch: Sketch, stack: Stack, x: float, pen: Pen) -> float:
    """Join several ways on one conductor by a vertical line with a dot at each T; return where the leads begin."""
    ys = [tap.y for tap in stack.taps]
    if len(ys) < 2:
        return x
    across = x + UNIT
    sketch.wire(((x, ys[0]), (across + UNIT, ys[0])), pen)
    sketch.wire(((across, ys[0]), (across, ys[-1])), pen)
    for index, y in enumerate(ys):
        if index:
            sketch.wire(((across, y), (across + UNIT, y)), pen)
        if index < len(ys) - 1:
            _dot(sketch, across, y)
    return across + UNIT


def _dot(sketch: Sketch, x: float, y: float) -> None:
    sketch.dot(x, y, 0.35 * UNIT, LETTERING.text.colour)


def _junction(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """A box in which circuits are spliced: those on one node are joined, the others pass through side by side."""
    pen = wire_pen("power", is_existing=unit.is_existing)
    width = 4 * UNIT
    stack = stack_branches(unit.branches, draft, manner.beyond(width), least_lead_mm=_overhang(unit, manner, width), least_pitch_mm=pitch)
    by_node: dict[str, list[float]] = {}
    for tap in stack.taps:
        by_node.setdefault(tap.way.node, []).append(tap.y)
    lowest = max((y for ys in by_node.values() for y in ys), default=-max(pitch, 4 * UNIT))
    entries: list[float] = []
    sketch = Sketch()
    for way in unit.entries:
        ys = by_node.get(way.node)
        if ys is None or ys[0] in entries:
            lowest = snapped(lowest + max(pitch, 4 * UNIT))
            entries.append(lowest)
            sketch.wire(((0.0, lowest), (width / 2, lowest)), pen)
            _dot(sketch, width / 2, lowest)
            continue
        entries.append(ys[0])
        _spliced(sketch, ys, width, pen)
    ys_all = [*entries, *(tap.y for tap in stack.taps)] or [0.0]
    box = Box(0.0, min(ys_all) - 2 * UNIT, width, max(ys_all) + 2 * UNIT)
    sketch.boundary(box, THIN)
    _write_above(sketch, unit, manner, box.top)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, tuple(entries))


def _spliced(sketch: Sketch, ys: list[float], width: float, pen: Pen) -> None:
    middle = width / 2
    sketch.wire(((0.0, ys[0]), (width, ys[0])), pen)
    _dot(sketch, middle, ys[0])
    if len(ys) > 1:
        sketch.wire(((middle, ys[0]), (middle, ys[-1])), pen)
    for y in ys[1:]:
        sketch.wire(((middle, y), (width, y)), pen)


def _inverter(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """An inverter with several dc inputs: a converter at each, a common link, the inverter at the utility's side."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    inverter, converter = conversion.inverter(drawn), conversion.converter(drawn)
    link = 2 * UNIT + (inverter.right - inverter.left) + UNIT
    width = snapped(link + UNIT + (converter.right - converter.left) + 2 * UNIT)
    stack = stack_branches(unit.branches, draft, manner.beyond(width), least_lead_mm=_overhang(unit, manner, width), least_pitch_mm=max(pitch, 6 * UNIT))
    sketch = Sketch()
    at = 2 * UNIT - inverter.left
    sketch.wire(((0.0, 0.0), (2 * UNIT, 0.0)), pen)
    sketch.symbol(inverter, at, 0.0)
    sketch.wire(((at + inverter.right, 0.0), (link, 0.0)), pen)
    ys = [tap.y for tap in stack.taps]
    sketch.wire(((link, min(0.0, *ys)), (link, max(0.0, *ys))), pen)
    for y in ys:
        middle = link + UNIT - converter.left
        sketch.wire(((link, y), (link + UNIT, y)), pen)
        sketch.symbol(converter, middle, y)
        sketch.wire(((middle + converter.right, y), (width, y)), pen)
        _dot(sketch, link, y)
    entries = _entry_heights(unit, 0.0, pitch)
    box = Box(0.0, -3 * UNIT, width, max(max(ys), entries[-1] if entries else 0.0) + 3 * UNIT)
    sketch.boundary(box, ENCLOSURE_PEN)
    _write_above(sketch, unit, manner, box.top)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, entries)


def _transfer(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """A transfer switch: the way in at the left, the common or the other contact at the right."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    common_at_left = bool(unit.entries) and unit.entries[0].terminal == "load"
    symbol = switching.transfer(1.6 * UNIT, common_at_left=common_at_left, inks=drawn)
    middle, width = 6 * UNIT, 12 * UNIT
    stack = stack_branches(unit.branches, draft, manner.beyond(width), least_lead_mm=_overhang(unit, manner, width), least_pitch_mm=max(pitch, 6 * UNIT))
    sketch = Sketch()
    sketch.wire(((0.0, 0.0), (middle + symbol.left, 0.0)), pen)
    sketch.symbol(symbol, middle, 0.0)
    ys = [tap.y for tap in stack.taps] or [0.0]
    sketch.wire(((middle + symbol.right, ys[0]), (width, ys[0])), pen)
    for index, y in enumerate(ys[1:]):
        x = middle + symbol.right + UNIT - index * 0.5 * UNIT
        low = 1.6 * UNIT
        start = middle + (-1 if not common_at_left else 1) * 0.5 * UNIT
        sketch.wire(((start, low + 0.25 * UNIT), (start, low + UNIT), (x, low + UNIT), (x, y), (width, y)), pen)
    style = LETTERING.text
    for way, x in zip(unit.entries[:1], (UNIT / 2,), strict=False):
        sketch.text(x, -UNIT / 2, way.terminal[:1].upper(), style)
    for tap in stack.taps:
        sketch.text(width - UNIT / 2, tap.y - UNIT / 2, tap.way.terminal[:1].upper(), style, "end")
    box = Box(0.0, -3 * UNIT, width, max(ys) + 3 * UNIT)
    sketch.boundary(box, ENCLOSURE_PEN)
    _write_above(sketch, unit, manner, box.top)
    entries = _entry_heights(unit, 0.0, pitch)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, entries)
