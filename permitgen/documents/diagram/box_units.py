"""Units drawn as boxes in the line: junction boxes, inverters with several inputs, transfer switches."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import THIN, Pen
from permitgen.documents.diagram.above import overhang, write_above
from permitgen.documents.diagram.manner import CONTROL_PEN, ENCLOSURE_PEN, Manner, inks, wire_pen
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, Tap, stack_branches
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols import conversion, switching
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Unit
from permitgen.views.one_line_ways import CONTROL_NODE

DOT_MM = 0.35 * UNIT
_POSITIONS = {"normal": "norm.", "alternate": "alt."}


def entry_heights(unit: Unit, first: float, pitch: float) -> tuple[float, ...]:
    """Return the y of each way in, the first at ``first``."""
    return tuple(first + index * max(pitch, 4 * UNIT) for index in range(len(unit.entries)))


def dot(sketch: Sketch, x: float, y: float) -> None:
    """Mark where conductors are joined."""
    sketch.dot(x, y, DOT_MM, LETTERING.text.color)


def draft_junction(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """A box in which circuits are spliced: those on one node are joined, the others pass through side by side."""
    pen = wire_pen("power", is_existing=unit.is_existing)
    width = 4 * UNIT
    stack = stack_branches(unit.branches, draft, manner.beyond(width), least_lead_mm=overhang(unit, manner, width), least_pitch_mm=pitch)
    by_node: dict[str, list[float]] = {}
    power, control = apart(stack)
    for tap in power:
        by_node.setdefault(tap.way.node, []).append(tap.y)
    lowest = max((tap.y for tap in stack.taps), default=-max(pitch, 4 * UNIT))
    entries: list[float] = []
    sketch = Sketch()
    control_stubs(sketch, control, width)
    for way in unit.entries:
        ys = by_node.get(way.node)
        if ys is None or ys[0] in entries:
            lowest = snapped(lowest + max(pitch, 4 * UNIT))
            entries.append(lowest)
            sketch.wire(((0.0, lowest), (width / 2, lowest)), pen)
            dot(sketch, width / 2, lowest)
            continue
        entries.append(ys[0])
        _spliced(sketch, ys, width, pen)
    ys_all = [*entries, *(tap.y for tap in stack.taps)] or [0.0]
    box = Box(0.0, min(ys_all) - 2 * UNIT, width, max(ys_all) + 2 * UNIT)
    sketch.boundary(box, THIN)
    write_above(sketch, unit, manner, box.top)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, tuple(entries))


def _spliced(sketch: Sketch, ys: list[float], width: float, pen: Pen) -> None:
    middle = width / 2
    sketch.wire(((0.0, ys[0]), (width, ys[0])), pen)
    dot(sketch, middle, ys[0])
    if len(ys) > 1:
        sketch.wire(((middle, ys[0]), (middle, ys[-1])), pen)
    for y in ys[1:]:
        sketch.wire(((middle, y), (width, y)), pen)


def draft_inverter(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """An inverter with several dc inputs: a converter at each, a common link, the inverter at the utility's side."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    inverter, converter = conversion.inverter(drawn), conversion.converter(drawn)
    link = 2 * UNIT + (inverter.right - inverter.left) + UNIT
    width = snapped(link + UNIT + (converter.right - converter.left) + 2 * UNIT)
    stack = stack_branches(
        unit.branches, draft, manner.beyond(width), least_lead_mm=overhang(unit, manner, width), least_pitch_mm=max(pitch, 6 * UNIT)
    )
    sketch = Sketch()
    at = 2 * UNIT - inverter.left
    sketch.wire(((0.0, 0.0), (2 * UNIT, 0.0)), pen)
    sketch.symbol(inverter, at, 0.0)
    sketch.wire(((at + inverter.right, 0.0), (link, 0.0)), pen)
    power, control = apart(stack)
    ys = [tap.y for tap in power]
    control_stubs(sketch, control, width)
    sketch.wire(((link, min(0.0, *ys)), (link, max(0.0, *ys))), pen)
    for y in ys:
        middle = link + UNIT - converter.left
        sketch.wire(((link, y), (link + UNIT, y)), pen)
        sketch.symbol(converter, middle, y)
        sketch.wire(((middle + converter.right, y), (width, y)), pen)
        dot(sketch, link, y)
    entries = entry_heights(unit, 0.0, pitch)
    box = Box(0.0, -3 * UNIT, width, max([*ys, *(tap.y for tap in control), *entries]) + 3 * UNIT)
    sketch.boundary(box, ENCLOSURE_PEN)
    write_above(sketch, unit, manner, box.top)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, entries)


def draft_transfer(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """A transfer switch: the way in at the left, the common or the other contact at the right."""
    drawn = inks(is_existing=unit.is_existing)
    pen = wire_pen("power", is_existing=unit.is_existing)
    common_at_left = bool(unit.entries) and unit.entries[0].terminal == "load"
    symbol = switching.transfer(1.6 * UNIT, common_at_left=common_at_left, inks=drawn)
    middle, width = 7 * UNIT, 16 * UNIT
    stack = stack_branches(
        unit.branches, draft, manner.beyond(width), least_lead_mm=overhang(unit, manner, width), least_pitch_mm=max(pitch, 6 * UNIT)
    )
    sketch = Sketch()
    sketch.wire(((0.0, 0.0), (middle + symbol.left, 0.0)), pen)
    sketch.symbol(symbol, middle, 0.0)
    power, control = apart(stack)
    ys = [tap.y for tap in power] or [0.0]
    control_stubs(sketch, control, width)
    sketch.wire(((middle + symbol.right, ys[0]), (width, ys[0])), pen)
    for index, y in enumerate(ys[1:]):
        x = middle + symbol.right + UNIT - index * 0.5 * UNIT
        low = 1.6 * UNIT
        start = middle + (-1 if not common_at_left else 1) * 0.5 * UNIT
        sketch.wire(((start, low + 0.25 * UNIT), (start, low + UNIT), (x, low + UNIT), (x, y), (width, y)), pen)
    style = LETTERING.text
    for way in unit.entries[:1]:
        sketch.text(UNIT / 2, -UNIT / 2, _POSITIONS.get(way.terminal, way.terminal), style)
    for tap in power:
        sketch.text(width - UNIT / 2, tap.y - UNIT / 2, _POSITIONS.get(tap.way.terminal, tap.way.terminal), style, "end")
    box = Box(0.0, -3 * UNIT, width, max([*ys, *(tap.y for tap in control)]) + 3 * UNIT)
    sketch.boundary(box, ENCLOSURE_PEN)
    write_above(sketch, unit, manner, box.top)
    entries = entry_heights(unit, 0.0, pitch)
    sketch.add(stack.beyond, width, 0.0)
    return block_of(sketch, entries)


def control_stubs(sketch: Sketch, taps: Sequence[Tap], right: float) -> None:
    """End control wiring shortly inside an enclosure."""
    for tap in taps:
        sketch.wire(((right - 2 * UNIT, tap.y), (right, tap.y)), CONTROL_PEN)


def apart(stack: Stack) -> tuple[list[Tap], list[Tap]]:
    """Return power taps and control taps."""
    return [tap for tap in stack.taps if tap.way.node != CONTROL_NODE], [tap for tap in stack.taps if tap.way.node == CONTROL_NODE]
