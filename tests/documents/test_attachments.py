"""Attached documents: appended as they are, listed and found; what cannot be appended is refused with one message."""

import hashlib
import importlib.util
import io
import os
import random
import re
import subprocess
import sys
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, NumberObject, TextStringObject

from permitgen.cli.main import cli
from permitgen.package import attached_files as attached_files_module
from permitgen.package.attached_files import _NotAppendableError, _page_count, attached_files, page_counts
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_files
from permitgen.project.load import load_project
from permitgen.reading.problems import ProblemsError
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
HOUSE = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
A4_PT = (595, 842)  # ISO 216: 210 by 297 mm, at 72 points to the inch
LETTER_TURNED_PT = (792, 612)  # ANSI A, lying: 11 by 8.5 in


def _pdf(*sizes, change=None):
    writer = pypdf.PdfWriter()
    for width, height in sizes:
        writer.add_blank_page(width, height)
    if change is not None:
        change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _encrypted(writer):
    writer.encrypt(user_password="open", owner_password="own", algorithm="RC4-128")


def _with_signature_field(writer, *, signed):
    """Add a signature field as ISO 32000-1, 12.7.4.5, has it; it is signed where it has a value."""
    field = DictionaryObject({NameObject("/FT"): NameObject("/Sig"), NameObject("/T"): TextStringObject("approval")})
    if signed:
        signature = {NameObject("/Type"): NameObject("/Sig"), NameObject("/ByteRange"): ArrayObject([NumberObject(0)] * 4)}
        field[NameObject("/V")] = writer._add_object(DictionaryObject(signature))
    form = DictionaryObject({NameObject("/Fields"): ArrayObject([writer._add_object(field)]), NameObject("/SigFlags"): NumberObject(3)})
    writer.root_object[NameObject("/AcroForm")] = writer._add_object(form)


def _project(folder, files, names=None):
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content)
    rows = "".join(f'  - {{title: "Paper {n}", file: {name}}}\n' for n, name in enumerate(names or files, start=1))
    (folder / "project.yaml").write_text(f"{HOUSE}attachments:\n{rows}", "utf-8")
    return folder


def _plan_set(folder):
    return plan_set_files(open_project(folder))["plan_set.pdf"]


def _outline(reader):
    flat = []
    pending = list(reader.outline)
    while pending:
        item = pending.pop(0)
        if isinstance(item, list):
            pending = [*item, *pending]
        else:
            flat.append((item.title, reader.get_destination_page_number(item)))
    return flat


@pytest.fixture(scope="module")
def two_papers(tmp_path_factory):
    files = {"letter.pdf": _pdf(A4_PT), "sheets.pdf": _pdf(LETTER_TURNED_PT, A4_PT)}
    folder = _project(tmp_path_factory.mktemp("papers") / "p", files)
    return files, pypdf.PdfReader(io.BytesIO(_plan_set(folder)))


def test_attached_pages_follow_the_sheets_in_their_own_size(two_papers):
    _, reader = two_papers
    sizes = [(round(page.mediabox.width), round(page.mediabox.height)) for page in reader.pages]
    assert sizes[-3:] == [A4_PT, LETTER_TURNED_PT, A4_PT]
    assert set(sizes[:-3]) == {(1224, 792)}  # ANSI B, 17 by 11 in


def test_each_attachment_has_its_line_in_the_outline(two_papers):
    _, reader = two_papers
    count = len(reader.pages)
    assert _outline(reader)[-2:] == [("Paper 1", count - 3), ("Paper 2", count - 2)]


def test_the_outline_goes_by_discipline(two_papers):
    """Designators of the US National CAD Standard (from memory): G, C, A, S, E in this order, what is attached last."""
    _, reader = two_papers
    above = [item.title for item in reader.outline if not isinstance(item, list)]
    order = ["General", "Civil", "Architectural", "Structural", "Electrical", "Attached documents"]
    assert above == [title for title in order if title in above]
    below = [item for item in reader.outline if isinstance(item, list)]
    assert len(below) == len(above)
    for title, sheets in zip(above[:-1], below[:-1], strict=True):
        assert {sheet.title[0] for sheet in sheets} == {title[0]}
    assert [sheet.title for sheet in below[-1]] == ["Paper 1", "Paper 2"]


def test_the_divider_lists_title_file_pages_and_digest(two_papers):
    files, reader = two_papers
    (text,) = [
        text
        for text in (re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages)
        if "ATTACHED DOCUMENTS" in text and "SHA-256" in text
    ]
    for number, (name, pages) in enumerate((("letter.pdf", 1), ("sheets.pdf", 2)), start=1):
        digest = hashlib.sha256(files[name]).hexdigest()[:16]
        assert re.search(rf"Paper {number}: {re.escape(name)}, {pages} p., SHA-256 begins {digest}", text), text


def test_attached_pages_are_numbered_as_the_index_names_them(two_papers):
    _, reader = two_papers
    assert reader.page_labels[-3:] == ["Z-001, 1, page 1", "Z-001, 2, page 1", "Z-001, 2, page 2"]


def test_the_index_on_the_cover_lists_them(two_papers):
    _, reader = two_papers
    text = re.sub(r"\s+", " ", reader.pages[0].extract_text())
    assert "Paper 1" in text
    assert "Paper 2" in text


@pytest.mark.nightly
def test_without_attachments_there_is_no_divider(tmp_path):
    (tmp_path / "project.yaml").write_text(HOUSE, "utf-8")
    assert "Z-001" not in pypdf.PdfReader(io.BytesIO(_plan_set(tmp_path))).page_labels


@pytest.mark.nightly
def test_the_same_papers_give_the_same_bytes(tmp_path):
    files = {"letter.pdf": _pdf(A4_PT)}
    assert _plan_set(_project(tmp_path / "one", files)) == _plan_set(_project(tmp_path / "two", files))


def test_another_paper_gives_another_fingerprint(tmp_path):
    first = open_project(_project(tmp_path / "one", {"letter.pdf": _pdf(A4_PT)})).fingerprint
    assert open_project(_project(tmp_path / "two", {"letter.pdf": _pdf(LETTER_TURNED_PT)})).fingerprint != first


def test_a_form_with_an_empty_signature_field_can_be_attached(tmp_path):
    paper = _pdf(A4_PT, change=lambda writer: _with_signature_field(writer, signed=False))
    loaded = load_project(_project(tmp_path / "p", {"form.pdf": paper}))
    (found,) = attached_files(loaded)
    assert (found.title, found.file, found.data) == ("Paper 1", "form.pdf", paper)
    assert page_counts(loaded, [found]) == (1,)


REFUSED = {
    "missing": (None, "there is no"),
    "encrypted": (_pdf(A4_PT, change=_encrypted), "is encrypted; attach a copy without a password"),
    "signed": (_pdf(A4_PT, change=lambda writer: _with_signature_field(writer, signed=True)), "is signed"),
    "empty": (b"", "is not a PDF that can be read"),
    "text": (b"This is a letter, not a PDF.\n" * 40, "is not a PDF that can be read"),
    "head only": (b"%PDF-1.7\n", "is not a PDF that can be read"),
    "half": (_pdf(A4_PT)[:200], "is not a PDF that can be read"),
    "zeros": (b"%PDF-1.7\n" + bytes(2000) + b"\nstartxref\n0\n%%EOF\n", "is not a PDF that can be read"),
    "a page that is no page": (_pdf(A4_PT).replace(b"/Type /Page\n", b"/Type /Pane\n"), "has no pages"),
    "no pages": (_pdf(), "has no pages"),
    "pages that are a number": (re.sub(rb"/Pages \d+ 0 R", b"/Pages 7     ", _pdf(A4_PT)), "is not a PDF that can be read"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_cannot_be_appended_is_one_message_and_nothing_is_written(tmp_path, monkeypatch, capsys, name):
    content, words = REFUSED[name]
    files = {} if content is None else {"paper.pdf": content}
    folder = _project(tmp_path / "p", files, names=["paper.pdf"])
    before = sorted(folder.rglob("*"))
    monkeypatch.chdir(folder)
    with pytest.raises(SystemExit) as done:
        cli.main(["build", "project.yaml", "--only", "plan_set"], prog_name="permitgen")
    printed = capsys.readouterr()
    assert done.value.code == 2, printed.err
    assert printed.out == ""
    line = len(HOUSE.splitlines()) + 2
    (message,) = printed.err.splitlines()
    assert re.match(rf"project\.yaml:{line}:\d+: attachments\[1\]\.file: ", message), message
    assert "paper.pdf" in message
    assert words in message
    assert sorted(folder.rglob("*")) == before


def test_a_cipher_of_a_library_that_is_absent_is_no_crash(tmp_path):
    """AES needs a library that the program does not: without it the file is refused like any other encrypted one."""
    aes = _pdf(A4_PT, change=lambda writer: writer.encrypt("", "own", algorithm="AES-256"))
    folder = _project(tmp_path / "p", {"paper.pdf": aes})
    blocked = "import sys; sys.modules['cryptography'] = sys.modules['Crypto'] = None; sys.argv[1:] = ['build', 'project.yaml']; "
    command = [sys.executable, "-c", f"{blocked}from permitgen.cli.main import main; main()"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert re.fullmatch(r'project\.yaml:.*"paper\.pdf" is encrypted; attach a copy without a password\n', done.stderr)


@pytest.mark.parametrize("seed", range(12))
def test_damaged_bytes_are_refused_or_appended_and_never_crash(seed):
    """Each damage is one the reader of the library either repairs or refuses; no other error may come through."""
    chance = random.Random(seed)
    whole = (DEMO / "attachments" / "battery_unit.pdf").read_bytes() if seed % 3 == 0 else _pdf(A4_PT)
    refused = 0
    for _ in range(60):
        damaged = bytearray(whole)
        for _ in range(chance.choice((1, 2, 5, 20))):
            damaged[chance.randrange(len(damaged))] = chance.choice(b"0123456789<>[]/() Rx\x00")
        try:
            assert _page_count(bytes(damaged)) > 0
        except _NotAppendableError:
            refused += 1
    assert refused < 60


def test_two_bad_papers_are_two_messages(tmp_path):
    folder = _project(tmp_path / "p", {"text.pdf": b"no PDF"}, names=["text.pdf", "gone.pdf"])
    loaded = load_project(folder)
    with pytest.raises(ProblemsError, match="there is no file"):
        attached_files(loaded)
    (folder / "gone.pdf").write_bytes(b"no PDF either")
    with pytest.raises(ProblemsError) as caught:
        page_counts(loaded, attached_files(loaded))
    assert len(caught.value.problems) == 2


def test_check_does_not_look_into_attachments(tmp_path, monkeypatch):
    """Their bytes are part of the fingerprint; what is in them concerns the plan set alone."""
    monkeypatch.setattr(pypdf, "PdfReader", None)
    assert open_project(_project(tmp_path / "p", {"text.pdf": b"no PDF"})).fingerprint


def test_somebody_is_told_which_attachment_is_being_read(tmp_path):
    opened = open_project(_project(tmp_path / "p", {"letter.pdf": _pdf(A4_PT), "sheets.pdf": _pdf(LETTER_TURNED_PT)}))
    told = []
    page_counts(opened.loaded, opened.attached, told.append)
    assert told == ["Reading attachment 1 of 2, letter.pdf", "Reading attachment 2 of 2, sheets.pdf"]


def test_too_many_pages_are_refused_at_once(tmp_path):
    loaded = load_project(_project(tmp_path / "p", {"many.pdf": _pdf(*[A4_PT] * 1200), "more.pdf": _pdf(*[A4_PT] * 900)}))
    with pytest.raises(ProblemsError) as caught:
        page_counts(loaded, attached_files(loaded))
    (problem,) = caught.value.problems
    assert problem.where == "attachments[2].file"
    assert problem.message == '"more.pdf" has too many pages; all attachments together have at most 2000'


def test_too_many_bytes_and_a_pipe_are_refused_unread(tmp_path, monkeypatch):
    folder = _project(tmp_path / "p", {"a.pdf": b"x" * 60, "b.pdf": b"x" * 60})
    monkeypatch.setattr(attached_files_module, "MOST_BYTES", 100)
    with pytest.raises(ProblemsError, match="all attachments together are larger"):
        attached_files(load_project(folder))
    (folder / "a.pdf").unlink()
    os.mkfifo(folder / "a.pdf")
    with pytest.raises(ProblemsError, match="is a pipe, a socket or a device"):
        attached_files(load_project(folder))


def test_a_paper_outside_the_project_folder_is_refused(tmp_path):
    (tmp_path / "letter.pdf").write_bytes(_pdf(A4_PT))
    folder = _project(tmp_path / "p", {}, names=["../letter.pdf"])
    done = subprocess.run([sys.executable, "-m", "permitgen", "check", "."], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "outside the project folder" in done.stderr


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("make_demo_attachments", ROOT / "docs" / "make_demo_attachments.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _text(content):
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content)).replace("\r", "")


def test_the_papers_of_the_demo_are_what_the_script_makes(script):
    """Their words: a newer PDF library may write the same page with other bytes."""
    for name, content in script.attachments().items():
        assert _text((DEMO / "attachments" / name).read_bytes()) == _text(content), name


def test_the_letter_of_the_demo_says_what_the_project_says():
    """9.2 kA at the service point, letter of 2026-02-11: as demo_project/project.yaml states them under UTIL."""
    text = _text((DEMO / "attachments" / "fault_current_letter.pdf").read_bytes())
    assert "9.2 kA" in text
    assert "2026-02-11" in text
    assert "18 Quillfern Lane, Harrow Bend" in text


def test_the_sheet_of_the_battery_leaves_no_fact_of_the_catalog_out(script):
    from permitgen.reading.reader import read_text

    entry = read_text(whole_text(DEMO / "project.yaml"), "project.yaml").data["catalog"]["battery-13"]
    assert set(entry) - {"kind", "name", "terminals"} == set(script.BATTERY_FACTS)
    assert set(entry["terminals"]) == {"output"}
    assert set(entry["terminals"]["output"]) == set(script.TERMINAL_FACTS)
    text = _text((DEMO / "attachments" / "battery_unit.pdf").read_bytes())
    for value in (
        "240 V",
        "22 A",
        "20 A",
        "12.4 kWh",
        "lithium iron phosphate",
        "30 A",
        "40 A",
        "3R",
        "12 AWG to 6 AWG",
        "25 lbf-in",
        "265 lb",
    ):
        assert value in text
