"""Units that lie in the line: the utility, meters, junction boxes, switches, transfer switches, inverters. Their text stands above."""

from __future__ import annotations

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import Pen
from permitgen.documents.diagram.above import overhang, write_above
from permitgen.documents.diagram.box_units import dot, draft_inverter, draft_junction, draft_transfer, entry_heights
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.hybrid_units import draft_hybrid, has_ac_ports
from permitgen.documents.diagram.manner import CONTROL_PEN, ENCLOSURE_PEN, Manner, inks, wire_pen
from permitgen.documents.diagram.parts import part_symbol
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, stack_branches
from permitgen.documents.symbols import conversion, metering, sources, switching
from permitgen.documents.symbols.symbol import UNIT, Symbol
from permitgen.views.one_line import Unit
from permitgen.views.one_line_ways import CONTROL_NODE

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
        return draft_junction(unit, pitch, manner, draft)
    if unit.kind == "inverter" and _power_ways(unit) > 1:
        return draft_hybrid(unit, pitch, manner, draft) if has_ac_ports(unit) else draft_inverter(unit, pitch, manner, draft)
    if unit.kind == "transfer switch":
        return draft_transfer(unit, pitch, manner, draft)
    return _symbol_unit(unit, pitch, manner, draft)


def _power_ways(unit: Unit) -> int:
    return sum(way.node != CONTROL_NODE for branch in unit.branches for way in branch.ways)


def _own_symbol(unit: Unit) -> Symbol:
    drawn = inks(is_existing=unit.is_existing)
    if unit.kind == "disconnect" and unit.parts:
        return part_symbol(unit.parts[0], drawn) if unit.parts[0].kind == "breaker" else switching.switch(drawn)
    by_kind = {
        "utility": sources.utility,
        "meter": metering.meter,
        "disconnect": switching.switch,
        "inverter": conversion.inverter,
        "power inlet": sources.power_inlet,
    }
    return by_kind[unit.kind](drawn)


def _symbol_unit(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """A symbol, for a switch with an enclosure around it (and its fuses behind it)."""
    pen = wire_pen("power", is_existing=unit.is_existing)
    sketch = Sketch()
    middle, box = _draw_body(sketch, unit, pen)
    write_above(sketch, unit, manner, box.top)
    reach = box.right + (2 * UNIT if _power_ways(unit) > 1 else 0.0)
    stack = stack_branches(unit.branches, draft, manner.beyond(reach), least_lead_mm=overhang(unit, manner, box.right))
    entries = entry_heights(unit, 0.0, pitch)
    for y, way in zip(entries[1:], unit.entries[1:], strict=True):
        sketch.wire(((0.0, y), (middle, y), (middle, box.bottom)), CONTROL_PEN if way.node == CONTROL_NODE else pen)
    x = _fan_out(sketch, stack, box.right, pen)
    down = snapped(box.bottom + 4 * UNIT) if stack.taps and stack.taps[0].way.node == CONTROL_NODE else 0.0
    for tap in stack.taps:
        if tap.way.node == CONTROL_NODE:
            sketch.wire(((middle, box.bottom), (middle, tap.y + down), (x, tap.y + down)), CONTROL_PEN)
    sketch.add(stack.beyond, x, down)
    return block_of(sketch, entries)


def _draw_body(sketch: Sketch, unit: Unit, pen: Pen) -> tuple[float, Box]:
    """Draw the symbol, its fuses and its enclosure; return the x of the symbol and the box up to where the leads begin."""
    symbol = _own_symbol(unit)
    shell = _SHELL_MM if unit.kind == "disconnect" else 0.0
    middle = snapped(shell - symbol.left)
    right = middle + symbol.right
    sketch.symbol(symbol, middle, 0.0)
    if unit.kind == "disconnect" and unit.parts and unit.parts[0].kind == "fuse":
        fuse = switching.fuse(inks(is_existing=unit.is_existing))
        at = right + UNIT - fuse.left
        sketch.wire(((right, 0.0), (at + fuse.left, 0.0)), pen)
        sketch.symbol(fuse, at, 0.0)
        right = at + fuse.right
    width = snapped(right + shell)
    if not shell:
        if unit.branches:
            sketch.wire(((right, 0.0), (width, 0.0)), pen)
        return middle, Box(0.0, symbol.box.top, width, symbol.box.bottom)
    sketch.wire(((0.0, 0.0), (middle + symbol.left, 0.0)), pen)
    sketch.wire(((right, 0.0), (width, 0.0)), pen)
    box = Box(0.0, -2.5 * UNIT, width, 2.5 * UNIT)
    sketch.boundary(box, ENCLOSURE_PEN)
    return middle, box


def _fan_out(sketch: Sketch, stack: Stack, x: float, pen: Pen) -> float:
    """Join several ways on one conductor by a vertical line with a dot at each T; return where the leads begin."""
    ys = [tap.y for tap in stack.taps if tap.way.node != CONTROL_NODE]
    if len(ys) < 2:
        return x
    across = x + UNIT
    sketch.wire(((x, ys[0]), (across + UNIT, ys[0])), pen)
    sketch.wire(((across, ys[0]), (across, ys[-1])), pen)
    for index, y in enumerate(ys):
        if index:
            sketch.wire(((across, y), (across + UNIT, y)), pen)
        if index < len(ys) - 1:
            dot(sketch, across, y)
    return across + UNIT
