"""The DOCX: a template people can restyle, filled in a sandbox, packed the same each time, refused with one clear message."""

import importlib.util
import io
import re
import subprocess
import zipfile
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from docx import Document
from docx.oxml.ns import qn

from permitgen.documents.derivation_fields import derivation_fields
from permitgen.documents.derivations_docx import derivations_docx
from permitgen.documents.docx_template import DocxProperties, filled_docx
from permitgen.documents.resources import ResourceError, resource_path, shipped_folder, template_path
from permitgen.reading.problems import ProblemsError
from permitgen.views.calculation_sheet import view_of

ROOT = Path(__file__).resolve().parents[2]
PROPERTIES = DocxProperties("a title")


@pytest.fixture(scope="module")
def sheet(demo):
    return view_of(demo.evaluation)


@pytest.fixture(scope="module")
def content(sheet):
    return derivations_docx(sheet)


@pytest.fixture(scope="module")
def document(content):
    return Document(io.BytesIO(content))


def _template(folder, *paragraphs):
    document = Document()
    for text in paragraphs:
        document.add_paragraph(text)
    folder.mkdir(exist_ok=True)
    path = folder / "derivations.docx"
    document.save(path)
    return path


def _filled(folder, *paragraphs, **fields):
    filled = filled_docx(_template(folder, *paragraphs), fields, PROPERTIES)
    return [paragraph.text for paragraph in Document(io.BytesIO(filled)).paragraphs]


def _message(folder, *paragraphs, **fields):
    with pytest.raises(ProblemsError) as caught:
        _filled(folder, *paragraphs, **fields)
    (problem,) = caught.value.problems
    return str(problem)


def test_the_shipped_template_is_what_its_script_makes():
    script = ROOT / "templates" / "make_derivations_template.py"
    spec = importlib.util.spec_from_file_location("make_derivations_template", script)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    shipped = zipfile.ZipFile(ROOT / "templates" / "derivations.docx")
    made = zipfile.ZipFile(io.BytesIO(module.template()))
    assert made.namelist() == shipped.namelist()
    for name in made.namelist():
        assert made.read(name) == shipped.read(name), name


def test_the_template_opens_and_has_the_styles_to_change(document):
    names = {style.name for style in Document(ROOT / "templates" / "derivations.docx").styles}
    assert {"Heading 1", "Heading 2", "Heading 3", "Caption", "Calculation Table", "Title"} <= names
    headings = [paragraph.text for paragraph in document.paragraphs if paragraph.style.name == "Heading 1"]
    assert headings[0] == "1 Open findings"


def test_every_subject_has_its_heading_and_every_section_too(sheet, document):
    subjects = [p.text.split("  ")[0] for p in document.paragraphs if p.style.name == "Heading 2"]
    for group in sheet.groups:
        assert any(p.text.endswith(group.title) for p in document.paragraphs if p.style.name == "Heading 1")
        assert {block.tag for block in group.blocks} <= set(subjects)


def test_parts_are_packed_in_fixed_order_with_a_fixed_date(content):
    entries = zipfile.ZipFile(io.BytesIO(content)).infolist()
    names = [entry.filename for entry in entries]
    assert names[0] == "[Content_Types].xml"
    assert names[1:] == sorted(names[1:])
    assert {entry.date_time for entry in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert {(entry.external_attr, entry.create_system) for entry in entries} == {(0o600 << 16, 3)}


def test_properties_name_the_project_and_no_clock(sheet, document):
    core = document.core_properties
    assert sheet.title.project in core.title
    assert sheet.document_id in core.subject
    assert core.author == sheet.title.contractor
    assert core.last_modified_by == "permitgen"
    assert (core.created.year, core.modified.year) == (2000, 2000)


def test_every_link_has_its_bookmark_and_no_bookmark_number_is_used_twice(document):
    body = document.element.body
    names = [mark.get(qn("w:name")) for mark in body.iter(qn("w:bookmarkStart"))]
    numbers = [mark.get(qn("w:id")) for mark in body.iter(qn("w:bookmarkStart"))]
    links = [link.get(qn("w:anchor")) for link in body.iter(qn("w:hyperlink"))]
    assert len(links) > 50
    assert set(links) <= set(names)
    assert len(set(names)) == len(names)
    assert len(set(numbers)) == len(numbers)


def test_nothing_of_the_template_is_left_over(content):
    for name in ("word/document.xml", "word/header1.xml", "word/footer1.xml"):
        text = zipfile.ZipFile(io.BytesIO(content)).read(name).decode("utf-8")
        assert not re.search(r"\{\{|\{%|%\}|\}\}", text), name


def test_readme_lists_every_field(sheet):
    readme = (ROOT / "templates" / "README.md").read_text("utf-8")

    def names(fields):
        if isinstance(fields, dict):
            for name, value in fields.items():
                yield name
                yield from names(value)
        elif isinstance(fields, list):
            for value in fields:
                yield from names(value)

    missing = [name for name in set(names(derivation_fields(sheet))) if not re.search(rf"[`.]{name}`", readme)]
    assert not missing


def test_a_project_has_its_own_template(sheet, tmp_path):
    own = _template(tmp_path / "templates", "{{ title.project }} in our style")
    assert template_path("derivations.docx", tmp_path) == own
    assert template_path("derivations.docx", tmp_path / "elsewhere") == ROOT / "templates" / "derivations.docx"
    filled = Document(io.BytesIO(derivations_docx(sheet, own)))
    assert filled.paragraphs[0].text == f"{sheet.title.project} in our style"


def test_shipped_folders_are_found_and_missing_files_named():
    assert list(shipped_folder("label_specs").glob("*.yaml"))
    with pytest.raises(ResourceError, match=r"templates/no_such\.docx"):
        resource_path("templates", "no_such.docx")


@pytest.mark.parametrize(
    ("expression", "expected"),
    [
        ("{{ titel.project }}", 'templates/derivations.docx:1:1: it uses the field "titel", which does not exist; did you mean "title"?'),
        ("{{ title.projct }}", 'templates/derivations.docx:1:1: it uses the field "projct", which does not exist; did you mean "project"?'),
        ("{{ title.project", "templates/derivations.docx:1:1: it is not a well-formed template: "),
        ("{% for x in title %}", "templates/derivations.docx:1:1: it is not a well-formed template: "),
        ("{{ title.project | nosuch }}", "templates/derivations.docx:1:1: it is not a well-formed template: "),
        ("{{ ''.__class__.__mro__ }}", "templates/derivations.docx:1:1: an expression in it is not allowed: "),
        ("{{ title.clear() }}", "templates/derivations.docx:1:1: "),
        ("{{ range(999999999) | list }}", "templates/derivations.docx:1:1: an expression in it is not allowed: range() takes at most"),
        ("{{ 1 / 0 }}", "templates/derivations.docx:1:1: an expression in it cannot be computed: "),
        ("{{ lipsum() }}", 'templates/derivations.docx:1:1: it uses the field "lipsum", which does not exist'),
    ],
)
def test_a_template_that_cannot_be_used_gets_one_clear_message(tmp_path, expression, expected):
    message = _message(tmp_path / "templates", expression, title={"project": "a project"})
    assert message.startswith(expected)
    assert "\n" not in message


def test_a_file_that_is_no_docx_is_refused(tmp_path):
    path = tmp_path / "derivations.docx"
    for content in (b"", b"no archive", b"PK\x05\x06" + bytes(18)):
        path.write_bytes(content)
        with pytest.raises(ProblemsError, match="cannot be read as a DOCX file"):
            filled_docx(path, {}, PROPERTIES)
    with pytest.raises(ProblemsError, match="there is no such file"):
        filled_docx(tmp_path / "absent.docx", {}, PROPERTIES)


def test_a_loop_that_ends_in_another_place_is_refused_and_loses_nothing(tmp_path):
    document = Document()
    table = document.add_table(rows=2, cols=1)
    table.cell(0, 0).text = "{%tr for x in items %}"
    table.cell(1, 0).text = "{{ x }}"
    document.add_paragraph("{% endfor %} after")
    path = tmp_path / "derivations.docx"
    document.save(path)
    with pytest.raises(ProblemsError, match="does not end in the paragraph, row or cell"):
        filled_docx(path, {"items": ["a", "b"]}, PROPERTIES)


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        ("A & B < C > D", "A & B < C > D"),
        ("{{ 7*7 }} {% for x in y %} {# c #}", "{{ 7*7 }} {% for x in y %} {# c #}"),
        ("{_{ v }_} {_% v %_}", "{_{ v }_} {_% v %_}"),
        ("]]> <script> </w:t></w:r>", "]]> <script> </w:t></w:r>"),
        ("a\x0bb\x00c\fd\x07e\ufffef", "abcdef"),
        ("lone \ud800 surrogate", "lone  surrogate"),
        ("two\nlines", "two\nlines"),
        ("Ω ° √ ≤ ✓ é 李", "Ω ° √ ≤ ✓ é 李"),
    ],
)
def test_what_a_field_holds_is_printed_as_text(tmp_path, value, printed):
    assert _filled(tmp_path / "templates", "{{ field }}", "after", field=value) == [printed, "after"]


@pytest.mark.needs_program("soffice")
def test_a_word_processor_opens_it_and_shows_the_numbers(sheet, tmp_path):
    short = replace(sheet, groups=tuple(replace(group, blocks=group.blocks[:2]) for group in sheet.groups))
    (tmp_path / "c.docx").write_bytes(derivations_docx(short))
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    command = ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(tmp_path / "c.docx")]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    pages = list(pypdfium2.PdfDocument(tmp_path / "c.pdf"))
    texts = [page.get_textpage().get_text_range() for page in pages]
    assert all(sheet.document_id in text for text in texts)
    assert all(f"Page {number} of {len(pages)}" in text for number, text in enumerate(texts, start=1))
    printed = re.sub(r"\s+", "", "".join(texts))
    checks = [check for group in short.groups for block in group.blocks for check in block.checks if check.computed and check.limit]
    for check in checks:
        assert re.sub(r"\s+", "", f"{check.computed}{check.relation}{check.limit}") in printed
