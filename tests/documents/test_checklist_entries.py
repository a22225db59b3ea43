"""How many entries an installer makes, and what one tap may answer: identity and what is seen of one enclosure, never a test."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from permitgen.package.field_and_record import labels_to_place
from permitgen.package.opened_project import open_project
from permitgen.views.field_checklist import view_of
from tests.documents.drawn import files_of

ROOT = Path(__file__).resolve().parents[2]
HOUSES = [ROOT / "demo_project", *sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))]
# What a look never answers, by the beginning of the id.
NEVER = (
    *("torque", "insulation", "continuity", "neutral", "ground-current", "bond", "polarity", "interlock", "shutdown", "pole", "dead"),
    *("locked", "emergency-shutdown", "island", "generator", "on", "supply", "voc", "isc", "landed", "override", "setting"),
    *("wiring:grounding-bars", "wiring:pv-polarity", "wiring:dc-polarity"),
)
# Of the houses every third, and the same ones for each test: what is made of a house is made for all tests of it.
pytestmark = pytest.mark.sample(every=3)


@pytest.fixture(scope="module", params=HOUSES, ids=lambda path: path.stem)
def view(request):
    opened = open_project(request.param)
    return view_of(opened.evaluation, opened.fingerprint, labels_to_place(opened))


@pytest.mark.sample(every=7)
def test_blocks_hold_every_line_once_in_order(view):
    for section in view.sections:
        assert [line for block in section.blocks for line in block.lines] == list(section.lines)


def test_one_tap_never_answers_a_test_a_torque_a_bond_or_a_reading(view):
    for section in view.sections:
        for block in section.blocks:
            if block.kind == "look":
                for line in block.lines:
                    assert not line.safety, line.id
                    assert line.rule.kind in ("done", "match", "text"), line.id
                    assert line.id not in NEVER
                    assert line.id.partition(":")[0] not in NEVER, line.id


def test_a_look_is_of_one_enclosure(view):
    """A section is one enclosure, the house as a whole, or the strings of an array; a look never reaches beyond it."""
    for section in view.sections:
        for block in section.blocks:
            if block.kind == "look":
                assert section.id.startswith("at:") or section.id in ("everywhere", "strings"), (section.id, block.title)


def test_the_demo_is_short_enough_to_be_filled_in():
    """At most 120 entries, and 12 sheets with a row of 7 mm and more for each answer."""
    demo = open_project(ROOT / "demo_project")
    assert view_of(demo.evaluation, demo.fingerprint, labels_to_place(demo)).entries <= 120
    assert len(pypdfium2.PdfDocument(files_of(demo, "field_checklist")["field_checklist.pdf"])) <= 12


def test_a_label_of_practice_is_not_marked_as_code(view):
    for line in view.lines:
        if line.id.startswith("label:") and not line.source:
            assert line.basis == "CP", line.id
