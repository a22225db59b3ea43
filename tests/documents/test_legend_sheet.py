"""G-002: every symbol that the diagrams use is explained, and no abbreviation that the set does not use."""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.sheets.legend_sheet import known_symbols, legend_part, symbols_used, texts_of
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.documents.sheets.packing import packed
from permitgen.views.one_line_units import one_line_of
from permitgen.views.plan_legend import ABBREVIATIONS, abbreviations_in

ROOT = Path(__file__).parents[2]
PROJECTS = {"demo": ROOT / "demo_project"} | {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))}


@pytest.mark.sample(every=11)
@pytest.mark.parametrize("paper", ["ANSI B", "ANSI D", "letter"])
@pytest.mark.parametrize("name", PROJECTS)
def test_the_legend_explains_what_the_diagram_uses(evaluations, one_lines, name, paper):
    view = one_line_of(evaluations[name])
    room, drawings = one_lines[name, paper]
    legend = packed([legend_part(view.roots, [text for drawing in drawings for text in texts_of(drawing.shapes)])], room)
    words = {text for drawing in legend for text in texts_of(drawing.shapes)}
    explained = {symbol.name for symbol in known_symbols() if symbol.says in words}
    assert symbols_used(view.roots) <= explained
    for drawing in legend:
        assert text_overlaps(drawing.shapes) == ()
        for shape, box in placed_boxes(drawing.shapes):
            assert room.grown(0.6).contains(box)
            assert not isinstance(shape, Text) or shape.style.cap_height_mm >= SMALLEST_CAPITALS_MM


def test_only_abbreviations_in_use_are_listed():
    assert abbreviations_in(["2 in PVC-40, (2) 4/0 AWG Al XHHW-2", "MAIN 2P 200 A"]) == tuple(
        (short, ABBREVIATIONS[short]) for short in ABBREVIATIONS if short in {"2P", "A", "Al", "AWG", "PVC-40", "XHHW-2"}
    )
    assert abbreviations_in(["a nearby wall"]) == ()


def test_nothing_to_explain_without_a_diagram():
    assert legend_part((), ()).is_empty
