"""Enclosures of the grounding diagram: a ground bar that the equipment grounding conductors join, a neutral bar where there is one."""

from __future__ import annotations

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.styles import HEAVY, MEDIUM, THIN, WIDE, Pen
from permitgen.documents.diagram.above import overhang, write_above
from permitgen.documents.diagram.earth import draw_earth
from permitgen.documents.diagram.manner import GROUND_PEN, Manner
from permitgen.documents.diagram.sketch import Block, Sketch, block_of
from permitgen.documents.diagram.stack import Draft, stack_branches
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.symbol import UNIT
from permitgen.views.one_line import Unit, Way
from permitgen.views.plan_grounding import GROUND, NEUTRAL

_WIDTH_MM = 8 * UNIT
_BAR_MM = 3.5
_APART_MM = 3 * UNIT
_BELOW_MM = 2.5 * UNIT
_ABOVE_MM = 2.5 * UNIT


def draft_bonding_unit(unit: Unit, manner: Manner, draft: Draft) -> Block:
    """Return an enclosure with everything bonded beyond it. The bar on which the conductor enters lies in its line."""
    sketch = Sketch()
    stack = stack_branches(unit.branches, draft, manner.beyond(_WIDTH_MM), least_lead_mm=overhang(unit, manner, _WIDTH_MM))
    heights = _bar_heights(unit)
    out = heights.get(stack.taps[0].way.node, 0.0) if stack.taps else 0.0
    ys = [tap.y + out for tap in stack.taps]
    box = Box(0.0, min(heights.values()) - _ABOVE_MM, _WIDTH_MM, max([*heights.values(), *ys]) + _BELOW_MM)
    left, right = _BAR_MM, _WIDTH_MM - _BAR_MM
    style = LETTERING.text
    for name, y in heights.items():
        sketch.wire(((left, y), (right, y)), HEAVY)
        sketch.text(left, y + 1.2 + style.cap_height_mm if name == GROUND else y - 1.2, name[0].upper(), style)
    if unit.bond == "bonded" and len(heights) > 1:
        sketch.wire(tuple(((left + right) / 2, y) for y in heights.values()), WIDE)
    if ys and ys[-1] > out:
        sketch.wire(((right, out), (right, ys[-1])), HEAVY)
    for tap, y in zip(stack.taps, ys, strict=True):
        sketch.wire(((right, y), (_WIDTH_MM, y)), _pen(tap.way))
    for way in unit.entries[:1]:
        sketch.wire(((0.0, 0.0), (left, 0.0)), _pen(way))
    sketch.boundary(box, THIN if unit.is_existing else MEDIUM)
    write_above(sketch, unit, manner, box.top)
    sketch.add(stack.beyond, _WIDTH_MM, out)
    if unit.grounding is not None:
        ground = heights.get(GROUND, max(heights.values()))
        draw_earth(sketch, unit.grounding, (left + 3 * UNIT, ground), manner, drop=box.bottom - ground + 2 * UNIT)
    return block_of(sketch, (0.0,))


def _bar_heights(unit: Unit) -> dict[str, float]:
    """Return the y of each bar, the neutral above the ground; the one that the conductor enters on lies at 0."""
    if unit.symbol != "neutral and ground":
        return {unit.symbol or GROUND: 0.0}
    enters_on_neutral = any(way.node == NEUTRAL for way in unit.entries)
    return {NEUTRAL: 0.0, GROUND: _APART_MM} if enters_on_neutral else {NEUTRAL: -_APART_MM, GROUND: 0.0}


def _pen(way: Way) -> Pen:
    return WIDE if way.node == NEUTRAL else GROUND_PEN
