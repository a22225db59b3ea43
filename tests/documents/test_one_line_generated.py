"""No two texts meet, no line runs through a symbol, everything is inside the frame: 200 generated systems, three papers.

The suite draws one in twenty of them; nightly all, and as many again that no run before it has seen.

Systems are grown at random from a seed: panels behind panels, interconnect devices, transfer switches, disconnects, junction
boxes with circuits side by side, string inverters, arrays reached from two sides, loops, control wiring, parts that nothing
connects, long names. The geometry is checked on the list of shapes by an intersection test of its own, not by the one the
program uses.
"""

from __future__ import annotations

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.documents.canvas.bounds import Box, placed_boxes
from permitgen.documents.canvas.shapes import Polyline, Text
from permitgen.documents.diagram.drafting import Drafting
from permitgen.documents.diagram.fitting import Area, DiagramDrafting, fit
from permitgen.documents.diagram.sketch import Item
from permitgen.documents.diagram.three_line.drafting import ThreeLineDrafting
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.evaluation.evaluation import Evaluation
from permitgen.rules.given import Given
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.views.one_line_units import one_line_of
from tests.documents.grown_systems import Grower

SEEDS = range(200)


def drawn(seed: int, paper: str, drafting: DiagramDrafting | None = None) -> list[tuple[list[Item], Box]]:
    """Every sheet's items, moved to the corner of its room, with that room."""
    system = Grower(seed).grow()
    view = one_line_of(Evaluation(Given(system, CodeBook(2023)), (), ()))
    room = frame_of(PAPERS[paper]).drawing
    box = Box(0.0, 0.0, room.width, room.height - 10.0)
    sheets = []
    for sketch in fit(view.roots, Area(box.width, box.height), "E-601", "E-601-{}", drafting=drafting):
        corner = sketch.box
        sheets.append((sketch.flattened(-corner.left, -corner.top), box))
    return sheets


def overlap(one: Box, other: Box, slack: float) -> bool:
    across = min(one.right, other.right) - max(one.left, other.left)
    down = min(one.bottom, other.bottom) - max(one.top, other.top)
    return across > slack and down > slack


def texts_of(items: list[Item]) -> list[tuple[str, Box]]:
    shapes = [shape for item in items for shape in item.shapes]
    return [(shape.text, box) for shape, box in placed_boxes(shapes) if isinstance(shape, Text)]


def segments_of(items: list[Item]) -> list[tuple[float, float, float, float]]:
    found = []
    for item in items:
        for shape in item.shapes if item.kind == "wire" else ():
            if isinstance(shape, Polyline):
                found += [(*a, *b) for a, b in zip(shape.points, shape.points[1:], strict=False)]
    return found


CASES = [(paper, seed) for paper, seeds in (("ANSI B", SEEDS), ("ANSI D", SEEDS[::10]), ("letter", SEEDS[::8])) for seed in seeds]


@pytest.mark.sample(every=20)
@pytest.mark.parametrize(("paper", "number"), CASES)
def test_nothing_meets(paper: str, number: int) -> None:
    assert_clean(drawn(number, paper))


@pytest.mark.sample(every=10)
@pytest.mark.parametrize("number", SEEDS[::8])
def test_nothing_meets_in_the_three_line_diagram(number: int) -> None:
    assert_clean(drawn(number, "ANSI B", ThreeLineDrafting()))


@pytest.mark.nightly
@pytest.mark.parametrize("number", SEEDS)
def test_nothing_meets_in_systems_never_seen_before(seed: int, number: int) -> None:
    """Numbers far from those of ``SEEDS``: a day's are a thousand away from the next day's."""
    assert_clean(drawn(1000 * seed + number, "ANSI B"))


def assert_clean(sheets: list[tuple[list[Item], Box]]) -> None:
    for items, frame in sheets:
        texts = texts_of(items)
        pairs = [(a, b) for i, (a, one) in enumerate(texts) for b, other in texts[i + 1 :] if overlap(one, other, 0.15)]
        assert not pairs, f"texts meet: {pairs[:3]}"
        segments = segments_of(items)
        assert all(abs(x1 - x2) < 1e-6 or abs(y1 - y2) < 1e-6 for x1, y1, x2, y2 in segments), "a route is not orthogonal"
        solid = [
            (item.name, item.box)
            for item in items
            if item.kind == "symbol" and item.name not in ("ground", "neutral bond", "no neutral bond")
        ]
        solid += [(text, box) for text, box in texts]
        for x1, y1, x2, y2 in segments:
            line = Box(min(x1, x2) - 0.01, min(y1, y2) - 0.01, max(x1, x2) + 0.01, max(y1, y2) + 0.01)
            through = [name for name, box in solid if overlap(line, box.grown(-0.3), 0.0)]
            assert not through, f"a line runs through {through[:3]}"
        outside = [item.name or item.kind for item in items if not frame.contains(item.box, 0.05)]
        assert not outside, f"outside the frame: {outside[:3]}"


DRAFTINGS = [*((seed, Drafting) for seed in SEEDS[::4]), *((seed, ThreeLineDrafting) for seed in SEEDS[::20])]


@pytest.mark.sample(every=10)
@pytest.mark.parametrize(("number", "drafting"), DRAFTINGS)
def test_every_circuit_and_unit_is_drawn(number: int, drafting: type[DiagramDrafting]) -> None:
    system = Grower(number).grow()
    words = " ".join(text for items, _ in drawn(number, "ANSI B", drafting()) for text, _ in texts_of(items))
    shown = set(words.replace(",", " ").split())
    missing = [tag for tag in (*system.circuits, *system.controls) if tag not in shown]
    missing += [tag for tag, item in system.equipment.items() if tag not in shown and not isinstance(item, GroundingElectrodeSystem)]
    assert not missing


@pytest.mark.sample(every=10)
@pytest.mark.parametrize("number", range(0, 200, 10))
def test_lettering_never_shrinks(number: int) -> None:
    for items, _ in drawn(number, "letter"):
        texts = [shape for item in items for shape, _ in placed_boxes(item.shapes) if isinstance(shape, Text)]
        assert texts
        assert min(shape.style.cap_height_mm for shape in texts) >= SMALLEST_CAPITALS_MM


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("number", range(0, 200, 25))
def test_the_same_system_gives_the_same_drawing(number: int) -> None:
    assert drawn(number, "ANSI B") == drawn(number, "ANSI B")
