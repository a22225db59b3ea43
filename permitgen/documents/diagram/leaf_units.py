"""Units at the end of a line: storage, generator, vehicle supply, appliances, loads, arrays. Their text stands at the right."""

from __future__ import annotations

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.manner import ARRAY_PEN, CONTROL_PEN, ENCLOSURE_PEN, GAP_MM, Manner, inks, wire_pen
from permitgen.documents.diagram.parts import draw_part, part_extent, part_width
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, stack_branches
from permitgen.documents.diagram.words import unit_words
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols import conversion, loads, sources
from permitgen.documents.symbols.symbol import UNIT, Symbol
from permitgen.views.one_line import Unit
from permitgen.views.one_line_ways import CONTROL_NODE

_ROW_MM = 5 * UNIT
_ARRAY_COLUMN_MM = 46.0


def draft_leaf(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """Return a unit at the end of a line."""
    block = _array(unit, pitch, manner) if unit.kind == "array" else _leaf(unit, pitch, manner)
    if unit.branches:
        _hang_below(block.sketch, stack_branches(unit.branches, draft, manner), manner)
        block = block_of(block.sketch, block.entries)
    if unit.grounding is not None:
        bottom = max(item.box.bottom for item in block.sketch.items if item.kind in ("symbol", "boundary") and item.box.left < 2 * UNIT)
        draw_earth(block.sketch, unit.grounding, (2 * UNIT, bottom), manner)
        return block_of(block.sketch, block.entries)
    return block


def _leaf(unit: Unit, pitch: float, manner: Manner) -> Block:
    sketch = Sketch()
    pen = wire_pen("power", is_existing=unit.is_existing)
    entries = tuple(index * max(pitch, _ROW_MM) for index in range(max(1, len(unit.entries))))
    right = _enclosed(sketch, unit, manner) if unit.kind in ("storage", "generator") else _plain(sketch, unit)
    inside = unit.kind in ("storage", "generator")
    depth = entries[-1]
    if inside and depth:
        box = Box(0.0, sketch.box.top, right, depth + 2 * UNIT)
        sketch.items = [item for item in sketch.items if item.kind != "boundary"]
        sketch.boundary(box, ENCLOSURE_PEN)
    for way, y in zip(unit.entries, entries, strict=False):
        if y:
            wire = CONTROL_PEN if way.node == CONTROL_NODE else pen
            sketch.wire(((0.0, y), (3 * UNIT, y)), wire)
    words = unit_words(unit, manner, manner.column_mm(right + GAP_MM))
    top = min(0.0 - words.height / 2, sketch.box.top) if depth == 0 else sketch.box.top
    words.draw(sketch, right + GAP_MM, -words.height / 2 if depth == 0 else top)
    return block_of(sketch, entries)


def _hang_below(sketch: Sketch, stack: Stack, manner: Manner) -> None:
    """Draw control lines that lead on from a unit below it."""
    bodies = [item.box for item in sketch.items if item.kind in ("boundary", "symbol") and item.name != "step"]
    bottom = max((box.bottom for box in bodies), default=0.0)
    right = snapped(max((box.right for box in bodies), default=2 * UNIT))
    down = snapped(sketch.box.bottom + manner.row_gap_mm - stack.beyond.box.top)
    for index, tap in enumerate(stack.taps):
        x = right - UNIT * (1 + index)
        sketch.wire(((x, bottom), (x, tap.y + down), (right, tap.y + down)), CONTROL_PEN)
    sketch.add(stack.beyond, right, down)


def _plain(sketch: Sketch, unit: Unit) -> float:
    """Draw the symbol of a load; return its right edge."""
    drawn = inks(is_existing=unit.is_existing)
    by_kind = {
        "vehicle supply": loads.vehicle_supply,
        "appliance": loads.appliance,
        "energy_monitor": loads.energy_monitor,
        "initiator": loads.initiator,
        "loads": loads.load_arrow,
    }
    symbol = by_kind.get(unit.kind, loads.equipment)(drawn)
    sketch.symbol(symbol, -symbol.left, 0.0)
    return snapped(symbol.right - symbol.left)


def _enclosed(sketch: Sketch, unit: Unit, manner: Manner) -> float:
    """Draw what is inside a storage unit or a generator, in a dashed enclosure; return its right edge."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    at = UNIT
    reach_up, reach_down = 2.5 * UNIT, 2.5 * UNIT
    last = 0.0
    for part in unit.parts:
        width = part_width(part, manner)
        left, right = draw_part(sketch, part, at + width / 2, 0.0, manner, drawn)
        sketch.wire(((last, 0.0), (left, 0.0)), pen)
        at, last = at + width, right
        extent = part_extent(part, manner)
        reach_up, reach_down = max(reach_up, extent.above + 0.8), max(reach_down, extent.below + 0.8)
    symbols: list[Symbol] = [sources.generator(drawn)] if unit.kind == "generator" else [sources.battery(drawn)]
    if unit.kind == "storage" and unit.symbol == "ac":
        symbols.insert(0, conversion.inverter(drawn))
    for symbol in symbols:
        middle = at + UNIT - symbol.left
        sketch.wire(((last, 0.0), (middle + symbol.left, 0.0)), pen)
        sketch.symbol(symbol, middle, 0.0)
        at, last = middle + symbol.right, middle + symbol.right
        reach_up, reach_down = max(reach_up, -symbol.box.top + 0.8), max(reach_down, symbol.box.bottom + 0.8)
    width = snapped(at + UNIT)
    sketch.boundary(Box(0.0, -reach_up, width, reach_down), ENCLOSURE_PEN)
    return width


def _array(unit: Unit, pitch: float, manner: Manner) -> Block:
    """An array: its boundary, a row for each branch or string, text at the top inside."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    style = LETTERING.text
    entries = tuple(index * snapped(max(pitch, 7 * UNIT)) for index in range(max(1, len(unit.entries))))
    modules = sources.array(drawn)
    front = {"microinverter": conversion.inverter, "converter": conversion.converter}.get(unit.symbol)
    sketch = Sketch()
    at = 2 * UNIT
    right = at
    for way, y in zip(unit.entries, entries, strict=False):
        last, x = 0.0, at
        if front is not None:
            symbol = front(drawn)
            sketch.wire(((0.0, y), (x, y)), pen)
            sketch.symbol(symbol, x - symbol.left, y)
            last = x + symbol.right - symbol.left
            x = last + UNIT
        sketch.wire(((last, y), (x, y)), pen)
        sketch.symbol(modules, x - modules.left, y)
        note = ", ".join(part for part in (way.terminal, way.note) if part)
        edge = x + modules.right - modules.left
        sketch.text(at, y + 2 * UNIT + 0.8 + style.cap_height_mm, note, style)
        right = max(right, edge, at + text_width(note, style))
    words = unit_words(unit, manner, max(min(manner.column_mm(2 * UNIT), _ARRAY_COLUMN_MM), right - UNIT))
    width = snapped(max(right, UNIT + words.width) + UNIT)
    top = modules.box.top - 1.0 - words.height
    words.draw(sketch, UNIT, top)
    sketch.boundary(Box(0.0, top - 1.0, width, entries[-1] + 4.5 * UNIT), ARRAY_PEN)
    return block_of(sketch, entries)
