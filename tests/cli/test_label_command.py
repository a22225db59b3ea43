"""``permitgen labels`` as a user runs it: every stock and printer, and one clear message for everything that cannot be printed."""

import io
import re
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from tests.cli.in_process import run

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "demo_project")
MM = 25.4


def _run(tmp_path, *arguments, out="labels.pdf", project=DEMO):
    file = tmp_path / out
    done = run("labels", project, "--out", file, *arguments)
    return done, file.read_bytes() if file.exists() else b""


def _sizes_mm(pdf):
    return {tuple(round(side / 72 * MM, 1) for side in page.get_size()) for page in pypdfium2.PdfDocument(pdf)}


@pytest.mark.parametrize(
    ("stock", "sizes"),
    [
        ("letter", {(215.9, 279.4)}),
        ("a4", {(210.0, 297.0)}),
        ("tabloid", {(279.4, 431.8)}),
        ("8 x 10 in", {(254.0, 203.2), (203.2, 254.0)}),
        ("200 mm x 300 mm", {(300.0, 200.0), (200.0, 300.0)}),
    ],
)
def test_every_label_on_a_stock_of_a_size(tmp_path, stock, sizes):
    """Sizes of the papers: ANSI/ASME Y14.1 A and B, ISO 216 A4; forms as written. True within 0.2 %."""
    done, pdf = _run(tmp_path, "--stock", stock)
    assert done.returncode == 0, done.stderr
    assert "does not fit" not in done.stderr
    assert _sizes_mm(pdf) <= sizes


@pytest.mark.parametrize("width", ["24 mm", "1.5 in", "61.5 mm", "4 in"])
def test_tape_of_any_width(tmp_path, width):
    done, pdf = _run(tmp_path, "--stock", f"tape {width}", "--only", "rapid-shutdown-switch")
    assert done.returncode == 0, done.stderr
    (number, unit) = width.split()
    ((_length, height),) = _sizes_mm(pdf)
    assert height == pytest.approx(float(number) * (MM if unit == "in" else 1.0), rel=0.002)


@pytest.mark.parametrize("dpi", ["300", "600"])
def test_picture_for_a_thermal_printer(tmp_path, dpi):
    """One ink: black and white dots only; the whole width of the tape at the resolution that the file states."""
    arguments = ("--printing", "one-color", "--dpi", dpi, "--stock", "tape 62 mm", "--only", "line-load-energized-ESS1")
    done, png = _run(tmp_path, *arguments, out="label.png")
    assert done.returncode == 0, done.stderr
    image = Image.open(io.BytesIO(png))
    assert image.mode == "1"
    assert image.info["dpi"][0] == pytest.approx(float(dpi), rel=0.001)
    assert image.height == pytest.approx(62 / MM * float(dpi), abs=1)


def test_engraving_has_cut_and_engraved_strokes_apart(tmp_path):
    done, svg = _run(tmp_path, "--printing", "engraved", "--only", "sum-rule", out="label.svg")
    assert done.returncode == 0, done.stderr
    root = ET.fromstring(svg)
    name = "{http://www.w3.org/2000/svg}"
    assert [group.get("id") for group in root.findall(f"{name}g")] == ["layer-engrave", "layer-cut"]
    assert not list(root.iter(f"{name}text"))
    assert not list(root.iter(f"{name}style"))


def test_one_color_sheets_have_no_color(tmp_path):
    done, pdf = _run(tmp_path, "--printing", "one-color")
    assert done.returncode == 0, done.stderr
    page = pypdfium2.PdfDocument(pdf)[0].render(scale=0.5).to_pil().convert("RGB")
    assert all(max(color) - min(color) <= 4 for _count, color in page.getcolors(1 << 20))


def _bar_mm(pdf, words):
    """Length in mm of a bar of the first sheet: the longest unbroken dark run above its words."""
    page = pypdfium2.PdfDocument(pdf)[0]
    text = page.get_textpage()
    found = text.search(words)
    index, _count = found.get_next()
    image = page.render(scale=300 / 72).to_pil().convert("L")
    top = image.height - round(text.get_charbox(index)[3] * 300 / 72)
    longest = 0
    for y in range(top - 32, top):
        length = 0
        for x in range(image.width * 2 // 3):
            length = length + 1 if image.getpixel((x, y)) < 200 else 0
            longest = max(longest, length)
    return longest / 300 * MM - 0.3  # the end ticks are 0.3 mm wide, half of it beyond the end


def test_a_reading_of_the_bar_makes_the_next_print_true(tmp_path):
    """A printer that draws 4 in as 3.96 in: the bar is drawn 4 / 3.96 as long, so that this printer makes 4 in of it."""
    done, pdf = _run(tmp_path, "--measured", "3.96 in, 4 in")
    assert done.returncode == 0, done.stderr
    assert _bar_mm(pdf, "must measure 4 in") == pytest.approx(101.6 * 4 / 3.96, rel=0.002)
    done, pdf = _run(tmp_path)
    assert _bar_mm(pdf, "must measure 4 in") == pytest.approx(101.6, rel=0.002)


def test_a_page_to_measure_the_printer(tmp_path):
    done, pdf = _run(tmp_path, "--test-page", "--stock", "A4", "--measured", "3.98 in, 4.02 in")
    assert done.returncode == 0, done.stderr
    words = pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_range()
    assert "across 1.0050, along 0.9950" in words


def test_one_label_again_without_the_rest(tmp_path):
    done, pdf = _run(tmp_path, "--only", "ess-disconnect-ESS2", "--copies", "1")
    assert done.returncode == 0, done.stderr
    document = pypdfium2.PdfDocument(pdf)
    text = document[0].get_textpage().get_text_range()
    assert len(document) == 1
    assert text.count("ENERGY STORAGE SYSTEM") == 2
    assert "ESS1" not in text


@pytest.mark.parametrize(
    ("arguments", "out", "message"),
    [
        (["--stock", "sticker"], "a.pdf", r'--stock: "sticker" is not a stock; write letter, A4, tabloid, a size such as'),
        (["--stock", "4x6"], "a.pdf", r'--stock: "4x6" has no unit; .*did you mean "4x6 in"\?'),
        (["--stock", "tape 2 parsecs"], "a.pdf", r'the unit "parsecs" is not read'),
        (
            ["--stock", "tape 9 mm", "--only", "sum-rule"],
            "a.pdf",
            r"does not fit on 9 mm tape .* the smallest stock that takes it is [0-9]+ mm tape",
        ),
        pytest.param(
            ["--stock", "tape 9 mm"],
            "a.pdf",
            r"does not fit on 9 mm tape .* the smallest stock that takes it is [0-9]+ mm tape",
            marks=pytest.mark.nightly,
        ),
        (["--only", "sum-rle"], "a.pdf", r'no label is called "sum-rle"; did you mean "sum-rule"\?'),
        (["--only", "sum-rule"], "a.gif", r'--out: ".gif" is not a form of labels; forms: .pdf, .svg, .png'),
        ([], "a.svg", r"\.svg holds one label; choose it with --only"),
        (["--measured", "3 in"], "a.pdf", r"--measured: a printer correction of 1\.333 is not between 0\.95 and 1\.05"),
        (["--measured", "4"], "a.pdf", r'--measured: "4" needs a unit'),
        (["--measured", "4 in,4 in,4 in"], "a.pdf", r"--measured: give one reading, or two"),
        (["--measured", "3.9 in", "--only", "sum-rule"], "a.png", r"--measured corrects \.pdf only"),
        (["--with", "sum-rle"], "a.pdf", r'--with: no label is called "sum-rle"; did you mean "sum-rule"\?'),
        (["--except", "sum-rle"], "a.pdf", r'no label is called "sum-rle"; did you mean "sum-rule"\?'),
        (["--only", "sum-rule", "--except", "sum-rule"], "a.pdf", r"no label is left to print"),
    ],
)
def test_what_cannot_be_printed_is_one_message(tmp_path, arguments, out, message):
    done, content = _run(tmp_path, *arguments, out=out)
    assert done.returncode == 2
    assert re.search(message, done.stderr), done.stderr
    assert done.stderr.strip().count("\n") == 0
    assert content == b""


def test_a_letter_that_the_face_does_not_have_is_one_message(tmp_path):
    text = (ROOT / "demo_project" / "project.yaml").read_text("utf-8")
    folder = tmp_path / "project"
    shutil.copytree(ROOT / "demo_project", folder)
    (folder / "project.yaml").write_text(text.replace("left of the meter", "left of the 王 meter"), "utf-8")
    done, content = _run(tmp_path, project=folder)
    assert done.returncode == 2
    assert "has no glyph for '王' (U+738B)" in done.stderr
    assert content == b""


def _words(pdf):
    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def test_what_fits_is_printed_and_the_rest_is_listed_with_its_stock(tmp_path):
    """29 labels on 3 x 5 in: those that do not fit at the letter height that binds them are named with the smallest stock each needs."""
    done, pdf = _run(tmp_path, "--stock", "3x5 in")
    assert done.returncode == 0, done.stderr
    listed = re.findall(r"^label (\S+) at \S+: does not fit on 3 x 5 in .* the smallest stock that takes it is", done.stderr, re.MULTILINE)
    assert listed
    assert "REMOTELY CONTROLLED:" in _words(pdf)
    assert len(pypdfium2.PdfDocument(pdf)) + len(listed) == 29


def test_a_label_is_asked_for_and_another_left_out(tmp_path):
    """110.16 excepts dwellings; whoever wants the label gets it. One whose values nobody states says which it lacks."""
    done, pdf = _run(tmp_path, "--with", "arc-flash", "--with", "available-fault-current", "--except", "panel-directory")
    assert done.returncode == 0, done.stderr
    assert "ARC" in _words(pdf)
    assert "FAULT CURRENT" in _words(pdf) or "label available-fault-current: " in done.stderr
    assert "CIRCUIT DIRECTORY" not in _words(pdf)


@pytest.mark.parametrize("dpi", ["203", "300"])
def test_a_continuous_roll_is_as_wide_as_the_roll(tmp_path, dpi):
    arguments = ("--stock", "roll 4 in", "--dpi", dpi, "--printing", "one-color", "--only", "rapid-shutdown-switch")
    done, png = _run(tmp_path, *arguments, out="label.png")
    assert done.returncode == 0, done.stderr
    assert Image.open(io.BytesIO(png)).width == pytest.approx(4 * float(dpi), abs=1)
    done, pdf = _run(tmp_path, "--stock", "roll 4 in")
    assert {width for width, _height in _sizes_mm(pdf)} == {101.6}


def test_white_on_red_asks_for_red_stock_on_a_printer_of_one_color(tmp_path):
    """690.12(D)(2) and 690.56(C): white on red, reflective. Named with its size in the list, and without on the sheet."""
    done, pdf = _run(tmp_path, "--printing", "one-color", "--only", "rapid-shutdown-switch")
    found = re.search(r"label rapid-shutdown-switch at RSI: .* white ink on red reflective film, at least (\d+) by (\d+) mm", done.stderr)
    assert found, done.stderr
    assert "white ink on red reflective film" in _words(pdf)
    assert "red reflective" not in _run(tmp_path, "--only", "rapid-shutdown-switch")[0].stderr


@pytest.mark.parametrize("stock", ["tape 24 mm", "4x6 in", "roll 2 in", "1x2 in", "tape 12 mm"])
def test_bars_to_measure_the_printer_on_any_stock(tmp_path, stock):
    """A bar in each direction; a reading of a shorter bar names it."""
    done, pdf = _run(tmp_path, "--test-page", "--stock", stock, "--measured", "1.98 in of 2 in")
    assert done.returncode == 0, done.stderr
    assert len(re.findall(r"\d+ (?:in|mm)", _words(pdf))) == 2
