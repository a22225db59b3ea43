"""What a label states and a violation denies stands in a red cloud on the proof, and never on what goes to a printer or engraver.

The demonstration house with mistakes bonds its neutral again at HP, beyond the service disconnect, which 250.24(A)(5) forbids (from
memory): the label there is false, that at the service is true. Its shutdown switch is inside the garage, and 690.12(C) wants it outside.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.documents import label_package as label_package_module
from permitgen.documents.canvas import to_dxf
from permitgen.documents.canvas.bounds import Box, placed_boxes, text_overlaps
from permitgen.documents.canvas.shapes import Group, Text
from permitgen.documents.labels.denied_lines import LAYER, with_denied_lines
from permitgen.documents.labels.set_label import set_label
from permitgen.package.hanging_job import hanging_plan_of_project
from permitgen.package.label_job import denials_of_labels, labels_of
from permitgen.views.label_specs import load_label_specs
from permitgen.views.title import title_of
from permitgen.views.violations import violations_of
from tests.documents.drawn import files_of

MISTAKES = Path(__file__).resolve().parents[2] / "demo_project" / "with_mistakes.yaml"


@pytest.fixture(scope="module")
def mistakes(open_once):
    return open_once(MISTAKES)


def _number(opened, rule):
    return next(each.number for each in violations_of(opened.evaluation).listed if each.rule == rule)


def test_the_label_at_the_second_bond_is_denied_and_the_one_at_the_service_is_not(mistakes):
    labels, denials = labels_of(mistakes).labels, denials_of_labels(mistakes)
    bonds = {label.tag: denied for label, denied in zip(labels, denials, strict=True) if label.id == "neutral-bond-location"}
    assert bonds == {"MID": (), "HP": (("NEUTRAL IS BONDED TO GROUND HERE.", (_number(mistakes, "single-neutral-bond"),)),)}
    building = next(denied for label, denied in zip(labels, denials, strict=True) if label.id == "rapid-shutdown-building")
    assert [(line.partition(":")[0], numbers) for line, numbers in building] == [
        ("SWITCH LOCATION", (_number(mistakes, "rapid-shutdown-initiator"),))
    ]


def test_the_cloud_is_around_the_line_and_its_number_on_no_letter(mistakes):
    """The smallest and the fullest of what is denied; the number stands on the label, beside the letters."""
    labels, denials = labels_of(mistakes).labels, denials_of_labels(mistakes)
    plain = [set_label(label) for label in labels]
    clouded = 0
    for before, after, denied in zip(plain, with_denied_lines(plain, denials), denials, strict=True):
        groups = [shape for shape in after.shapes if isinstance(shape, Group) and shape.layer == LAYER]
        assert len(groups) == bool(denied)
        if not denied:
            assert after is before
            continue
        clouded += 1
        boxes = [box for shape, box in placed_boxes(groups) if not isinstance(shape, Text)]
        around = Box(min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes))
        for line, numbers in denied:
            assert all(around.contains(each.at) for each in before.letters if each.of == line)
            assert ", ".join(numbers) in [shape.text for shape, _ in placed_boxes(groups) if isinstance(shape, Text)]
        assert text_overlaps(after.shapes) == ()
        assert Box(-1.0, -1.0, after.width_mm + 1.0, after.height_mm + 1.0).contains(around)
    assert clouded >= 2


def test_where_a_line_stands_on_a_label_is_where_it_is_drawn(mistakes):
    for label in (set_label(view) for view in labels_of(mistakes).labels):
        drawn = {
            (shape.text, round(box.left, 3), round(box.top, 3)) for shape, box in placed_boxes(label.shapes) if isinstance(shape, Text)
        }
        assert {(each.text, round(each.at.left, 3), round(each.at.top, 3)) for each in label.letters} <= drawn


def _layers(shapes):
    """Yield the layers of groups, also of those within groups."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield shape.layer
            yield from _layers(shape.shapes)


def test_no_file_for_a_printer_has_the_cloud(mistakes, monkeypatch):
    """The sheets are the proof; a label alone carries the mark of the shut gate and nothing else that is red by us.

    What an engraver gets is looked at as the pages that are written: the writer changes no layer but its case, and is slow.
    """
    files = files_of(mistakes, "labels")
    drawings = {name: content for name, content in files.items() if name.endswith(".svg")}
    assert drawings
    assert all(b"layer-gate" in content and b"layer-denied" not in content for content in drawings.values())
    engraved = []
    monkeypatch.setattr(to_dxf, "dxf_bytes", lambda page: engraved.append(page) or b"")
    assert len(files_of(mistakes, "engraving")) == len(engraved) > len(drawings)
    assert all("gate" in _layers(page.shapes) and LAYER not in _layers(page.shapes) for page in engraved)


def test_an_open_gate_has_no_cloud_even_where_a_line_is_denied(mistakes, monkeypatch):
    """Without the mark the sheets are what is printed and hung; only they are compared, so no file of a single label is drawn."""
    for form in ("label_pdf", "label_svg", "label_png"):
        monkeypatch.setattr(label_package_module, form, lambda _label: "")
    label_package = label_package_module.label_package
    labels, title, denials = labels_of(mistakes), title_of(mistakes.evaluation), denials_of_labels(mistakes)
    assert label_package(labels, title, "", denials)["labels.pdf"] == label_package(labels, title)["labels.pdf"]
    marked = label_package(labels, title, "NOT FOR HANGING (2)")["labels.pdf"]
    assert label_package(labels, title, "NOT FOR HANGING (2)", denials)["labels.pdf"] != marked


def test_the_hanging_plan_numbers_what_is_denied(mistakes, demo):
    plan = hanging_plan_of_project(mistakes)
    denied = {(item.name, item.on): item.denied_by for place in plan.places for item in place.items if item.denied_by}
    assert denied[("Where neutral is bonded to ground", "HP")] == (_number(mistakes, "single-neutral-bond"),)
    assert ("Where neutral is bonded to ground", "MID") not in denied
    assert not any(item.denied_by for place in hanging_plan_of_project(demo).places for item in place.items)


def test_every_wording_has_a_line_that_its_rules_deny():
    """Each variant and edition, unless another of its label says the opposite: else a false label would pass for a true one."""
    for spec in load_label_specs().values():
        for words in spec.denied_by.values():
            said = [any(words in line.text for panel in wording.panels for line in panel.lines) for wording in spec.wordings]
            assert any(said), (spec.id, words)
            if spec.id in ("neutral-bond-location", "rapid-shutdown-switch", "rapid-shutdown-building", "series-rating"):
                assert all(said), (spec.id, words)
