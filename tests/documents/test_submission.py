"""``submission/`` holds the package once more as a portal asks for it; the package itself keeps its names.

What portals ask for (names without signs, a largest size, no layers, no scripts, one file a sheet) is what departments publish of their
electronic review; common practice, no published source.
"""

import io
import json
import re
import shutil
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, TextStringObject

from permitgen.documents.pdf_parts import LayersError, page_count, portal_ready, split_to_fit
from permitgen.documents.submission_pdf import PhotoError, clean_photo
from permitgen.package.build import build_package
from permitgen.package.opened_project import open_project
from permitgen.package.submission_job import photo_pages, submission_files, submission_folder
from permitgen.package.verify import verify_package
from permitgen.reading.problems import ProblemsError
from tests.documents import made_forms

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "cli" / "small_house.yaml"
NAME = re.compile(r"[A-Za-z0-9._ -]{1,120}")


def _text(content):
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content))


@pytest.fixture(scope="module")
def handed_in(demo, demo_package):
    return submission_files(demo, demo_package)


def test_the_demo_is_handed_in_under_the_names_that_are_asked_for(handed_in, demo_package):
    assert set(handed_in) == {
        "2026-0142 Plans.pdf",
        "2026-0142 Calculations.pdf",
        "2026-0142 Reply to the review.docx",
        "2026-0142 Application for an electrical permit.pdf",
        "2026-0142 Cover sheet- request to connect.pdf",
        "submission_log.pdf",
    }
    assert handed_in["2026-0142 Plans.pdf"] == demo_package["plan_set.pdf"]
    assert handed_in["2026-0142 Calculations.pdf"] == demo_package["calculations.pdf"]


def test_every_file_is_small_enough_and_has_neither_layers_nor_scripts(handed_in):
    for name, content in handed_in.items():
        assert NAME.fullmatch(name), name
        assert len(content) < 10_000_000, name
        if name.endswith(".pdf"):
            root = PdfReader(io.BytesIO(content)).trailer["/Root"]
            assert "/OCProperties" not in root, name
            assert "/AA" not in root, name
            assert b"/JavaScript" not in content, name


def test_the_log_lists_files_and_what_was_sent(handed_in):
    text = _text(handed_in["submission_log.pdf"])
    assert "2026-0142 Plans.pdf" in text
    assert "2026-03-02" in text
    assert "Building Department, counter" in " ".join(text.split())


SUBMISSION = '  submission: {{names: "{{permit_number}}_{{document}}", {more}}}\n'


def _project(tmp_path, more="largest_file: 10 MB", *edits):
    text = SMALL.read_text("utf-8")
    jurisdiction = "jurisdiction: {name: Town of Harrow Bend, edition: 2023}\n"
    assert jurisdiction in text
    asked = SUBMISSION.format(more=more)
    text = text.replace(jurisdiction, f"jurisdiction:\n  name: Town of Harrow Bend\n  edition: 2023\n{asked}")
    for old, new in (("project:\n", "project:\n  permit_number: P-7\n"), *edits):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (tmp_path / "project.yaml").write_text(text, "utf-8")
    return open_project(tmp_path)


@pytest.fixture
def gate_is_open(monkeypatch):
    """As if nothing were violated: the small house has open ends of its own, which are not judged here."""
    monkeypatch.setattr("permitgen.package.submission_job.band_of", lambda _opened: "")


PLANS = {"calculations.pdf": made_forms.flat, "plan_set.pdf": made_forms.flat}


def _package():
    return {name: make() for name, make in PLANS.items()}


@pytest.mark.usefixtures("gate_is_open")
def test_documents_are_joined_with_an_outline(tmp_path):
    opened = _project(tmp_path, "files: {All: [plan_set, calculations]}")
    content = submission_files(opened, _package())["P-7_All.pdf"]
    assert page_count(content) == 4
    assert [line.title for line in PdfReader(io.BytesIO(content)).outline if not isinstance(line, list)] == ["Plan set", "Calculations"]


@pytest.mark.usefixtures("gate_is_open")
def test_a_file_that_is_too_large_is_split_by_pages(tmp_path):
    opened = _project(tmp_path, "largest_file: 0.0012 MB, files: {Plans: [plan_set]}")
    whole = _package()["plan_set.pdf"]
    assert len(whole) > 1200
    found = submission_files(opened, _package())
    assert set(found) == {"P-7_Plans part 1 of 2.pdf", "P-7_Plans part 2 of 2.pdf", "submission_log.pdf"}
    assert "CUSTOMER" in _text(found["P-7_Plans part 1 of 2.pdf"])
    assert all(len(found[name]) <= 1200 for name in found if "part" in name)


@pytest.mark.usefixtures("gate_is_open")
@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("files: {Plans: [plan_sett]}", 'the package has no document "plan_sett"; did you mean "plan_set"?'),
        ("largest_file: 0.0001 MB", "no split of its pages is as small"),
    ],
)
def test_what_cannot_be_handed_in_so_is_said(tmp_path, more, said):
    opened = _project(tmp_path, more)
    with pytest.raises(ProblemsError, match=re.escape(said)):
        submission_files(opened, _package())


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("largest_file: 10", '"10" is not a size of a file; write it as 10 MB'),
        ("page_size: ANSI E", '"ANSI E" is not one of'),
        ("plan_set: two files", '"two files" is not one of'),
    ],
)
def test_a_mistake_in_what_is_asked_has_its_place(tmp_path, more, said):
    with pytest.raises(ProblemsError) as refused:
        _project(tmp_path, more)
    assert said in str(refused.value)
    assert "jurisdiction.submission" in str(refused.value)


def test_a_pattern_without_a_document_or_with_another_word_is_refused(tmp_path):
    with pytest.raises(ProblemsError) as refused:
        _project(tmp_path, "largest_file: 10 MB", ("{permit_number}_{document}", "{permit_nmber}"))
    assert '"{permit_nmber}" is not filled in; did you mean "permit_number"?' in str(refused.value)
    assert "the pattern has no {document}" in str(refused.value)


@pytest.mark.nightly
def test_one_file_a_sheet_and_another_size_of_sheets(tmp_path):
    shutil.copytree(ROOT / "demo_project", tmp_path / "demo", ignore=shutil.ignore_patterns("package", "submission"))
    file = tmp_path / "demo" / "project.yaml"
    wanted = 'submission: {names: "{document}", page_size: ANSI D, plan_set: one file a sheet, files: {Plans: [plan_set]}}'
    text = file.read_text("utf-8")
    assert 'submission: {names: "{permit_number} {document}", largest_file: 10 MB}' in text
    file.write_text(text.replace('submission: {names: "{permit_number} {document}", largest_file: 10 MB}', wanted), "utf-8")
    found = submission_files(open_project(file), {"plan_set.pdf": b""})
    sheets = {name: content for name, content in found.items() if re.match(r"[A-Z]-\d{3}", name)}
    assert any("One-line diagram" in name for name in sheets)
    for name, content in sheets.items():
        page = pypdfium2.PdfDocument(content)
        assert len(page) == 1
        if not name.startswith("Z"):
            assert page[0].get_size() == pytest.approx((34 * 72, 22 * 72), abs=1), name
            assert name.split()[0] in _text(content), name


def test_a_shut_gate_hands_nothing_in(tmp_path):
    """Copper of 14 AWG behind a 30 A device (240.4(D)(3): 15 A)."""
    opened = _project(tmp_path, "largest_file: 10 MB", ("conductors: {size: 10 AWG,", "conductors: {size: 14 AWG,"))
    found = submission_files(opened, _package())
    assert set(found) == {"submission_log.pdf"}
    assert "NOT FOR PERMIT: shut" in _text(found["submission_log.pdf"])


def _photo():
    picture = Image.new("RGB", (400, 300), (120, 150, 90))
    exif = picture.getexif()
    exif[0x010F] = "Invented camera"
    exif.get_ifd(0x8825)[1] = "N"
    written = io.BytesIO()
    picture.save(written, "JPEG", exif=exif)
    return written.getvalue()


def test_photos_stand_on_a_sheet_of_their_own_and_tell_no_place(tmp_path):
    (tmp_path / "meter.jpg").write_bytes(_photo())
    opened = _project(tmp_path, "largest_file: 10 MB", ("catalog:\n", "attachments: [{title: The meter, file: meter.jpg}]\ncatalog:\n"))
    assert not opened.attached
    content = photo_pages(opened)["site_photos.pdf"]
    assert "The meter" in _text(content)
    assert b"Invented camera" not in clean_photo(_photo())[0]
    assert b"Exif" not in clean_photo(_photo())[0]
    assert photo_pages(opened)["site_photos.pdf"] == content


def test_what_is_no_photo_is_said(tmp_path):
    (tmp_path / "meter.jpg").write_bytes(b"not a picture")
    opened = _project(tmp_path, "largest_file: 10 MB", ("catalog:\n", "attachments: [{title: The meter, file: meter.jpg}]\ncatalog:\n"))
    with pytest.raises(ProblemsError, match="is not a photo that can be read"):
        photo_pages(opened)
    with pytest.raises(PhotoError):
        clean_photo(b"GIF89a")


def _with_script(*, layers=False):
    def change(writer):
        writer.root_object[NameObject("/OpenAction")] = DictionaryObject(
            {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("1")}
        )
        field = made_forms.field_of(writer, "owner")
        field[NameObject("/AA")] = DictionaryObject({NameObject("/K"): DictionaryObject({NameObject("/S"): NameObject("/JavaScript")})})
        if layers:
            writer.root_object[NameObject("/OCProperties")] = DictionaryObject({NameObject("/OCGs"): ArrayObject()})

    return made_forms.changed(made_forms.plain_form(), change)


def test_scripts_are_taken_out_and_layers_refused():
    content = portal_ready(_with_script())
    assert b"JavaScript" not in content
    assert "owner" in PdfReader(io.BytesIO(content)).get_fields()
    plain = made_forms.plain_form()
    assert portal_ready(plain) == plain
    with pytest.raises(LayersError):
        portal_ready(_with_script(layers=True))


def test_a_page_that_is_too_large_alone_is_not_split():
    writer = PdfWriter()
    writer.add_blank_page(612, 792)
    written = io.BytesIO()
    writer.write(written)
    assert split_to_fit(written.getvalue(), 10) == ()


def test_build_writes_it_beside_the_package_which_keeps_its_names(tmp_path):
    opened = _project(tmp_path, "files: {Findings: [findings.json], Calculations: [calculations]}")
    built = build_package(opened, tmp_path / "package")
    folder = tmp_path / "submission"
    assert submission_folder(tmp_path / "package") == folder
    assert submission_folder(tmp_path / "out") == tmp_path / "out-submission"
    assert {path.name for path in folder.iterdir()} == {*built.submission, "manifest.json"}
    assert (tmp_path / "package" / "plan_set.pdf").exists()
    outputs = json.loads((folder / "manifest.json").read_text("utf-8"))["outputs"]
    assert {each["path"] for each in outputs} == set(built.submission)
    assert verify_package(folder).none
