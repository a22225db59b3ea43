"""The hanging plan: every label and plate once, with the number of the schedule and the size at which it is printed.

No published source: what an installer needs to hang a wall without a question.
"""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from permitgen.documents.hanging_plan_pdf import hanging_plan_pdf
from permitgen.documents.labels.set_label import set_label
from permitgen.package.document_ids import documents_in
from permitgen.package.field_and_record import checklist_of
from permitgen.package.hanging_job import hanging_plan_of_project
from permitgen.package.label_job import labels_of
from permitgen.views.placard import placards_of
from tests.documents.drawn import files_of

ROOT = Path(__file__).resolve().parents[2]
HOUSES = ("demo_project/project.yaml", "tests/topologies/b11_detached_building.yaml", "tests/topologies/b21_two_service_panels.yaml")


@pytest.fixture(params=HOUSES)
def opened(request, open_once):
    return open_once(ROOT / request.param)


def _words(content):
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages).split())


def test_every_label_and_plate_hangs_once(opened):
    labels, plan = labels_of(opened).labels, hanging_plan_of_project(opened)
    items = [item for place in plan.places for item in place.items]
    numbered = {item.number: item for item in items}
    assert len(numbered) == len(items) == len(labels) + len(placards_of(opened.evaluation))
    for number, label in enumerate(labels, start=1):
        item, drawn = numbered[str(number)], set_label(label)
        assert (item.name, item.on, item.pieces, item.document_id) == (label.name, label.tag, label.quantity, label.document_id)
        width, height = (float(side) for side in item.size.removesuffix(" in").split(" x "))
        assert (width, height) == (pytest.approx(drawn.width_mm / 25.4, abs=0.06), pytest.approx(drawn.height_mm / 25.4, abs=0.06))


def test_it_says_the_numbers_of_the_checklist(opened):
    plan = hanging_plan_of_project(opened)
    on_walls = {number for place in plan.places if place.wall is not None for number in place.wall.shown}
    elsewhere = {int(item.number) for place in plan.places if place.wall is None for item in place.items if item.number.isdigit()}
    assert elsewhere == set(checklist_of(opened).labels_elsewhere)
    assert on_walls | elsewhere == set(range(1, len(labels_of(opened).labels) + 1))


def test_paper_and_list_of_documents_agree(opened):
    plan = hanging_plan_of_project(opened)
    words = _words(files_of(opened, "hanging_plan")["hanging_plan.pdf"])
    assert plan.document_id in words
    assert {item.document_id for place in plan.places for item in place.items} <= set(re.findall(r"[0-9A-Z]{4}-[0-9A-Z]{4}", words))
    (listed,) = documents_in(opened, ["hanging_plan.pdf"])
    assert listed.document_id == plan.document_id


def test_labels_of_one_wall_follow_each_other(opened):
    for place in hanging_plan_of_project(opened).places:
        numbers = [int(item.number) for item in place.items if item.number.isdigit()]
        if place.wall is not None and numbers:
            assert numbers == list(range(numbers[0], numbers[0] + len(numbers)))


def test_a_revision_takes_down_what_it_makes_old(open_once):
    """The demo's revision 1 moved the rapid shutdown switch's neighbors: each print that changed is named with what hangs in its place."""
    opened = open_once(ROOT / HOUSES[0])
    assert opened.before is not None
    before = {label.document_id for label in labels_of(opened.before).labels} | {
        p.document_id for p in placards_of(opened.before.evaluation)
    }
    now = {label.document_id for label in labels_of(opened).labels} | {p.document_id for p in placards_of(opened.evaluation)}
    told = " ".join(why for _name, _place, why in hanging_plan_of_project(opened).down)
    assert before - now
    assert all(f"Document ID {each}" in told for each in before - now)
    assert not any(f"Document ID {each}" in told for each in now)


def test_a_shut_gate_marks_every_page(open_once):
    plan = hanging_plan_of_project(open_once(ROOT / HOUSES[0]))
    reader = pypdf.PdfReader(BytesIO(hanging_plan_pdf(replace(plan), "NOT FOR HANGING (3)")))
    assert all("NOT FOR HANGING (3)" in " ".join(page.extract_text().split()) for page in reader.pages)
