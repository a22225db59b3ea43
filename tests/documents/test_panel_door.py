"""The paper inside the panel door: one page, true to size, in both languages, and nothing private on it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pypdfium2
import pytest

from permitgen.documents.canvas.shapes import Group, Line
from permitgen.documents.panel_door_pdf import _pages, panel_door_pdf
from permitgen.package.document_ids import hung_documents
from permitgen.package.documents import DOCUMENTS
from permitgen.package.field_and_record import panel_door_of_project
from permitgen.package.opened_project import open_project
from permitgen.package.standing import service_mark

ROOT = Path(__file__).resolve().parents[2]
HOUSES = [ROOT / "demo_project", *sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))]


class Words(str):
    """Text of a page; what is looked for may be broken across its lines."""

    __slots__ = ()

    def __contains__(self, said):
        return re.sub(r"\s+", "", said) in re.sub(r"\s+", "", str(self))


def words_of(content):
    return [Words(page.get_textpage().get_text_range()) for page in pypdfium2.PdfDocument(content)]


@pytest.mark.sample(every=9)
@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_one_page_says_what_a_person_without_a_network_needs(path):
    """Steps, what stays live, whom to call, how to switch on again, who keeps the record, in English and Spanish."""
    opened = open_project(path)
    view = panel_door_of_project(opened)
    pages = words_of(panel_door_pdf(view))
    assert len(pages) == 1
    for text in view.texts:
        for step in text.emergency.steps:
            assert step.action in pages[0]
        for name, value in text.facts:
            assert name in pages[0]
            assert value.split(",")[0] in pages[0]
        assert text.checked in pages[0]
    assert view.document_id in pages[0]


def test_the_demo_says_it_by_name_and_never_by_tag(demo):
    page = words_of(panel_door_pdf(panel_door_of_project(demo)))[0]
    for said in ("Turn to OFF", "Gire a OFF", "555-0199", "records@vole-tamarisk.example", "4H7PM2X9K3TB8WQD", "Winter night"):
        assert said in page
    assert "Reset the generator's emergency shutdown" in page  # a stop is reset, it is not turned on
    for tag in (*demo.loaded.system.equipment, *demo.loaded.system.loads):
        assert not re.search(rf"\b{tag}\b", page), tag


def test_it_prints_true_to_size_and_says_so(demo):
    """The viewer is told not to scale; the bar on it is 4 in, of 25.4 mm each."""
    content = panel_door_pdf(panel_door_of_project(demo))
    document = pypdfium2.PdfDocument(content)
    assert document[0].get_size() == pytest.approx((612, 792))
    assert b"/PrintScaling /None" in content
    assert "must measure 4 in" in words_of(content)[0]
    bars = [shape for page in _pages(panel_door_of_project(demo)) for shape in lines_of(page.shapes)]
    assert any(abs(abs(line.x2 - line.x1) - 4 * 25.4) < 0.01 for line in bars)


def lines_of(shapes):
    for shape in shapes:
        if isinstance(shape, Group):
            yield from lines_of(shape.shapes)
        elif isinstance(shape, Line):
            yield shape


def test_results_from_the_field_do_not_make_it_old(demo, tmp_path):
    """The demo with its results and without them: the paper on the door is the same."""
    shutil.copytree(ROOT / "demo_project", tmp_path / "house", ignore=shutil.ignore_patterns("field", "package"))
    assert panel_door_of_project(open_project(tmp_path / "house")).document_id == panel_door_of_project(demo).document_id


def draw_panel_door(opened):
    """The paper as a package has it."""
    return next(document.draw for document in DOCUMENTS if document.name == "panel_door")(opened, {})


def test_nobody_hangs_it_before_the_tests_passed(tmp_path):
    """Without results from the field safety tests are due: FOR ENERGIZING is shut, and the paper is marked."""
    shutil.copytree(ROOT / "demo_project", tmp_path / "house", ignore=shutil.ignore_patterns("field", "package"))
    opened = open_project(tmp_path / "house")
    mark = service_mark(opened)
    assert mark
    printed = words_of(draw_panel_door(opened)["panel_door.pdf"])[0]
    assert mark in printed
    assert "Not yet. The tests of this system are not complete" in printed
    assert "turn it back ON" not in printed
    good = panel_door_of_project(opened)
    assert good.document_id in printed  # what the field says makes no paper another one
    assert "turn it back ON" in words_of(panel_door_pdf(good))[0]
    assert all("panel_door.pdf" not in each.files for each in hung_documents(opened))
