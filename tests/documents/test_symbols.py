"""Symbols: form after IEEE 315 (ANSI Y32.2) as far as it can be measured, terminals on the line, ink inside the box.

IEEE 315 forms are from memory; the proportions are our own. What is measured here is what a reader tells symbols apart by.
"""

from __future__ import annotations

import math

import pytest

from permitgen.documents.canvas.bounds import placed_boxes
from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import Curve, Group, Line, Path, Polyline, Text, moved
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.canvas.to_svg import svg_text
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.documents.symbols import conversion, grounding, loads, markers, metering, sources, switching
from permitgen.documents.symbols.symbol import EXISTING, NEW, UNIT, Symbol

IN_THE_LINE: dict[str, Symbol] = {
    symbol.name: symbol
    for symbol in (
        switching.breaker(),
        switching.fuse(),
        switching.switch(),
        switching.contact(),
        switching.transfer(4.0),
        metering.meter(),
        sources.utility(),
        sources.generator(),
        sources.array(),
        sources.battery(),
        conversion.inverter(),
        conversion.converter(),
        conversion.autotransformer(),
        loads.load_arrow(),
        loads.vehicle_supply(),
        loads.appliance(),
        loads.energy_monitor(),
        loads.initiator(),
    )
}
MARKS = (markers.circuit_tag("C10"), markers.step("3"), markers.callout("MSP"), markers.delta("1"), markers.detail_mark("2", "E-501"))


@pytest.mark.parametrize("name", IN_THE_LINE)
def test_terminals_lie_on_the_line_at_the_edge_of_the_ink(name):
    symbol = IN_THE_LINE[name]
    assert symbol.left < symbol.right
    pen = 0.55
    assert symbol.box.left - pen <= symbol.left <= symbol.box.left + pen
    assert symbol.right <= symbol.box.right + pen


def test_names_and_legend_lines_are_unique():
    symbols = [*IN_THE_LINE.values(), *MARKS]
    assert len({s.name for s in symbols}) == len(symbols)
    assert len({s.says for s in symbols}) == len(symbols)


@pytest.mark.parametrize(
    "symbol", [*IN_THE_LINE.values(), *MARKS, grounding.neutral_bond("NO BOND", is_bonded=False)], ids=lambda s: s.name
)
def test_letters_in_symbols_are_large_enough(symbol):
    for shape, _ in placed_boxes(symbol.shapes):
        if isinstance(shape, Text):
            assert shape.style.cap_height_mm >= SMALLEST_CAPITALS_MM


def test_breaker_is_a_half_circle_over_a_gap():
    """IEEE 315: a low-voltage breaker's contact arc spans the break in the conductor."""
    symbol = switching.breaker()
    (arc,) = symbol.shapes
    assert isinstance(arc, Path)
    ends = [(arc.segments[0].x, arc.segments[0].y), (arc.segments[-1].x, arc.segments[-1].y)]
    assert sorted(x for x, _ in ends) == pytest.approx([symbol.left, symbol.right])
    assert [y for _, y in ends] == pytest.approx([0.0, 0.0], abs=1e-9)
    radius = (symbol.right - symbol.left) / 2
    on_arc = [(s.x, s.y) for s in arc.segments if isinstance(s, Curve)]
    assert all(math.hypot(x, y) == pytest.approx(radius, rel=1e-6) for x, y in on_arc)
    assert all(y <= 1e-9 for _, y in on_arc), "the arc bulges up, away from the text below the line"


def test_fuse_is_a_rectangle_with_the_conductor_through_it():
    shapes = switching.fuse().shapes
    through = next(s for s in shapes if isinstance(s, Line))
    assert (through.x1, through.x2) == (switching.fuse().left, switching.fuse().right)
    assert through.y1 == through.y2 == 0.0


def test_switch_is_drawn_open():
    blade = next(s for s in switching.switch().shapes if isinstance(s, Line))
    assert blade.y2 < -UNIT
    angle = math.degrees(math.atan2(blade.y1 - blade.y2, blade.x2 - blade.x1))
    assert 20 < angle < 35


def test_contact_is_two_strokes_across_the_line():
    strokes = switching.contact().shapes
    assert len(strokes) == 2
    assert all(s.x1 == s.x2 and s.y1 < 0 < s.y2 for s in strokes)


def test_battery_has_long_thin_and_short_thick_plates():
    plates = [s for s in sources.battery().shapes if isinstance(s, Line)]
    long, short = plates[::2], plates[1::2]
    assert min(p.y2 - p.y1 for p in long) > max(p.y2 - p.y1 for p in short)
    assert max(p.pen.width_mm for p in long) < min(p.pen.width_mm for p in short)


def test_ground_strokes_shorten_downward():
    strokes = sorted((s for s in grounding.ground().shapes if s.y1 == s.y2), key=lambda s: s.y1)
    widths = [s.x2 - s.x1 for s in strokes]
    assert len(widths) == 3
    assert widths == sorted(widths, reverse=True)


def test_array_has_the_v_and_two_rays_toward_it():
    shapes = sources.array().shapes
    v = next(s for s in shapes if isinstance(s, Polyline))
    assert v.points[1][1] > v.points[0][1] == v.points[2][1]
    rays = [s for s in shapes if isinstance(s, Line)]
    assert len(rays) == 2
    assert all(ray.y1 < ray.y2 < 0 for ray in rays)


@pytest.mark.parametrize(("is_bonded", "joined"), [(True, 1), (False, 0)])
def test_bond_joins_the_bars_only_where_it_is(is_bonded, joined):
    symbol = grounding.neutral_bond("N-G BOND", is_bonded=is_bonded)
    upright = [s for s in symbol.shapes if isinstance(s, Line) and s.x1 == s.x2]
    assert len(upright) == joined
    assert all((s.y1, s.y2) == (0.0, grounding.BARS_APART_MM) for s in upright)


@pytest.mark.parametrize("name", ["breaker", "switch", "contact", "inverter", "array", "meter"])
def test_existing_work_is_drawn_thinner_than_new(name):
    makers = {
        "breaker": switching.breaker,
        "switch": switching.switch,
        "contact": switching.contact,
        "inverter": conversion.inverter,
        "array": sources.array,
        "meter": metering.meter,
    }
    new, existing = (max(s.pen.width_mm for s in makers[name](inks).shapes if getattr(s, "pen", None)) for inks in (NEW, EXISTING))
    assert existing < new


def test_line_widths_of_the_national_standard():
    """NCS plotted widths, mm (from memory): 0.18, 0.25, 0.35, 0.50, 0.70, 1.00."""
    steps = {0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0}
    for symbol in (*IN_THE_LINE.values(), *MARKS):
        for shape in symbol.shapes:
            pen = getattr(shape, "pen", None)
            assert pen is None or pen.width_mm in steps


@pytest.mark.parametrize("name", IN_THE_LINE)
def test_pdf_and_svg_show_the_same_symbol(name):
    """The picture rendered from the PDF has ink; the SVG holds one element for each figure of the symbol."""
    symbol = IN_THE_LINE[name]
    page = Page(40.0, 40.0, (Group(symbol.shapes, transform=moved(20.0, 20.0)),))
    dark = sum(page_image(page, 200).convert("L").histogram()[:128])
    assert dark > 40
    svg = svg_text(page, text_as="outlines")
    figures = sum(svg.count(f"<{kind}") for kind in ("line", "path", "polyline", "polygon"))
    assert figures >= len(symbol.shapes)
