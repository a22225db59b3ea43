"""Units with busbars in the three-line diagram: a bar for each leg, for the neutral and for ground; dots where conductors land."""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import HEAVY, WIDE
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.manner import CONTROL_PEN, ENCLOSURE_PEN, GAP_MM, Manner
from permitgen.documents.diagram.parts import chain_width, lines_below, part_width
from permitgen.documents.diagram.sketch import Block, Sketch, block_of, snapped
from permitgen.documents.diagram.stack import Draft, Stack, Tap, stack_branches
from permitgen.documents.diagram.three_line.tracks import THREE_LINE, TRACK_MM, depth, draw_poles, draw_straight, track_pen, way_reach
from permitgen.documents.diagram.words import bond_words, plain_words, unit_words
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Unit, Way
from permitgen.views.one_line_ways import CONTROL_NODE, GROUND_NAME, NEUTRAL_NAME

_ORDER = ("L1", "L2", "L3", "+", "−", NEUTRAL_NAME, GROUND_NAME)
_DOT_MM = 0.35 * UNIT
_LEAST_LEFT_MM = 10 * UNIT


@dataclass(frozen=True)
class _Plan:
    """x of each bar, of the right edge, and where the parts of ways that lead out stand."""

    bars: dict[str, float]
    right: float

    @property
    def last(self) -> float:
        return max(self.bars.values())


def draft_bars(unit: Unit, pitch: float, manner: Manner, draft: Draft) -> Block:
    """Return a panelboard or an interconnect device with all its bars."""
    plan = _plan(unit, manner)
    stack = stack_branches(unit.branches, draft, manner.beyond(plan.right), inner=lambda way: way_reach(way, manner), leads=THREE_LINE)
    power = [tap for tap in stack.taps if tap.way.node != CONTROL_NODE]
    ys = [tap.y for tap in power] or [0.0]
    supply = {"top": ys[0], "bottom": ys[-1], "center": snapped((ys[0] + ys[-1]) / 2)}[unit.supply_end]
    sketch = Sketch()
    entries = _draw_entries(sketch, unit, plan, (supply, pitch), manner)
    for tap in stack.taps:
        _draw_tap(sketch, tap, plan, unit, manner)
    box = _draw_bars_and_words(sketch, unit, plan, entries, stack, manner)
    sketch.boundary(box, ENCLOSURE_PEN)
    sketch.add(stack.beyond, plan.right, 0.0)
    if unit.grounding is not None:
        at = plan.bars.get(GROUND_NAME, plan.last)
        draw_earth(sketch, unit.grounding, (at, box.bottom - GAP_MM), manner, drop=3 * UNIT)
    return block_of(sketch, entries)


def _plan(unit: Unit, manner: Manner) -> _Plan:
    ways = [*unit.entries, *(way for branch in unit.branches for way in branch.ways)]
    names = {name for way in ways for name in way.conductors} | {"L1", "L2"} | ({NEUTRAL_NAME, GROUND_NAME} if unit.bond else set())
    facts = plain_words(unit.inside, manner, manner.above_mm)
    left = max(_LEAST_LEFT_MM, facts.width, *(chain_width(way.parts, manner) + UNIT for way in unit.entries), 0.0)
    first = snapped(UNIT + left + 2 * GAP_MM)
    bars = {name: first + index * TRACK_MM for index, name in enumerate(name for name in _ORDER if name in names)}
    out = [way for branch in unit.branches for way in branch.ways]
    chain = max((chain_width(way.parts, manner) for way in out), default=0.0)
    chain = max(chain, *(_ending_mm(way, manner) for way in out), 0.0)
    name = max((text_width(way.terminal, LETTERING.text) for way in out), default=0.0)
    return _Plan(bars, snapped(max(bars.values()) + UNIT + chain + (name + GAP_MM if name else 0.0) + UNIT))


def _ending_mm(way: Way, manner: Manner) -> float:
    """Room of parts that end inside: their words may be wider than they are."""
    return max((text_width(line, LETTERING.text) for part in way.parts for line in lines_below(part, manner)), default=0.0) + GAP_MM


def _draw_entries(sketch: Sketch, unit: Unit, plan: _Plan, at: tuple[float, float], manner: Manner) -> tuple[float, ...]:
    """Draw the ways in: parts first, then each conductor to its own bar."""
    y, pitch = at
    found: list[float] = []
    for index, way in enumerate(unit.entries):
        if index:
            before, here = way_reach(unit.entries[index - 1], manner), way_reach(way, manner)
            y = snapped(y + max(pitch, 8 * UNIT, before.below + here.above + manner.row_gap_mm))
        found.append(y)
        if way.node == CONTROL_NODE:
            sketch.wire(((0.0, y), (3 * UNIT, y)), CONTROL_PEN)
            continue
        x = 0.0
        for order, part in enumerate(reversed(way.parts)):
            width = part_width(part, manner) + (UNIT if order == 0 else 0.0)
            draw_poles(sketch, part, way.conductors, (x, x + width), y, manner, is_existing=unit.is_existing)
            x += width
        _land(sketch, way, plan, x, y, unit)
    return tuple(found) or (y,)


def _land(sketch: Sketch, way: Way, plan: _Plan, x: float, y: float, unit: Unit) -> None:
    for index, name in enumerate(way.conductors):
        height = y + index * TRACK_MM
        sketch.wire(((x, height), (plan.bars[name], height)), track_pen(name, is_existing=unit.is_existing))
        sketch.dot(plan.bars[name], height, _DOT_MM, LETTERING.text.color)


def _draw_tap(sketch: Sketch, tap: Tap, plan: _Plan, unit: Unit, manner: Manner) -> None:
    """Draw a way out: each conductor from its bar, through its poles, to the edge."""
    way = tap.way
    if way.node == CONTROL_NODE:
        sketch.wire(((plan.right - 3 * UNIT, tap.y), (plan.right, tap.y)), CONTROL_PEN)
        return
    start = plan.last + UNIT
    for index, name in enumerate(way.conductors):
        height = tap.y + index * TRACK_MM
        sketch.dot(plan.bars[name], height, _DOT_MM, LETTERING.text.color)
        sketch.wire(((plan.bars[name], height), (start, height)), track_pen(name, is_existing=unit.is_existing))
    x = start
    for part in way.parts:
        if part.kind == "autotransformer":
            _draw_former(sketch, way, (start, x), tap.y, manner)
            return
        width = part_width(part, manner)
        draw_poles(sketch, part, way.conductors, (x, x + width), tap.y, manner, is_existing=unit.is_existing)
        x += width
    if tap.leads_out:
        draw_straight(sketch, way.conductors, x, plan.right, tap.y, is_existing=unit.is_existing)
    sketch.text(plan.right - GAP_MM / 2, tap.y - 1.0, way.terminal, LETTERING.text, "end")


def _draw_former(sketch: Sketch, way: Way, at: tuple[float, float], y: float, manner: Manner) -> None:
    """Draw the neutral-forming transformer as a box on both legs and the neutral; its words below, from where the way begins."""
    start, x = at
    box = Box(x, y - UNIT, x + 5 * UNIT, y + depth(way.conductors) + UNIT)
    sketch.boundary(box, WIDE)
    style = LETTERING.text
    sketch.text((box.left + box.right) / 2, (box.top + box.bottom) / 2 + style.cap_height_mm / 2, "AT", style, "middle")
    former = way.parts[-1]
    for index, line in enumerate(line for line in former.below if line):
        baseline = y + depth(way.conductors) + UNIT + 1.2 + style.cap_height_mm + index * manner.leading_mm
        sketch.text(start, baseline, line, style)


def _draw_bars_and_words(sketch: Sketch, unit: Unit, plan: _Plan, entries: tuple[float, ...], stack: Stack, manner: Manner) -> Box:
    """Draw the bars with their names, the facts at the left, the bond at the bottom, the heading; return the enclosure."""
    style = LETTERING.text
    reaches = [(tap.y, way_reach(tap.way, manner)) for tap in stack.taps]
    reaches += [(y, way_reach(way, manner)) for y, way in zip(entries, unit.entries, strict=False)]
    highest = min((y - reach.above for y, reach in reaches), default=-2 * UNIT)
    lowest = max((y + reach.below for y, reach in reaches), default=2 * UNIT)
    facts = plain_words(unit.inside, manner, min(plan.bars.values()) - UNIT - GAP_MM)
    below_entry = max((y + way_reach(way, manner).below for y, way in zip(entries, unit.entries, strict=False)), default=0.0) + GAP_MM
    bar_top = min([0.0, *entries]) - 2 * UNIT
    lowest = max(lowest, below_entry + facts.height if unit.inside else lowest) + GAP_MM
    bottom = snapped(lowest + (3 * UNIT if unit.bond else 0.0))
    for name, x in plan.bars.items():
        is_bonding = unit.bond == "bonded" and name in (NEUTRAL_NAME, GROUND_NAME)
        sketch.bar(x, bar_top, bottom - GAP_MM if is_bonding or name == GROUND_NAME else lowest, HEAVY)
    names_top = min(highest, bar_top) - style.cap_height_mm - 1.6
    for name, x in plan.bars.items():
        sketch.text(x, names_top + style.cap_height_mm, name, style, "middle")
    if unit.inside:
        facts.draw(sketch, UNIT, below_entry)
    if unit.bond:
        _draw_bond(sketch, unit, plan, bottom - GAP_MM)
    words = unit_words(unit, manner, plan.right - 2 * UNIT)
    top = names_top - GAP_MM - words.height
    words.draw(sketch, UNIT, top)
    return Box(0.0, snapped(top - 1.0 + 1e-3) - UNIT, plan.right, bottom)


def _draw_bond(sketch: Sketch, unit: Unit, plan: _Plan, y: float) -> None:
    """Join the neutral and ground bars at their foot where they are bonded; say so in any case."""
    if unit.bond == "bonded":
        sketch.wire(((plan.bars[NEUTRAL_NAME], y), (plan.bars[GROUND_NAME], y)), WIDE)
    style = LETTERING.strong if unit.bond == "bonded" else LETTERING.text
    sketch.text(min(plan.bars.values()) - GAP_MM, y + style.cap_height_mm / 2 - 0.4, bond_words(unit), style, "end")
