"""Units with a busbar: panelboards and interconnect devices.

A dashed enclosure, the busbar as a bar, breakers in the order of their positions.
"""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import HEAVY
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.manner import CONTROL_PEN, ENCLOSURE_PEN, GAP_MM, Manner, inks, wire_pen
from permitgen.documents.diagram.parts import Extent, chain_extent, chain_width, draw_part, ending_width, part_width
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, Tap, stack_branches
from permitgen.documents.diagram.words import WordBlock, bond_words, plain_words, unit_words
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.grounding import BARS_APART_MM, neutral_bond
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Unit, Way
from permitgen.views.one_line_ways import CONTROL_NODE

_PAD_MM = UNIT
_BEYOND_TAP_MM = 2 * UNIT
_LEAST_COLUMN_MM = 12 * UNIT


@dataclass(frozen=True)
class _Plan:
    """Where things stand in the enclosure: x of the bar, right edge, y of the way in."""

    bar: float
    right: float
    supply: float
    slots: tuple[float, ...]


def draft_bus_unit(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """Return a panelboard or an interconnect device."""
    bar, right, slots = _columns(unit, manner)
    stack = stack_branches(unit.branches, draft, manner.beyond(right), inner=lambda way: _inner_extent(way, manner))
    on_bus = [tap.y for tap in stack.taps if tap.way.node != CONTROL_NODE] or [0.0]
    supply = {"top": on_bus[0], "bottom": on_bus[-1], "center": snapped((on_bus[0] + on_bus[-1]) / 2)}[unit.supply_end]
    plan = _Plan(bar, right, supply, slots)
    sketch = Sketch()
    entries = _draw_entries(sketch, unit, plan, pitch, manner)
    _draw_taps(sketch, stack, plan, unit, manner)
    box = _draw_inside(sketch, unit, plan, (min(on_bus + list(entries)), max(on_bus + list(entries))), stack, manner)
    sketch.add(stack.beyond, plan.right, 0.0)
    sketch.boundary(box, ENCLOSURE_PEN)
    return block_of(sketch, entries)


def _inner_extent(way: Way, manner: Manner) -> Extent:
    """How far a way reaches inside the enclosure; the name of its terminal stands above the line."""
    extent = chain_extent(way.parts, manner)
    return extent.joined(Extent(_terminal_rise() + 0.6, 0.0)) if way.terminal else extent


def _terminal_rise() -> float:
    return LETTERING.text.cap_height_mm + 1.0


def _columns(unit: Unit, manner: Manner) -> tuple[float, float, tuple[float, ...]]:
    """Return x of the bar and of the right edge, and the widths of the columns of parts, counted from the right edge inward."""
    chain = max((chain_width(way.parts, manner) + UNIT for way in unit.entries), default=0.0)
    facts = _side_words(unit, manner, manner.above_mm)
    column = max(_LEAST_COLUMN_MM, chain, facts.width if facts else 0.0, _bond_width(unit))
    bar = snapped(_PAD_MM + column + GAP_MM)
    ways = [way for branch in unit.branches for way in branch.ways]
    leading = [way.parts[::-1] for branch in unit.branches for way in branch.ways if branch.unit is not None or branch.reference]
    depth = max((len(parts) for parts in leading), default=0)
    slots = tuple(max(part_width(parts[index], manner) for parts in leading if index < len(parts)) for index in range(depth))
    ending = [way.parts for branch in unit.branches for way in branch.ways if branch.unit is None and not branch.reference]
    own = max((ending_width(parts, manner) for parts in ending if parts), default=0.0)
    name = max((text_width(way.terminal, LETTERING.text) for way in ways), default=0.0)
    right = snapped(bar + UNIT + max(sum(slots) + (name + GAP_MM if name else 0.0), own) + UNIT)
    return bar, right, slots


def _bond_width(unit: Unit) -> float:
    return neutral_bond(bond_words(unit), is_bonded=unit.bond == "bonded").box.width + GAP_MM if unit.bond else 0.0


def _side_words(unit: Unit, manner: Manner, width: float) -> WordBlock | None:
    return plain_words(unit.inside, manner, width) if unit.inside else None


def _draw_entries(sketch: Sketch, unit: Unit, plan: _Plan, pitch: float, manner: Manner) -> tuple[float, ...]:
    """Draw the ways in from the left edge to the bar; further ones below the first, control ways to the edge only."""
    pen, drawn = wire_pen("power", is_existing=unit.is_existing), inks(is_existing=unit.is_existing)
    entries: list[float] = []
    y = plan.supply
    for index, way in enumerate(unit.entries):
        if index:
            before, here = (chain_extent(unit.entries[n].parts, manner) for n in (index - 1, index))
            y = snapped(y + max(pitch, 8 * UNIT, before.below + here.above + manner.row_gap_mm))
        entries.append(y)
        if way.node == CONTROL_NODE:
            sketch.wire(((0.0, y), (3 * UNIT, y)), CONTROL_PEN)
            continue
        last = at = 0.0
        for part in reversed(way.parts):
            width = part_width(part, manner)
            left, right = draw_part(sketch, part, at + width / 2 + (UNIT if at == 0.0 else 0.0), y, manner, drawn)
            sketch.wire(((last, y), (left, y)), pen)
            at += width + (UNIT if at == 0.0 else 0.0)
            last = right
        sketch.wire(((last, y), (plan.bar, y)), pen)
    return tuple(entries) or (plan.supply,)


def _draw_taps(sketch: Sketch, stack: Stack, plan: _Plan, unit: Unit, manner: Manner) -> None:
    pen, drawn = wire_pen("power", is_existing=unit.is_existing), inks(is_existing=unit.is_existing)
    style = LETTERING.text
    for tap in stack.taps:
        if tap.way.node == CONTROL_NODE:
            sketch.wire(((plan.right - 3 * UNIT, tap.y), (plan.right, tap.y)), CONTROL_PEN)
            continue
        last = plan.bar
        for part, at in zip(tap.way.parts, _places(tap, plan, manner), strict=True):
            left, right = draw_part(sketch, part, at, tap.y, manner, drawn)
            sketch.wire(((last, tap.y), (left, tap.y)), pen)
            last = right
        if tap.leads_out:
            sketch.wire(((last, tap.y), (plan.right, tap.y)), pen)
        sketch.text(plan.right - GAP_MM / 2, tap.y - 1.0, tap.way.terminal, style, "end")


def _places(tap: Tap, plan: _Plan, manner: Manner) -> list[float]:
    """Return the x of each part of a way: in columns where the way leads out, else from the bar on."""
    parts = tap.way.parts
    if not tap.leads_out:
        before = UNIT + max(0.0, ending_width(parts, manner) - chain_width(parts, manner)) if parts else 0.0
        starts = [plan.bar + before + chain_width(parts[:index], manner) for index in range(len(parts))]
        return [start + part_width(part, manner) / 2 for start, part in zip(starts, parts, strict=True)]
    first = plan.bar + UNIT + sum(plan.slots)
    edges = [first - sum(plan.slots[: index + 1]) for index in range(len(parts))]
    return [edge + slot / 2 for edge, slot in zip(edges, plan.slots, strict=False)][::-1]


def _draw_inside(sketch: Sketch, unit: Unit, plan: _Plan, reach: tuple[float, float], stack: Stack, manner: Manner) -> Box:
    """Draw the bar, the text at its left, the bond and the heading; return the enclosure."""
    lowest_tap = max((tap.y + _inner_extent(tap.way, manner).below for tap in stack.taps), default=reach[1] + UNIT)
    highest_tap = min((tap.y - _inner_extent(tap.way, manner).above for tap in stack.taps), default=reach[0] - UNIT)
    own = [chain_extent(way.parts, manner) for way in unit.entries] or [Extent(UNIT, UNIT)]
    above, below = max(e.above for e in own), max(e.below for e in own)
    facts = _side_words(unit, manner, plan.bar - _PAD_MM - GAP_MM)
    facts_mm = facts.height + GAP_MM if facts else 0.0
    bond_mm = BARS_APART_MM + 2 * GAP_MM + 2.0 if unit.bond else 0.0
    if unit.supply_end == "bottom":
        column_top = min(plan.supply - above - GAP_MM - facts_mm, highest_tap)
        column_bottom = reach[1] + below + GAP_MM + bond_mm
    else:
        column_top = (reach[1] if len(unit.entries) > 1 else plan.supply) + below + GAP_MM
        column_bottom = column_top + facts_mm + bond_mm
    top = min(highest_tap, reach[0] - above, reach[0] - _BEYOND_TAP_MM, column_top) - GAP_MM / 2
    bottom = max(lowest_tap, reach[1] + below, reach[1] + _BEYOND_TAP_MM, column_bottom) + GAP_MM / 2
    _draw_bar(sketch, plan, reach)
    words = unit_words(unit, manner, plan.right - 2 * _PAD_MM)
    words.draw(sketch, _PAD_MM, top - words.height)
    top -= words.height + GAP_MM / 2
    y = column_top
    if facts is not None:
        facts.draw(sketch, _PAD_MM, y)
        y += facts.height + GAP_MM
    bottom = snapped(bottom)
    if unit.bond:
        _draw_bond(sketch, unit, bottom - BARS_APART_MM - GAP_MM, bottom, manner)
    return Box(0.0, snapped(top + 1e-3) - UNIT, plan.right, bottom)


def _draw_bar(sketch: Sketch, plan: _Plan, reach: tuple[float, float]) -> None:
    sketch.bar(plan.bar, reach[0] - _BEYOND_TAP_MM, reach[1] + _BEYOND_TAP_MM, HEAVY)


def _draw_bond(sketch: Sketch, unit: Unit, y: float, bottom: float, manner: Manner) -> None:
    symbol = neutral_bond(bond_words(unit), is_bonded=unit.bond == "bonded")
    x = _PAD_MM - symbol.box.left
    sketch.symbol(symbol, x, y)
    if unit.grounding is not None:
        landing = (x + 2.0, y + BARS_APART_MM)
        draw_earth(sketch, unit.grounding, landing, manner, drop=bottom - landing[1] + 2 * UNIT)
