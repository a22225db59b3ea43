"""What leads on from a unit, stacked one below the other.

Each branch lies below everything before it in every column, so that nothing can meet.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from permitgen.documents.diagram.leads import ONE_LINE, LeadDrawing
from permitgen.documents.diagram.manner import GAP_MM, Manner
from permitgen.documents.diagram.parts import Extent, chain_extent
from permitgen.documents.diagram.sketch import Block, Sketch, snapped
from permitgen.documents.diagram.skyline import Skyline
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.symbols.loads import load_arrow
from permitgen.views.one_line import Branch, Unit, Way

Draft = Callable[[Unit, float, Manner], Block]
"""From a unit, the least distance between its entries and the manner to a block."""
Reach = Callable[[Way], Extent]


@dataclass(frozen=True)
class Tap:
    """One way at its height."""

    way: Way
    y: float
    leads_out: bool


@dataclass(frozen=True)
class Stack:
    """All branches of a unit: ``taps`` at their heights, the first at y = 0, and everything beyond the unit's right edge as a sketch."""

    taps: tuple[Tap, ...]
    beyond: Sketch


@dataclass(frozen=True)
class _Band:
    """One branch in its own coordinates, the first way at y = 0."""

    taps: tuple[Tap, ...]
    sketch: Sketch
    inner: Extent


def stack_branches(
    branches: Sequence[Branch],
    draft: Draft,
    manner: Manner,
    *,
    least_lead_mm: float = 0.0,
    least_pitch_mm: float = 0.0,
    inner: Reach | None = None,
    leads: LeadDrawing = ONE_LINE,
) -> Stack:
    """Stack branches; ``inner`` says how far a way reaches inside the unit (its parts when left out), ``leads`` draws what is between."""
    reach = inner or (lambda way: chain_extent(way.parts, manner))
    measures = _Measures(reach, _lead_length(branches, manner, least_lead_mm, leads), least_pitch_mm, leads)
    beyond, skyline = Sketch(), Skyline()
    taps: list[Tap] = []
    inner_bottom = -math.inf
    for branch in branches:
        band = _band(branch, draft, manner, measures)
        dy = 0.0
        if taps:
            needed = max(skyline.clearance(band.sketch), inner_bottom + band.inner.above, taps[-1].y)
            dy = snapped(needed + manner.row_gap_mm)
        skyline.add(band.sketch, dy)
        beyond.add(band.sketch, 0.0, dy)
        taps.extend(Tap(tap.way, tap.y + dy, tap.leads_out) for tap in band.taps)
        inner_bottom = dy + band.inner.below
    return Stack(tuple(taps), beyond)


@dataclass(frozen=True)
class _Measures:
    reach: Reach
    lead_mm: float
    least_pitch_mm: float
    leads: LeadDrawing


def _lead_length(branches: Sequence[Branch], manner: Manner, least_mm: float, leads: LeadDrawing) -> float:
    ways = [way for branch in branches for way in branch.ways if way.lead is not None]
    if not ways:
        return 0.0
    return snapped(max(least_mm, *(leads.width(way, manner) for way in ways)) + manner.lead_extra_mm)


def _band(branch: Branch, draft: Draft, manner: Manner, measures: _Measures) -> _Band:
    inner = [measures.reach(way) for way in branch.ways]
    outer = [measures.leads.extent(way, manner) if way.lead is not None else Extent() for way in branch.ways]
    pitch = max(_pitch(inner), _pitch(outer))
    pitch = snapped(max(pitch + manner.row_gap_mm if pitch else 0.0, measures.least_pitch_mm))
    block = (
        draft(branch.unit, pitch, manner.beyond(measures.lead_mm if branch.ways[0].lead is not None else 0.0))
        if branch.unit is not None
        else None
    )
    ys = block.entries if block is not None else tuple(index * pitch for index in range(len(branch.ways)))
    shift = -min(ys)
    leads_out = block is not None or bool(branch.reference)
    taps = sorted((Tap(way, y + shift, leads_out) for way, y in zip(branch.ways, ys, strict=True)), key=lambda tap: tap.y)
    sketch = Sketch()
    has_lead = any(tap.way.lead is not None for tap in taps)
    for tap in taps:
        if tap.way.lead is not None:
            measures.leads.draw(sketch, tap.way, 0.0, measures.lead_mm, tap.y, manner)
    if block is not None:
        sketch.add(block.sketch, measures.lead_mm if has_lead else 0.0, shift)
    elif branch.reference:
        _draw_reference(sketch, branch.reference, taps, measures)
    above = max(extent.above - (y + shift) for extent, y in zip(inner, ys, strict=True))
    below = max(extent.below + y + shift for extent, y in zip(inner, ys, strict=True))
    return _Band(tuple(taps), sketch, Extent(above, below))


def _pitch(extents: Sequence[Extent]) -> float:
    return max((one.below + other.above for one in extents for other in extents), default=0.0) if len(extents) > 1 else 0.0


def _draw_reference(sketch: Sketch, reference: str, taps: Sequence[Tap], measures: _Measures) -> None:
    """End lines in arrows with the words that say where they go on."""
    arrow, style = load_arrow(), LETTERING.text
    x = measures.lead_mm - arrow.left
    for tap in taps:
        for y in measures.leads.lines(tap.way, tap.y):
            sketch.symbol(arrow, x, y)
    sketch.text(x + GAP_MM, taps[0].y + style.cap_height_mm / 2, reference, style)
