"""The plans to scale: nothing leaves its room, no text on another, no line through letters, lettering large enough, scale true."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from permitgen.code.codebook import CodeBook
from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import WHITE
from permitgen.documents.canvas.shapes import Line, Polyline, Text
from permitgen.documents.canvas.shapes import Path as Outline
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.plan_drawing.scales import ELEVATION_SCALES, SITE_SCALES
from permitgen.documents.sheets.attachment_schedule import attachment_schedule_part
from permitgen.documents.sheets.elevations import elevations_part
from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.lettering import SMALLEST_CAPITALS_MM
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.roof_plan import roof_plan_part
from permitgen.documents.sheets.sheet import Drawing, room_for_drawing, sheet_page
from permitgen.documents.sheets.site_plan import site_plan_part
from permitgen.documents.sheets.storage_plan import storage_plan_part
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.project.load import load_project
from permitgen.system.site.plan import Lot, Plan, RoofPlane
from permitgen.views.plan_sheets import title_block_of
from permitgen.views.plans import Plans, plans_of
from permitgen.views.plans.site import SitePlan
from permitgen.views.wording import feet_and_inches
from tests.documents.projects import Made

ROOT = Path(__file__).parents[2]
PROJECTS = {"demo": ROOT / "demo_project"} | {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("*.yaml"))}
PAPER_NAMES = ("ANSI B", "ANSI D", "letter")
MM_PER_FT_AT = {scale.name: scale.mm_per_ft for scale in (*SITE_SCALES, *ELEVATION_SCALES)}


def under_a_hip_roof(plan: Plan) -> Plan:
    """The house under a hip roof without arrays."""
    south = ((12.0, 40.0), (64.0, 40.0), (49.0, 55.0), (27.0, 55.0))
    north = ((27.0, 55.0), (49.0, 55.0), (64.0, 70.0), (12.0, 70.0))
    planes = (RoofPlane("south", "house", south, 5 / 12, (0.0, -1.0)), RoofPlane("north", "house", north, 5 / 12, (0.0, 1.0)))
    return replace(plan, roof_planes=planes)


FIVE_CORNERS = Lot(outline=((0.0, 0.0), (110.0, 0.0), (128.0, 100.0), (60.0, 140.0), (-10.0, 110.0)))
VARIANTS: dict[str, Callable[[Plan], Plan]] = {
    "north down the page": lambda plan: replace(plan, north_deg=180.0),
    "north aslant": lambda plan: replace(plan, north_deg=60.0),
    "lot of five corners": lambda plan: replace(plan, lot=FIVE_CORNERS),
    "hip roof": under_a_hip_roof,
    "no lot": lambda plan: replace(plan, lot=None),
    "no plan": lambda _: Plan(),
}
NAMES = (*PROJECTS, *VARIANTS)


@pytest.fixture(scope="module")
def evaluations(evaluations):
    """Those of every project, and of the demo on other lots and under other roofs."""

    def evaluated(name: str) -> Evaluation:
        if name in PROJECTS:
            return evaluations[name]
        demo = load_project(PROJECTS["demo"]).system
        varied = replace(demo, site=replace(demo.site, plan=VARIANTS[name](demo.site.plan)))
        return evaluate(varied, CodeBook(varied.jurisdiction.edition), with_suggestions=False)

    return Made(evaluated)


@pytest.fixture(scope="module")
def drawn(evaluations):
    """The sheets of plans by name and paper."""
    return Made(lambda asked: sheets(plans_of(evaluations[asked[0]]), room_of(evaluations[asked[0]], asked[1])))


def sheets(plans: Plans, room: Box) -> list[Drawing]:
    parts = [
        site_plan_part(plans.site, room),
        roof_plan_part(plans.roof, room),
        elevations_part(plans.elevations, room),
        storage_plan_part(plans.storage, room),
        attachment_schedule_part(plans.attachments),
    ]
    return list(packed(parts, room))


def site_sheets(view: SitePlan, room: Box) -> tuple[Drawing, ...]:
    return packed([site_plan_part(view, room)], room)


def room_of(evaluation, paper: str) -> Box:
    return room_for_drawing(frame_of(PAPERS[paper]), title_block_of(evaluation))


@pytest.mark.sample(every=11)
@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("name", NAMES)
def test_geometry(evaluations, drawn, name, paper):
    room = room_of(evaluations[name], paper)
    for drawing in drawn[name, paper]:
        label = f"{name}, {paper}, {drawing.name.number}"
        outside = [shape for shape, box in placed_boxes(drawing.shapes) if not room.contains(box, 0.4)]
        assert not outside, f"{label}: beyond the room: {outside[:2]}"
        meeting = text_overlaps(drawing.shapes)
        assert not meeting, f"{label}: texts meet: {meeting[:3]}"
        small = [s.text for s, _ in placed_boxes(drawing.shapes) if isinstance(s, Text) and s.style.cap_height_mm < SMALLEST_CAPITALS_MM]
        assert not small, f"{label}: lettering too small: {small[:3]}"


@pytest.mark.sample(every=11)
@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("name", NAMES)
def test_no_line_runs_through_letters(drawn, name, paper):
    """Lines drawn before a text are covered by the white behind it; one drawn later would run through the letters."""
    for drawing in drawn[name, paper]:
        letters: list[tuple[str, Box]] = []
        for shape, box in placed_boxes(drawing.shapes):
            if isinstance(shape, Text):
                letters.append((shape.text, box.grown(-0.1)))
            elif isinstance(shape, Line) and (box.width < 1.2 or box.height < 1.2):
                struck = [text for text, other in letters if box.shared(other)]
                assert not struck, f"{name}, {paper}, {drawing.name.number}: a line through {struck[:3]}"


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("name", [*PROJECTS, "no plan"])
def test_every_piece_of_equipment_on_the_plan_is_named(evaluations, name):
    plans = plans_of(evaluations[name])
    for paper in PAPER_NAMES:
        drawn = site_sheets(plans.site, room_of(evaluations[name], paper))
        words = {s.text.removesuffix(" (E)") for drawing in drawn for s, box in placed_boxes(drawing.shapes) if isinstance(s, Text)}
        assert {item.tag for item in plans.site.equipment} <= words


@pytest.mark.sample(every=7)
@pytest.mark.parametrize("name", PROJECTS)
def test_every_enclosure_on_a_wall_is_whole_and_named(name):
    """Nothing that is written breaks the outline of equipment: a reviewer measures working space from it. With the numbers of labels."""
    opened = open_project(PROJECTS[name])
    plans = plan_set_of(opened)
    room = room_of(opened.evaluation, "ANSI B")
    drawings = packed([elevations_part(plans.plans.elevations, room)], room)
    written = {shape.text for drawing in drawings for shape, _ in placed_boxes(drawing.shapes) if isinstance(shape, Text)}
    items = [item for wall in plans.plans.elevations.walls for item in wall.items]
    assert not [item.tag for item in items if item.words[0] not in written]
    for drawing in drawings:
        white = [
            (shape, box) for shape, box in placed_boxes(drawing.shapes) if isinstance(shape, (Outline, Polyline)) and shape.fill == WHITE
        ]
        enclosures = [box for shape, box in white if shape.pen is not None]
        grounds = [box for shape, box in white if shape.pen is None]
        broken = [box for box in enclosures for ground in grounds if meet(box.grown(-0.4), ground) and not box.contains(ground)]
        assert not broken, f"{name}: the ground of a text breaks an enclosure at {broken[0]}"


def meet(one: Box, other: Box) -> bool:
    return one.left < other.right and other.left < one.right and one.top < other.bottom and other.top < one.bottom


def test_a_lot_line_measures_true(evaluations):
    """The lot of the demo is 110 ft wide: at 1 in = 20 ft that is 5.5 in on paper, by the definition of the scale."""
    evaluation = evaluations["demo"]
    frame, block = frame_of(PAPERS["ANSI B"]), title_block_of(evaluation)
    view = plans_of(evaluation).site
    first = site_sheets(view, room_for_drawing(frame, block))[0]
    words = [shape.text for shape, _ in placed_boxes(first.shapes) if isinstance(shape, Text)]
    assert "SCALE: 1 in = 20 ft" in words
    dpi = 400
    lot_only = Drawing(
        first.name,
        tuple(
            shape
            for shape in first.shapes
            if getattr(getattr(shape, "pen", None), "width_mm", 0.0) == 0.70 and getattr(shape.pen, "dash_mm", ())
        ),
    )
    assert len(lot_only.shapes) == 1
    page = sheet_page(lot_only, block, frame, "")
    room = room_for_drawing(frame, block)
    to_dot = dpi / 25.4
    room_on_picture = tuple(round(edge * to_dot) for edge in (room.left, room.top, room.right, room.bottom - 5.0))
    picture = page_image(page, dpi).convert("L").crop(room_on_picture)
    # One dot for each column: how dark the column is. Upright lines darken their columns much more than the level ones.
    columns = picture.resize((picture.width, 1), Image.Resampling.BOX).tobytes()
    upright = [x for x, level in enumerate(columns) if level < 255 * 0.8]
    # From the outer edge of one line to the outer edge of the other: the lot and one width of the pen.
    width_in = (upright[-1] - upright[0] + 1) / dpi - 0.70 / 25.4
    assert width_in == pytest.approx(5.5, rel=0.005)


@pytest.mark.parametrize("paper", PAPER_NAMES)
def test_the_stated_scale_is_an_allowed_one_and_the_bar_keeps_it(drawn, paper):
    """The scales of the US National CAD Standard; the bar's longest mark lies where the stated ratio puts it."""
    for drawing in drawn["demo", paper]:
        texts = [shape for shape, _ in placed_boxes(drawing.shapes) if isinstance(shape, Text)]
        for stated in [text for text in texts if text.text.startswith("SCALE: ")]:
            name = stated.text.removeprefix("SCALE: ")
            assert name in MM_PER_FT_AT
            near = [t for t in texts if abs(t.y - stated.y) < 7.0 and 0 <= t.x - stated.x < 90.0]
            zero = min((t for t in near if t.text == "0"), key=lambda t: t.x)
            far = min((t for t in near if re.fullmatch(r"\d+ ft", t.text) and abs(t.y - zero.y) < 0.5 and t.x > zero.x), key=lambda t: t.x)
            feet = float(far.text.removesuffix(" ft"))
            assert far.x - zero.x == pytest.approx(feet * MM_PER_FT_AT[name], rel=0.005)


def test_modules_are_drawn_one_by_one_without_overlap(evaluations):
    plane = next(plane for plane in plans_of(evaluations["demo"]).roof.planes if plane.arrays)
    assert len(plane.modules) == 24
    boxes = [Box(min(x for x, _ in m), min(y for _, y in m), max(x for x, _ in m), max(y for _, y in m)) for m in plane.modules]
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            shared = one.shared(other)
            assert shared is None or shared.width < 1e-6 or shared.height < 1e-6
    # 67.8 in up a slope of 5 in 12 shows in plan as 67.8 × 12/13 in (the 5-12-13 triangle).
    assert boxes[0].width * 12 == pytest.approx(44.6)
    assert boxes[0].height * 12 == pytest.approx(67.8 * 12 / 13)


def test_dead_load_by_hand(evaluations):
    """24 × 47 lb + 190 lb = 1318 lb over 24 × 67.8 in × 44.6 in = 503.98 ft²: 2.615 lb/ft² (worked by hand)."""
    row = plans_of(evaluations["demo"]).attachments.loads[0]
    assert row[4].replace("\u00a0", " ") == "1318 lb"
    assert row[6].replace("\u00a0", " ") == "2.62 lb/ft²"
    assert "No structural approval is claimed" in plans_of(evaluations["demo"]).attachments.disclaimer


@pytest.mark.parametrize(("feet", "words"), [(110.0, "110'-0\""), (14.9583, "14'-11 1/2\""), (11.99, "12'-0\""), (0.5, "0'-6\"")])
def test_feet_and_inches(feet, words):
    assert feet_and_inches(feet) == words


def test_without_geometry_the_site_plan_says_what_is_missing(evaluations):
    drawn = site_sheets(plans_of(evaluations["no plan"]).site, room_of(evaluations["no plan"], "ANSI B"))
    words = " ".join(shape.text for drawing in drawn for shape, _ in placed_boxes(drawing.shapes) if isinstance(shape, Text))
    assert "NOT SHOWN" in words
    assert "lot lines" in words
    assert "outlines of buildings" in words
