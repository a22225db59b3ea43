"""SVG files: well formed, complete by themselves, the same geometry as the PDF, and text that stays text."""

import re
import subprocess
import xml.etree.ElementTree as ET

import pytest
from PIL import Image, ImageChops, ImageFilter

from permitgen.documents.canvas.bounds import bounds
from permitgen.documents.canvas.colors import BLACK, SAFETY_RED, SAFETY_YELLOW
from permitgen.documents.canvas.figures import circle, rectangle, rounded_rectangle
from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import Bookmark, Group, Line, Link, Picture, Polyline, Text, moved, rotated
from permitgen.documents.canvas.styles import DOTS, Pen, capitals, points
from permitgen.documents.canvas.to_png import page_image, png_bytes
from permitgen.documents.canvas.to_svg import escaped, svg_text
from permitgen.documents.fonts.faces import CONDENSED_BOLD, MONO, SANS, MissingGlyphError

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = ("{{ 7*7 }}", "<script>alert(1)</script>", "A & B", "]]>", "</text></svg>", "\"q\" 'a'", "&amp; &lt;")

PAGE = Page(
    120,
    80,
    (
        rectangle(5, 5, 110, 70, pen=Pen(0.5)),
        rounded_rectangle(10, 10, 40, 20, radius=3, fill=SAFETY_YELLOW, pen=Pen(0.35)),
        circle(70, 20, 8, fill=SAFETY_RED),
        Line(10, 40, 110, 40, Pen(0.7, dash_mm=(4, 2))),
        Polyline(((10, 45), (30, 60), (50, 45)), Pen(0.9, dash_mm=(DOTS[0], 1.8), cap="round")),
        Text(60, 55, "WARNING Ω 480 V", capitals(CONDENSED_BOLD, 5), anchor="middle"),
        Text(110, 70, "end of line", points(SANS, 9), anchor="end"),
        Text(15, 72, "turned", points(MONO, 9), rotation_deg=90),
        Text(20, 72, "☐ signs ⚠ ⏚", points(SANS, 9)),
        Group((rectangle(-4, -4, 8, 8, fill=BLACK),), transform=moved(95, 20).after(rotated(20)), clip=rectangle(95, 0, 20, 40)),
        Link(10, 10, 40, 20, url="https://example.org/?a=1&b=2"),
        Bookmark("here", "Here", 10),
    ),
    title="All <shapes> & more",
)


def test_size_and_title():
    root = ET.fromstring(svg_text(PAGE))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("120mm", "80mm", "0 0 120 80")
    assert root.find(f"{SVG}title").text == "All <shapes> & more"


def test_nothing_is_fetched_from_elsewhere():
    """All links to resources are data; addresses stand only in links for the reader."""
    text = svg_text(PAGE)
    root = ET.fromstring(text)
    for element in root.iter():
        for name, value in element.attrib.items():
            if name.endswith("href") and element.tag != f"{SVG}a":
                assert value.startswith("data:")
    assert re.findall(r"url\((?!data:|#)", text) == []


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_text_stays_text(words):
    root = ET.fromstring(svg_text(Page(200, 20, (Text(5, 10, words, points(SANS, 10)),), title=words)))
    assert [element.text for element in root.iter(f"{SVG}text")] == [words]
    assert root.find(f"{SVG}title").text == words
    assert not list(root.iter(f"{SVG}script"))


def test_what_xml_forbids_is_replaced_in_attributes():
    assert escaped("a\x00b\ud800c<") == "a\ufffdb\ufffdc&lt;"


def test_missing_glyph_stops_the_drawing():
    for text_as in ("text", "outlines", "glyphs"):
        with pytest.raises(MissingGlyphError, match="U\\+738B"):
            svg_text(Page(20, 20, (Text(5, 10, "王", points(SANS, 10)),)), text_as=text_as)


def test_positions_are_those_of_the_shapes():
    root = ET.fromstring(svg_text(PAGE))
    line = root.find(f"{SVG}line")
    assert [float(line.get(name)) for name in ("x1", "y1", "x2", "y2")] == [10, 40, 110, 40]
    text = next(element for element in root.iter(f"{SVG}text") if element.text.startswith("WARNING"))
    assert (float(text.get("x")), float(text.get("y")), text.get("text-anchor")) == (60, 55, "middle")
    assert float(text.get("font-size")) * CONDENSED_BOLD.cap_height == pytest.approx(5, abs=1e-3)


def test_outlines_hold_no_text_and_have_the_same_extent():
    words = (Text(60, 55, "WARNING", capitals(CONDENSED_BOLD, 5), anchor="middle"),)
    root = ET.fromstring(svg_text(Page(120, 80, words), text_as="outlines"))
    assert not list(root.iter(f"{SVG}text"))
    assert not list(root.iter(f"{SVG}style"))
    across, down = zip(*(place for path in root.iter(f"{SVG}path") for place in places(path.get("d"))), strict=True)
    box = bounds(words)
    assert box.left <= min(across) < box.left + 0.6
    assert box.right - 0.6 < max(across) <= box.right
    assert max(down) == pytest.approx(55, abs=0.15)


def places(data):
    """Yield the places that path data leads through, in absolute coordinates, by the grammar of SVG 1.1, section 8.3."""
    x = y = 0.0
    for command, told in re.findall(r"([MLHVCZlhvq])([^MLHVCZlhvq]*)", data):
        numbers = [float(number) for number in re.findall(r"-?\d*\.?\d+", told)]
        at = (x, y) if command.islower() else (0.0, 0.0)
        if command in "Hh":
            numbers = [numbers[0], y - at[1]]
        elif command in "Vv":
            numbers = [x - at[0], numbers[0]]
        for step in range(0, len(numbers), 2):
            x, y = at[0] + numbers[step], at[1] + numbers[step + 1]
            yield x, y


def test_a_letter_stands_once_and_is_placed_where_its_outline_was():
    """Each placed letter is moved and scaled as its line says; the outlines of ``outlines`` are at the same places."""
    words = (Text(60, 55, "WARNING", capitals(CONDENSED_BOLD, 5), anchor="middle"), Text(9, 30, "AW", points(SANS, 12), rotation_deg=0))
    page = Page(120, 80, words)
    root = ET.fromstring(svg_text(page, text_as="glyphs"))
    glyphs = {path.get("id"): path.get("d") for path in root.iter(f"{SVG}path")}
    assert len(glyphs) == len(set("WARNING")) + len("AW")
    found = []
    for line in root.iter(f"{SVG}g"):
        left, top, scale = map(float, re.fullmatch(r"translate\((\S+) (\S+)\) scale\((\S+)\)", line.get("transform")).groups())
        for use in line.iter(f"{SVG}use"):
            name = use.get("{http://www.w3.org/1999/xlink}href").removeprefix("#")
            across = [left + (float(use.get("x")) + x) * scale for x, _y in places(glyphs[name])]
            found.append((min(across), max(across), max(top + y * scale for _x, y in places(glyphs[name]))))
    drawn = ET.fromstring(svg_text(page, text_as="outlines"))
    outlines = [list(places(path.get("d"))) for path in drawn.iter(f"{SVG}path")]
    for text, (one, other) in zip(outlines, ((0, 7), (7, 9)), strict=True):
        letters = found[one:other]
        assert min(x for x, _y in text) == pytest.approx(letters[0][0], abs=0.1)  # control points of either kind of curve lie elsewhere
        assert max(x for x, _y in text) == pytest.approx(letters[-1][1], abs=0.1)
        assert max(y for _x, y in text) == pytest.approx(max(letter[2] for letter in letters), abs=0.1)


def test_same_bytes_each_time():
    assert svg_text(PAGE) == svg_text(PAGE)


def _chromium(tmp_path, name, text, size, dpi=192):
    (tmp_path / f"{name}.svg").write_text(text, "utf-8")
    width, height = round(size[0] / 25.4 * 96), round(size[1] / 25.4 * 96)
    subprocess.run(
        [
            "chromium",
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            f"--force-device-scale-factor={dpi / 96:g}",
            "--hide-scrollbars",
            f"--screenshot={tmp_path / name}.png",
            f"--window-size={width},{height}",
            f"file://{tmp_path / name}.svg",
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    return Image.open(tmp_path / f"{name}.png").convert("RGB")


@pytest.mark.sample(every=2)
@pytest.mark.needs_program("chromium")
@pytest.mark.parametrize("text_as", ["text", "outlines", "glyphs"])
def test_a_browser_shows_the_same_picture_as_the_pdf(tmp_path, text_as):
    picture = Picture(80, 60, 10, 10, png_bytes(Page(10, 10, (rectangle(0, 0, 10, 5, fill=BLACK),)), 100), "half black")
    page = Page(PAGE.width_mm, PAGE.height_mm, (*PAGE.shapes, picture))
    seen = _chromium(tmp_path, text_as, svg_text(page, text_as=text_as), (page.width_mm, page.height_mm))
    printed = page_image(page, 192)
    size = (min(seen.width, printed.width), min(seen.height, printed.height))
    assert abs(seen.width - printed.width) <= 2
    assert _apart(seen.crop((0, 0, *size)), printed.crop((0, 0, *size))) < 40
    shifted = ImageChops.offset(seen.crop((0, 0, *size)), 4, 0)
    assert _apart(shifted, printed.crop((0, 0, *size))) > 80, "a shift of half a millimeter would be seen"


def _apart(one, other):
    """The largest difference once the edges, which each renderer softens in its own way, are smoothed."""
    smooth = ImageFilter.GaussianBlur(2.5)
    return ImageChops.difference(one.filter(smooth), other.filter(smooth)).convert("L").getextrema()[1]
