"""A violation never looks like a design: band, red clouds with the numbers of the findings, and a list that says what they are.

What must be marked is read from the findings of the evaluation and from the projects' mistakes, never from what was drawn.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import SAFETY_RED
from permitgen.documents.canvas.shapes import Path as Outline
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.plan_set import plan_set_pages, plan_sheets
from permitgen.documents.symbols.clouds import FAULT_PEN
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from tests.documents.projects import Made
from tests.reading_paper import put_reading

ROOT = Path(__file__).parents[2]
MISTAKES = ROOT / "demo_project" / "with_mistakes.yaml"
TOPOLOGIES = ("b03_whole_home", "b16_meter_main_40_a")
RATING = re.compile(r"interrupting_rating: \d+ kA")


@pytest.fixture(scope="module")
def plans(tmp_path_factory, open_once):
    """The demo with its mistakes, and two topologies with devices that interrupt 2 kA, behind a utility of far more (110.9)."""
    made = {"mistakes": plan_set_of(open_once(MISTAKES))}
    for name in TOPOLOGIES:
        text, count = RATING.subn("interrupting_rating: 2 kA", (ROOT / "tests" / "topologies" / f"{name}.yaml").read_text("utf-8"))
        assert count
        file = tmp_path_factory.mktemp(name) / "project.yaml"
        file.write_text(text, "utf-8")
        put_reading(file.parent)
        made[name] = plan_set_of(open_project(file))
    return made


@pytest.fixture(scope="module")
def drawn(plans):
    """The sheets of each without attachments, drawn once."""
    return Made(lambda name: plan_sheets(replace(plans[name], attached=())))


def octagons(shapes):
    """The numbers in red figures of eight corners."""
    boxes = [
        box for shape, box in placed_boxes(shapes) if isinstance(shape, Outline) and shape.fill is SAFETY_RED and len(shape.segments) == 9
    ]
    texts = [(shape.text, box) for shape, box in placed_boxes(shapes) if isinstance(shape, Text)]
    found = set()
    for box in boxes:
        words = [text for text, other in texts if box.grown(0.6).contains(other)]
        assert len(words) == 1, words
        found |= set(words[0].split(", "))
    return found


def red_clouds(shapes) -> list[Box]:
    return [
        box for shape, box in placed_boxes(shapes) if isinstance(shape, Outline) and shape.pen is not None and shape.pen.color is SAFETY_RED
    ]


def words_of(shapes) -> str:
    return " ".join(shape.text for shape, _ in placed_boxes(shapes) if isinstance(shape, Text))


@pytest.mark.sample(every=2)
@pytest.mark.parametrize("name", ["mistakes", *TOPOLOGIES])
def test_the_band_stands_on_every_sheet_with_the_count(plans, drawn, name):
    found = plans[name].violations
    for page in plan_set_pages(replace(plans[name], attached=()), drawn[name]):
        words = words_of(page.shapes)
        assert f"NOT FOR PERMIT: {found.count} violations" in words, page.label
        assert "NOT FOR CONSTRUCTION" not in words


@pytest.mark.sample(every=2)
@pytest.mark.parametrize("name", ["mistakes", *TOPOLOGIES])
def test_every_number_is_listed_where_it_is_shown_and_stands_in_the_legend(plans, drawn, name):
    sheets = drawn[name].drawings
    shown = set()
    for sheet in sheets:
        numbers = octagons(sheet.shapes) if "G-002" not in sheet.holds else set()
        shown |= numbers
        if numbers:
            assert red_clouds(sheet.shapes), sheet.name.number
        assert text_overlaps(sheet.shapes) == (), sheet.name.number
    assert shown
    whole = " ".join(words_of(sheet.shapes) for sheet in sheets)
    listed = {each.number: each.rule for each in plans[name].violations.listed}
    assert shown <= set(listed)
    assert all(f"{rule}:" in whole for rule in listed.values())
    assert "Violated: number of the violation, within the red cloud" in whole


def test_what_the_mistakes_name_carries_its_number(plans):
    """By reading the file of mistakes: C1 is too thin for its current, R3 too full, HP bonds the neutral again, PVC.1 is too large."""
    found = plans["mistakes"].violations
    by_rule = {each.rule: each for each in found.listed}
    assert {"C1", "C7", "C10"} <= by_rule["conductor-ampacity"].tags
    assert "R3" in by_rule["conduit-fill"].tags
    assert by_rule["single-neutral-bond"].tags == {"HP"}
    assert by_rule["interrupting-rating"].number in found.in_or_at(["HP"])
    assert by_rule["interrupting-rating"].number not in found.at(["HP"])
    conductors = next(each for each in plans["mistakes"].circuits if each.title == "Conductors")
    row = next(index for index, cells in enumerate(conductors.rows) if cells[0] == "C1")
    assert by_rule["conductor-ampacity"].number in plans["mistakes"].marks.faults_of_row(conductors, row)


def test_labels_of_what_is_violated_are_red_on_their_schedule(plans):
    """HP bonds the neutral again: the labels that hang on HP belong to an enclosure that is not to be built so."""
    found = plans["mistakes"].violations
    number = next(each.number for each in found.listed if each.rule == "single-neutral-bond")
    labels = plans["mistakes"].labels[0]
    marked = [row[1] for index, row in enumerate(labels.rows) if number in plans["mistakes"].marks.faults_of_row(labels, index)]
    assert "Backup loads panel" in marked
    assert len(marked) < len(labels.rows)


@pytest.mark.nightly
def test_when_the_gate_opens_nothing_is_red(projects):
    plans = plan_set_of(projects["demo"])
    assert not plans.violations.listed
    assert plans.block.violation == ""
    for page in plan_set_pages(replace(plans, attached=())):
        assert "NOT FOR PERMIT" not in words_of(page.shapes)
        assert not red_clouds(page.shapes)


def test_a_cloud_around_a_circuit_tag_ends_short_of_the_sizes(plans, drawn):
    """In the grounding diagram the size below a hexagon is read with it: 0.2 mm of paper lie between them and the red pen."""
    found = 0
    for sheet in plan_set_pages(plans["mistakes"], drawn["mistakes"]):
        texts = [(shape.text, box) for shape, box in placed_boxes(sheet.shapes) if isinstance(shape, Text)]
        red = [box for shape, box in placed_boxes(sheet.shapes) if _is_cloud(shape)]
        sizes = [(text, box) for text, box in texts if re.fullmatch(r"\d+ AWG (Cu|Al)|size open", text)]
        found += len(sizes)
        touched = [(text, box) for text, box in sizes for other in red if _is_below(box, other) and box.top - other.bottom < 0.2]
        assert touched == []
    assert found


def _is_cloud(shape):
    return isinstance(shape, Outline) and shape.pen == FAULT_PEN


def _is_below(text, cloud):
    """Whether a text begins below the middle of an arc and within its width."""
    middle, beside = (cloud.top + cloud.bottom) / 2, text.left < cloud.right and cloud.left < text.right
    return beside and middle < text.top < cloud.bottom + 2.0 and cloud.height < 2.5
