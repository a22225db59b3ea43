"""The Document ID: the same as long as a label, plate, sheet or page shows the same, and another one when it does not.

What must stay and what must change is read off the edit made to the project file, not off the program.
"""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import dataclass, field
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from permitgen.documents.label_package import file_names
from permitgen.documents.labels.label_files import label_pdf, label_svg
from permitgen.documents.labels.set_label import set_label
from permitgen.package.build import build_package
from permitgen.package.document_ids import documents_of
from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import drawn_plan_set
from permitgen.values.origin import FromSystem, ProjectLine
from permitgen.values.value import Value
from permitgen.views.document_id import BESIDE, document_id, with_document_id
from permitgen.views.document_list import document_changes
from tests.examples import examples

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
HOUSE = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
COMMENTS = (("circuits:\n", "# looked at again\n\ncircuits:\n"), ("project:\n", "# a line at the top\nproject:  # and one at the end\n"))
LENGTH_OF_C7 = ("trade_size: 1 in, length: 1.5 ft", "trade_size: 1 in, length: 2 ft")
NEXT_REVISION = ("  revisions:\n", "  revisions:\n    - {number: 2, date: 2026-05-05, reason: Another day, by: M. Tarn}\n")


def _edited(folder, *edits, house=DEMO):
    shutil.copytree(house, folder)
    file = folder / "project.yaml"
    text = file.read_text("utf-8")
    for before, after in edits:
        assert before in text
        text = text.replace(before, after, 1)
    file.write_text(text, "utf-8")
    return folder


def _changes(demo, folder):
    return document_changes(documents_of(demo), documents_of(open_project(folder)))


def test_it_has_eight_signs_that_cannot_be_mistaken(demo):
    """Crockford base 32 (published by D. Crockford): no I, L, O, U."""
    ids = [each.document_id for each in documents_of(demo)]
    assert all(re.fullmatch("[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}", own) for own in ids)
    sheets = [each.document_id for each in documents_of(demo) if each.kind == "sheet"]
    assert len(sheets) == len(set(sheets))


@pytest.mark.parametrize("house", ["small", pytest.param("demo", marks=pytest.mark.nightly)])
def test_a_comment_changes_no_paper(house, tmp_path):
    """Lines inserted above everything: also what says where a number is written stays as it was."""
    there = DEMO
    if house == "small":
        there = tmp_path / "small"
        there.mkdir()
        (there / "project.yaml").write_text(HOUSE, "utf-8")
    package = build_package(open_project(there), tmp_path / "package").files
    again = build_package(open_project(_edited(tmp_path / "p", *COMMENTS, house=there)), tmp_path / "again").files
    assert again.keys() == package.keys()
    changed = {name for name in package if package[name] != again[name]}
    # The copy of the project file; what holds its digest; findings name its lines; the form carries the digest home with results.
    electrician = {"record_professional/project/project.yaml", "record_professional/manifest.json"}
    assert changed == {"project_file/project.yaml", "manifest.json", "findings.json", "field_checklist.html", *electrician}
    before, after = (json.loads(files["manifest.json"]) for files in (package, again))
    assert before["documents"] == after["documents"]
    assert before["fingerprint"] != after["fingerprint"]


@pytest.mark.nightly
def test_the_next_revision_leaves_what_says_the_same(demo, tmp_path):
    """The checklist says in words which revision the plans in hand are, the hanging plan what the newest one takes down."""
    changes = _changes(demo, _edited(tmp_path / "p", NEXT_REVISION))
    assert {each.name for each, _ in changes.old} == {"Field checklist", "Hanging plan"}
    assert not changes.new


@pytest.mark.nightly
def test_a_length_changes_only_what_shows_it(request, demo, tmp_path, whole):
    """Run R6 of circuit C7: its row, the fault current behind it and the drop on it; supports on the checklist; what is to be bought."""
    folder = _edited(tmp_path / "p", LENGTH_OF_C7)
    changes = _changes(demo, folder)
    # The sheets on which the schedules of circuits or the summary of calculations stand, and no other.
    showing = [d.name for d in drawn_plan_set(demo)[1].drawings if {"E-603", "E-605"} & set(d.holds)]
    assert {each.name for each, _ in changes.old} == {
        *(f"{name.number} {name.title}" for name in showing),
        "Plan set, all sheets",
        "Electrical calculations",
        "Derivations of the electrical calculation",
        "Field checklist",
        "Material list",
    }
    assert all(now for _, now in changes.old)
    if not whole:
        return  # by night the pictures of all sheets are compared
    demo_package = request.getfixturevalue("demo_package")
    again = build_package(open_project(folder), tmp_path / "package", only=["plan_set", "labels", "placard"]).files
    assert {name for name in again if again[name] != demo_package[name]} == {"manifest.json", "plan_set.pdf"}
    pages = [pypdfium2.PdfDocument(files["plan_set.pdf"]) for files in (demo_package, again)]
    assert len(pages[0]) == len(pages[1])
    different = set()
    for number in range(len(pages[0])):
        one, other = (document[number].render(scale=0.5).to_numpy() for document in pages)
        if (one != other).any():
            different.add(pages[0].get_page_label(number))
    # The cover names the ID of the whole set; not every sheet of both subjects shows something of it.
    assert "G-001" in different
    assert different <= {"G-001", *(name.number for name in showing)}


@pytest.mark.nightly
def test_field_results_and_departures_stand_in_the_record_only(demo, tmp_path):
    """The demo has results from the field and no departure, the other house a departure and no results."""
    assert len(demo.field.entries) > 100
    departure = "path: circuits.C10.conductors.size, to: 4 AWG, reason: at hand, decided_by: M. Tarn, date: 2026-04-02"
    built = f"built:\n  departures:\n    - {{{departure}}}\n"
    folder = _edited(tmp_path / "p")
    with (folder / "project.yaml").open("a", encoding="utf-8") as file:
        file.write(built)
    shutil.rmtree(folder / "field")
    changes = _changes(demo, folder)
    assert not changes.old
    assert not changes.new


EDITS = {
    "a comment": ("name: Small house", "name: Small house  # by the lake"),
    "order of keys": ("from: PV1.A\n    to: MSP.37\n    runs: R2\n", "to: MSP.37\n    runs: R2\n    from: PV1.A\n"),
    "length": ("length: 10.7 m", "length: 11.7 m"),
    "place": ("description: garage wall", "description: north wall of the garage"),
    "name of the panel": ("name: Main panel", "name: House panel"),
    "modules": ("modules: 8, branches: {A: 8}", "modules: 7, branches: {A: 7}"),
    "project number": ("name: Small house", "number: X-7\n  name: Small house"),
    "energy": ("energy: 12.4 kWh", "energy: 10 kWh"),
    "busbar": ("busbar: 200 A", "busbar: 225 A"),
    "edition": ("edition: 2023", "edition: 2020"),
    "neutral": ("size: 10 AWG, insulation: THWN-2, neutral: no", "size: 10 AWG, insulation: THWN-2, neutral: yes"),
    "permit": ("name: Small house", "permit_number: P-1\n  name: Small house"),
}
CHANGES_NO_LABEL = {"a comment", "order of keys", "length"}


def _labels(folder, names):
    text = HOUSE
    for name in sorted(names):
        before, after = EDITS[name]
        assert before in text
        text = text.replace(before, after, 1)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "project.yaml").write_text(text, "utf-8")
    labels = labels_of(open_project(folder)).labels
    assert len(labels) > 4
    made = [(view.document_id, label_pdf(set_label(view)), label_svg(set_label(view))) for view in labels]
    return dict(zip(file_names(labels), made, strict=True))


@examples(15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sets(st.sampled_from(sorted(EDITS)), min_size=1, max_size=3), st.sets(st.sampled_from(sorted(EDITS)), max_size=2))
def test_bytes_of_a_label_differ_if_and_only_if_its_id_does(tmp_path, edits, others):
    before, after = _labels(tmp_path / "before", others), _labels(tmp_path / "after", edits)
    if edits | others <= CHANGES_NO_LABEL:
        assert before == after
    for name in before.keys() & after.keys():
        assert (before[name][0] == after[name][0]) == (before[name][1:] == after[name][1:]), name


@dataclass(frozen=True)
class _Shown:
    words: str
    number: object = 0
    issue: str = field(default="", metadata=BESIDE)
    document_id: str = field(default="", metadata=BESIDE)


def _value(number, origin):
    return Value(number, "ft", origin, "L", "length")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (_Shown("a", issue="1"), _Shown("a", issue="2")),
        (_Shown("a", 1), _Shown("a", 1.0)),
        (_Shown("a", 0.1 + 0.2), _Shown("a", 0.3)),
        (_Shown("a", {"x": 1, "y": 2}), _Shown("a", {"y": 2, "x": 1})),
        (_Shown("a", frozenset("abc")), _Shown("a", frozenset("cba"))),
        (_Shown("a", _value(3, FromSystem("plan"))), _Shown("a", _value(3, ProjectLine("p.yaml", 7, 1, "a.b", "3 ft")))),
    ],
)
def test_what_shows_the_same_has_the_same_id(one, other):
    assert document_id("label", one) == document_id("label", other)
    assert with_document_id("label", with_document_id("label", one)).document_id == document_id("label", other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (_Shown("a"), _Shown("b")),
        (_Shown("1"), _Shown("1", 1)),
        (_Shown("a", 1), _Shown("a", number=True)),
        (_Shown("a", 1), _Shown("a", "1")),
        (_Shown("a", ("b", "c")), _Shown("a", ("c", "b"))),
        (_Shown("a", ("bc",)), _Shown("a", ("b", "c"))),
        (_Shown("a", None), _Shown("a", ())),
        (_Shown("a", {"x": 1}), _Shown("a", {"x": 2})),
    ],
)
def test_what_shows_something_else_has_another_id(one, other):
    assert document_id("label", one) != document_id("label", other)
    assert document_id("label", one) != document_id("plate", one)


def test_what_is_no_plain_data_is_refused():
    with pytest.raises(TypeError, match="plain data"):
        document_id("label", _Shown("a", object()))
