"""The calculation sheet in both formats: every number of the view is there, hostile text is text, same view same bytes."""

import io
import re
import shutil
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdfium2
import pytest
from docx import Document

from permitgen.documents.calculation_steps import numbered_groups
from permitgen.documents.derivations_docx import derivations_docx
from permitgen.documents.derivations_pdf import derivations_pdf
from permitgen.package.build import build_package
from permitgen.package.opened_project import open_project
from permitgen.reading.problems import ProblemsError
from permitgen.views.calculation_sheet import view_of
from permitgen.views.vocabulary import verdict_word

ROOT = Path(__file__).resolve().parents[2]
HOSTILE = ("{{ 7*7 }}", "<script>alert(1)</script>", "A & B", "]]>", "{% for x in y %}", "3 < 5 > 2", "{_{ v }_}", "\\par }{", "</w:t>")


def _view(folder, **replaced):
    """Return the view of the demo project in a copy with pieces of its text replaced."""
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("package"), dirs_exist_ok=True)
    path = folder / "project.yaml"
    text = path.read_text("utf-8")
    for old, new in replaced.values():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    opened = open_project(folder)
    return view_of(opened.evaluation)


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    return _view(tmp_path_factory.mktemp("demo"))


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    """Names hold what a template, a page or a file might obey; and a 60 A branch circuit on 12 AWG copper, which no edition allows."""
    name = " ".join(HOSTILE)
    old = "runs: R10\n    conductors: {insulation: THWN-2, neutral: no}"
    return _view(
        tmp_path_factory.mktemp("hostile"),
        project=("name: Quillfern Lane backup system", f"name: '{name}'"),
        circuit=("name: EV supply equipment\n    from", f"name: '{name}'\n    from"),
        violation=(old, old.replace("{insulation", "{size: 12 AWG, insulation")),
    )


def _plain(text):
    """Return text with one kind of space, none doubled; page and line breaks of the layout are spaces too."""
    return re.sub(r"\s+", " ", text.replace("\xa0", " ").replace("\ufffe", "")).strip()


def pdf_text(content):
    document = pypdfium2.PdfDocument(content)
    return _plain(" ".join(page.get_textpage().get_text_range() for page in document))


def docx_text(content):
    document = Document(io.BytesIO(content))
    parts = [document.element.body]
    parts += [part._element for section in document.sections for part in (section.header, section.footer)]
    paragraphs = ("".join(node.text or " " for node in p.iter("{*}t", "{*}br", "{*}tab")) for part in parts for p in part.iter("{*}p"))
    return _plain(" ".join(paragraphs))


@pytest.fixture(scope="module", params=["demo", "hostile"])
def sheet(request):
    return request.getfixturevalue(request.param)


@pytest.fixture(scope="module")
def files(sheet):
    return {"pdf": derivations_pdf(sheet), "docx": derivations_docx(sheet)}


@pytest.fixture(scope="module", params=["pdf", "docx"])
def text(request, files):
    return pdf_text(files["pdf"]) if request.param == "pdf" else docx_text(files["docx"])


def _checks(sheet):
    return [check for group in sheet.groups for block in group.blocks for check in block.checks]


@cache
def _squeezed(text):
    return text.replace(" ", "")


def _missing(expected, text):
    squeezed = _squeezed(text)
    return sorted({one for one in expected if one and _plain(one).replace(" ", "") not in squeezed})


@pytest.mark.sample(every=3)
def test_every_comparison_is_printed(sheet, text):
    rows = [*_checks(sheet), *(part for check in _checks(sheet) for part in check.parts)]
    compared = [f"{row.computed}{row.relation}{row.limit}" for row in rows if row.computed and row.limit]
    assert len(compared) > 20
    assert not _missing(compared, text)


def test_every_step_shows_its_numbers_and_result(sheet, text):
    steps = [step for group in sheet.groups for block in group.blocks for step in block.steps]
    assert len(steps) > 20
    assert not _missing([step.numbers for step in steps], text)
    assert not _missing([f"={step.result}" for step in steps], text)
    assert not _missing([given.value for step in steps for given in step.inputs], text)
    assert not _missing([given.origin for step in steps for given in step.inputs], text)


def test_every_check_shows_its_requirement_section_and_verdict(sheet, text):
    for check in _checks(sheet):
        assert not _missing([check.title, check.section.removeprefix(sheet.title.edition), verdict_word(check.verdict)], text)


def test_open_findings_show_numbers_missing_facts_suggestions_and_places(sheet, text):
    for finding in sheet.open_findings:
        places = [place.words for place in finding.places]
        assert not _missing([finding.title, finding.comparison, *finding.missing, *finding.suggestions, *places], text)


def test_choices_assumptions_circuits_and_doubts_are_printed(sheet, text):
    assert sheet.choices
    for choice in sheet.choices:
        assert not _missing([choice.what, choice.chosen, choice.refused, choice.reason.removeprefix(f"{choice.tag}: ")], text)
    for row in sheet.assumptions:
        assert not _missing([row.title, row.value, row.reason], text)
    for row in sheet.circuits:
        assert not _missing([row.tag, row.name, row.role, row.device, row.conductors, row.raceway, verdict_word(row.verdict)], text)
    for section, doubt in sheet.doubts:
        assert not _missing([section, doubt], text)


def test_title_counts_cautions_and_deference_are_printed(sheet, text):
    title = sheet.title
    facts = [
        title.project,
        title.number,
        title.address,
        title.edition,
        title.permit_number,
        sheet.document_id,
        title.status,
        title.deference,
    ]
    assert not _missing([*facts, *title.cautions], text)
    beside = " · ".join(f"{count} {verdict_word(verdict)}" for verdict, count in sheet.counts)
    above = " ".join(str(count) for _, count in sheet.counts)
    assert beside in text or above in text


def test_hostile_text_is_text_and_a_violation_is_said_in_plain_words(sheet, text):
    if sheet.title.has_violations:
        assert sheet.title.project == " ".join(HOSTILE)
        assert not _missing(HOSTILE, text)
        assert text.count(_plain(sheet.title.status)) >= 2
    else:
        assert not set(HOSTILE) & set(text.split())
        assert "Checked: " in text


def test_the_hostile_project_is_a_violating_one(hostile, demo):
    assert hostile.title.has_violations
    assert not demo.title.has_violations


@pytest.mark.nightly
def test_same_view_same_bytes(hostile, monkeypatch):
    short = replace(hostile, groups=tuple(replace(group, blocks=group.blocks[:2]) for group in hostile.groups))
    first = derivations_docx(short), derivations_pdf(short)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1234567890")
    assert (derivations_docx(short), derivations_pdf(short)) == first


def test_each_step_is_printed_once_and_every_citation_leads_to_it(sheet):
    steps = [(numbered.block.tag, step) for group in numbered_groups(sheet) for numbered in group.blocks for step in numbered.steps]
    printed = {step.number: (tag, step.text) for tag, step in steps if step.is_first}
    assert sorted(printed) == list(range(1, len(printed) + 1))
    assert sum(step.is_first for _, step in steps) == len(printed)
    for _, step in steps:
        assert printed[step.number] == (step.tag, step.text)
        for use in step.uses:
            assert use.number, (step.text.title, use)
            cited = printed[use.number][1]
            assert (cited.symbol, cited.title, cited.result) == (use.symbol, use.title, use.value)


def test_each_step_of_each_subject_is_printed_somewhere(sheet):
    groups = numbered_groups(sheet)
    printed = {step.text for group in groups for numbered in group.blocks for step in numbered.steps if step.is_first}
    assert {step for group in sheet.groups for block in group.blocks for step in block.steps} == printed


@pytest.mark.nightly
def test_a_character_that_no_face_has_is_refused_with_its_place(tmp_path):
    text = (ROOT / "demo_project" / "project.yaml").read_text("utf-8")
    for name in ("approved", "attachments", "forms", "hardware", "places", "revisions"):  # files that the project names
        shutil.copytree(ROOT / "demo_project" / name, tmp_path / name)
    (tmp_path / "project.yaml").write_text(text.replace("name: Quillfern Lane", "name: \u674e Lane", 1), "utf-8")
    line = text.splitlines().index("  name: Quillfern Lane backup system") + 1
    with pytest.raises(ProblemsError) as caught:
        build_package(open_project(tmp_path), tmp_path / "package", only=["calculations"])
    (problem,) = caught.value.problems
    assert (problem.line, problem.column) == (line, 9)
    assert "U+674E" in problem.message
    assert not (tmp_path / "package").exists()
