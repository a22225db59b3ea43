"""Pages of shapes: true size, true colors, text that stays text, and files that are the same each time."""

import io
import math
import os
import subprocess
import sys

import pypdfium2
import pytest
from pypdf import PdfReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from shapely.geometry import LineString, Polygon

from permitgen.documents.canvas.bounds import Box, bounds, outside, placed_boxes, text_box, text_overlaps
from permitgen.documents.canvas.colors import BLACK, SAFETY_COLORS, SAFETY_RED, WHITE, contrast, gray
from permitgen.documents.canvas.figures import arc, circle, hatching, polygon, rectangle, rounded_rectangle
from permitgen.documents.canvas.page import A4, ANSI_B, ARCH_D, LETTER, Document, Page
from permitgen.documents.canvas.shape_list import shape_lines
from permitgen.documents.canvas.shapes import Bookmark, Group, Line, Link, Picture, Polyline, Text, Transform, moved, rotated, scaled
from permitgen.documents.canvas.signs import SIGNS
from permitgen.documents.canvas.styles import FINE, HEAVY, THIN, Pen, capitals, points
from permitgen.documents.canvas.text_flow import Span, balanced_lines, break_lines, flow_lines, keep_together
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.to_png import page_image, png_bytes
from permitgen.documents.fonts.faces import CONDENSED_BOLD, FACES, MONO, SANS, MissingGlyphError

HOSTILE = ("{{ 7*7 }} {% for x in y %}", "<script>alert(1)</script>", "A & B", "]]>", "</text>", "\"quoted\" 'too'", "(a) \\ b", "%PDF")


def _document(*shapes, paper=LETTER, title=""):
    return Document((Page(paper.width_mm, paper.height_mm, shapes, title=title),), title="A & B <title>")


def _pdf_text(data):
    return pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range()


@pytest.mark.parametrize("paper", [LETTER, A4, ANSI_B, ARCH_D], ids=lambda paper: paper.name)
def test_page_has_its_size(paper):
    """Letter 8.5 by 11 in, A4 210 by 297 mm (ISO 216), ANSI B 17 by 11 in, Arch D 36 by 24 in."""
    box = PdfReader(io.BytesIO(pdf_bytes(_document(paper=paper)))).pages[0].mediabox
    expected = {"letter": (8.5, 11), "A4": (210 / 25.4, 297 / 25.4), "ANSI B": (17, 11), "Arch D": (36, 24)}[paper.name]
    assert float(box.width) / 72 == pytest.approx(expected[0], rel=1e-4)
    assert float(box.height) / 72 == pytest.approx(expected[1], rel=1e-4)


def test_lengths_on_the_rendered_page():
    """A rectangle of 100 by 50 mm at (20, 30): its edges found in the pixels at 300 dpi, within 0.2 % of 100 mm."""
    image = page_image(_document(rectangle(20, 30, 100, 50, fill=BLACK)).pages[0], 300).convert("L")
    box = image.point(lambda level: 255 if level < 128 else 0).getbbox()
    left, top, right, bottom = (pixels / 300 * 25.4 for pixels in box)
    assert (left, top) == (pytest.approx(20, abs=0.1), pytest.approx(30, abs=0.1))
    assert right - left == pytest.approx(100, rel=0.002)
    assert bottom - top == pytest.approx(50, rel=0.002)


@pytest.mark.parametrize("pen", [FINE, THIN, HEAVY, Pen(2.0, SAFETY_RED)], ids=lambda pen: f"{pen.width_mm}")
def test_line_weights(pen):
    """Plotted widths measured by the ink across a line at 1200 dpi."""
    image = page_image(Page(20, 20, (Line(0, 10, 20, 10, Pen(pen.width_mm)),)), 1200).convert("L")
    column = image.width // 2
    measured = sum(255 - image.getpixel((column, y)) for y in range(image.height)) / 255 / 1200 * 25.4
    assert measured == pytest.approx(pen.width_mm, abs=0.006)


@pytest.mark.parametrize("color", SAFETY_COLORS.values(), ids=lambda color: color.name)
def test_colors_on_the_rendered_page(color):
    image = page_image(Page(20, 20, (rectangle(0, 0, 20, 20, fill=color),)), 100)
    found = image.getpixel((40, 40))
    assert all(abs(one - other) <= 2 for one, other in zip(found, (color.red, color.green, color.blue), strict=True))


def test_contrast():
    """WCAG 2.2: black on white 21; the gray #767676 on white is the lightest that reaches 4.5 (well known, from memory)."""
    assert contrast(BLACK, WHITE) == pytest.approx(21)
    assert contrast(gray("", 0x76), WHITE) == pytest.approx(4.54, abs=0.01)
    assert contrast(gray("", 0x77), WHITE) < 4.5


def test_black_is_printed_with_black_ink_only():
    stream = PdfReader(io.BytesIO(pdf_bytes(_document(rectangle(0, 0, 9, 9, fill=BLACK))))).pages[0].get_contents().get_data()
    assert b"0 g" in stream
    assert b" rg" not in stream


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_text_width_agrees_with_reportlab(face):
    pdfmetrics.registerFont(TTFont("reference-" + face.name, str(face.path)))
    for text in ("WARNING", "The conductor carries 50 A at 75 °C", "Ø Ä é"):
        assert text_width(text, points(face, 10)) == pytest.approx(pdfmetrics.stringWidth(text, "reference-" + face.name, 10) / 72 * 25.4)


def test_only_our_fonts_and_all_embedded():
    shapes = [Text(20, 20 + 8 * index, face.name, points(face, 12)) for index, face in enumerate(FACES)]
    reader = PdfReader(io.BytesIO(pdf_bytes(_document(*shapes))))
    fonts = [font.get_object() for font in reader.pages[0]["/Resources"]["/Font"].get_object().values()]
    assert len(fonts) == len(FACES)
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in fonts)


def test_what_a_reader_program_is_told():
    page = Page(
        100,
        100,
        (Bookmark("one", "First <&>", 10), Link(1, 1, 9, 9, url="https://example.org/?a=1&b=2"), Link(1, 20, 9, 9, bookmark="one")),
        label="E-601",
    )
    reader = PdfReader(io.BytesIO(pdf_bytes(Document((page, page), "T & <t>", "S", "A", ("k1", "k2")))))
    root = reader.trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/Lang"] == "en-US"
    assert reader.metadata.title == "T & <t>"
    assert reader.page_labels == ["E-601", "E-601"]
    assert reader.outline[0].title == "First <&>"
    first, second = (annotation.get_object() for annotation in reader.pages[0]["/Annots"])
    assert first["/A"]["/URI"] == "https://example.org/?a=1&b=2"
    assert second["/Subtype"] == "/Link"


def test_a_link_never_carries_a_script():
    with pytest.raises(ValueError, match="is not an address to link to"):
        Link(0, 0, 1, 1, url="javascript:alert(1)")


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(text):
    assert text in _pdf_text(pdf_bytes(_document(Text(20, 20, text, points(SANS, 10)))))


def test_missing_glyph_stops_the_page():
    with pytest.raises(MissingGlyphError, match="U\\+738B"):
        pdf_bytes(_document(Text(20, 20, "王", points(SANS, 10))))
    with pytest.raises(MissingGlyphError, match="U\\+000A"):
        pdf_bytes(_document(Text(20, 20, "two\nlines", points(SANS, 10))))


def test_signs_are_drawn_where_the_face_lacks_them():
    style = points(CONDENSED_BOLD, 20)
    for sign in SIGNS:
        image = page_image(Page(30, 30, (Text(5, 20, sign, style),)), 100).convert("L")
        box = image.point(lambda level: 255 if level < 128 else 0).getbbox()
        assert box is not None
        left, right = box[0] / 100 * 25.4, box[2] / 100 * 25.4
        assert 5 - 0.3 <= left < right <= 5 + text_width(sign, style) + 0.3
    words = Text(5, 20, "☐ Torque ⚠ done", style)
    assert "Torque" in _pdf_text(pdf_bytes(_document(words)))


SCRIPT = """
import hashlib
from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.to_png import png_bytes
from permitgen.documents.canvas.to_svg import svg_text
from permitgen.documents.fonts.faces import FACES
page = Page(200, 200, tuple(Text(10, 10 + 9 * n, face.name + " ☐ Ω", points(face, 12)) for n, face in enumerate(FACES)), title="x")
for data in (pdf_bytes(Document((page, page), "t")), svg_text(page).encode(), png_bytes(page, 100)):
    print(hashlib.sha256(data).hexdigest())
"""


def test_same_bytes_whatever_the_environment():
    def run(**changes):
        return subprocess.run(
            [sys.executable, "-c", SCRIPT], env={**os.environ, **changes}, capture_output=True, text=True, check=True
        ).stdout

    first = run(PYTHONHASHSEED="1", TZ="UTC")
    assert first.count("\n") == 3
    assert first == run(PYTHONHASHSEED="2", TZ="Asia/Tokyo", SOURCE_DATE_EPOCH="1234567890", LANG="C")


def test_source_date_stays_in_the_environment(monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    pdf_bytes(_document())
    assert os.environ["SOURCE_DATE_EPOCH"] == "1"


def test_groups_transform_and_clip():
    """A 10 mm square turned by 45 degrees and cut to a window: edges found in the pixels."""
    square = Group((rectangle(-5, -5, 10, 10, fill=BLACK),), transform=moved(20, 20).after(rotated(45)), clip=rectangle(20, 0, 40, 40))
    image = page_image(Page(40, 40, (square,)), 300).convert("L").point(lambda level: 255 if level < 128 else 0)
    left, top, right, bottom = (pixels / 300 * 25.4 for pixels in image.getbbox())
    half_diagonal = 5 * 2**0.5
    assert (left, right) == (pytest.approx(20, abs=0.1), pytest.approx(20 + half_diagonal, abs=0.15))
    assert bottom - top == pytest.approx(2 * half_diagonal, abs=0.2)


def test_rotation_runs_counter_clockwise_as_seen():
    assert rotated(90).apply(1, 0) == (pytest.approx(0), pytest.approx(-1))
    assert rotated(90, 5, 5).apply(6, 5) == (pytest.approx(5), pytest.approx(4))
    twice = rotated(30).after(rotated(60))
    assert twice.apply(1, 0) == (pytest.approx(0, abs=1e-12), pytest.approx(-1))
    assert scaled(2, 3).after(moved(1, 1)).apply(0, 0) == (2, 3)


@pytest.mark.parametrize("rotation", [0, 90, 30])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_text_box_holds_the_ink(rotation, anchor):
    text = Text(40, 40, "Hg, Ångström", points(SANS, 14), anchor=anchor, rotation_deg=rotation)
    image = page_image(Page(80, 80, (text,)), 300).convert("L").point(lambda level: 255 if level < 128 else 0)
    ink = Box(*(pixels / 300 * 25.4 for pixels in image.getbbox()))
    assert text_box(text).grown(0.15).contains(ink)
    if rotation != 30:
        assert ink.grown(0.9).contains(text_box(text)), "the box is no looser than the side bearings"


def test_bounds_of_curves_agree_with_pixels():
    shapes = (
        circle(20, 20, 8, pen=Pen(1.0)),
        arc(20, 20, 12, start_deg=10, end_deg=100, pen=Pen(0.5)),
        rounded_rectangle(5, 30, 12, 6, radius=2, fill=BLACK),
    )
    image = page_image(Page(40, 40, shapes), 300).convert("L").point(lambda level: 255 if level < 200 else 0)
    left, top, right, bottom = (pixels / 300 * 25.4 for pixels in image.getbbox())
    box = bounds(shapes)
    assert (box.left, box.top, box.right, box.bottom) == (
        pytest.approx(left, abs=0.12),
        pytest.approx(top, abs=0.12),
        pytest.approx(right, abs=0.12),
        pytest.approx(bottom, abs=0.12),
    )


def test_overlaps_and_margins_are_found():
    style = points(SANS, 10)
    assert text_overlaps((Text(10, 10, "one", style), Text(12, 11, "two", style))) == (("one", "two"),)
    assert text_overlaps((Text(10, 10, "one", style), Text(10, 15, "two", style))) == ()
    page = Page(50, 50, (Line(1, 25, 49, 25, FINE), Text(20, 20, "in", style), Bookmark("a", "b", 0)))
    assert outside(page, 0.5) == ()
    assert len(outside(page, 3)) == 1
    clipped = Group((Line(-10, 5, 30, 5, FINE),), clip=rectangle(0, 0, 20, 20))
    assert [box.width for _, box in placed_boxes((clipped,))] == [pytest.approx(20)]


@pytest.mark.parametrize("angle", [0, 45, 90, -30, 137])
def test_hatching_fills_the_polygon_and_nothing_else(angle):
    """A concave outline; shapely as the judge of inside and outside."""
    outline = ((0, 0), (40, 0), (40, 40), (20, 20), (0, 40))
    area = Polygon(outline)
    lines = hatching(outline, pen=FINE, spacing=2, angle_deg=angle)
    strokes = [LineString([(line.x1, line.y1), (line.x2, line.y2)]) for line in lines]
    assert all(area.buffer(1e-6).contains(stroke) for stroke in strokes)
    assert sum(stroke.length for stroke in strokes) * 2 == pytest.approx(area.area, rel=0.08)


def test_circle_is_round():
    """The four curves stay within 0.03 % of the radius."""
    path = circle(0, 0, 100, fill=BLACK)
    for segment in path.segments[1:-1]:
        assert (segment.x**2 + segment.y**2) ** 0.5 == pytest.approx(100, rel=1e-9)
    image = page_image(Page(30, 30, (circle(15, 15, 10, fill=BLACK),)), 600).convert("L")
    ink = sum(count * (255 - level) for level, count in enumerate(image.histogram())) / 255 * (25.4 / 600) ** 2
    assert ink == pytest.approx(math.pi * 100, rel=0.002)


def test_picture_is_placed_upright():
    page = Page(20, 20, (rectangle(0, 0, 20, 10, fill=BLACK),))
    picture = Picture(10, 10, 20, 20, png_bytes(page, 100), "half black")
    image = page_image(Page(40, 40, (picture,)), 100).convert("L")
    assert image.getpixel((79, 55)) < 30, "the black half is on top"
    assert image.getpixel((79, 100)) > 220


def test_one_bit_pictures_have_two_levels_and_their_resolution():
    from PIL import Image

    image = Image.open(io.BytesIO(png_bytes(Page(50.8, 25.4, (Text(5, 20, "WARNING", capitals(CONDENSED_BOLD, 6)),)), 300, one_bit=True)))
    assert image.mode == "1"
    assert image.size == (600, 300)
    assert image.info["dpi"][0] == pytest.approx(300, abs=0.1)


def test_lines_break_at_phrases_and_never_overflow():
    style = points(SANS, 10)
    text = "Conductor of 6 AWG copper, 75 °C terminals, DO NOT TOUCH the busbar, see https://example.org/very/long/address/of/a/record"
    for width in (20, 33, 47, 80, 120):
        lines = break_lines(text, style, width, ("DO NOT TOUCH",))
        assert all(text_width(line, style) <= width + 1e-6 for line in lines)
        assert "".join(lines).replace(" ", "") == text.replace(" ", ""), "no letter is lost"
        if width >= 33:
            assert sum("DO NOT TOUCH" in line for line in lines) == 1
            assert sum("6 AWG" in line for line in lines) == 1
            assert sum("75 °C" in line for line in lines) == 1


def test_numbers_stay_with_their_units():
    assert keep_together("200 A at 35 ft and 120 V") == "200\u00a0A at 35\u00a0ft and 120\u00a0V"
    assert keep_together("item 3 A-frame") == "item 3\u00a0A-frame"
    assert keep_together("5 apples") == "5 apples"


def test_balanced_lines_are_as_few_and_more_even():
    style = capitals(CONDENSED_BOLD, 5)
    text = "RAPID SHUTDOWN SWITCH FOR SOLAR PV SYSTEM"
    greedy, even = break_lines(text, style, 100), balanced_lines(text, style, 100)
    assert len(greedy) == len(even)
    assert max(text_width(line, style) for line in even) <= max(text_width(line, style) for line in greedy)
    assert balanced_lines(text, style, 60, ("SOLAR PV SYSTEM",))[-1].endswith("SOLAR PV SYSTEM")


def test_styled_words_break_as_one():
    body, small = points(SANS, 10), points(MONO, 7)
    (line,) = flow_lines((Span("V", body), Span("d", small, -0.6), Span(" = 5.29 V", body)), 80)
    assert line.text == "Vd= 5.29 V"
    assert line.width == pytest.approx(text_width("V", body) + text_width("d", small) + text_width(" = 5.29 V", body))


def test_a_page_as_text_tells_every_shape_in_one_line():
    shapes = (
        Line(0, 0, 10, 5.125, FINE),
        Group((Text(1, 2, "tag & 'x'", points(SANS, 10)), rectangle(0, 0, 1, 1, fill=SAFETY_RED)), transform=moved(3, 4)),
        Link(0, 0, 1, 1, bookmark="b"),
        Bookmark("b", "B", 1),
        Picture(0, 0, 1, 1, b"123", "says"),
    )
    lines = list(shape_lines(shapes))
    assert lines[0] == "line 0.00,0.00 10.00,5.12 pen 0.18 black"
    assert lines[1] == "group [1 0 0 1 3 4]"
    assert lines[2].startswith("  text 1.00,2.00 start 0° IBM Plex Sans 3.53 black")
    assert [line.split()[0] for line in lines] == ["line", "group", "text", "path", "link", "bookmark", "picture"]
    assert all("\n" not in line for line in lines)


def test_engine_of_shapes_writes_nothing_of_its_own():
    """An empty page has no ink; transforms of nothing are nothing."""
    assert bounds(()) is None
    assert page_image(Page(20, 20, (Group((), transform=Transform()),)), 50).convert("L").getextrema() == (255, 255)
    with pytest.raises(ValueError, match="has no page"):
        pdf_bytes(Document((), "empty"))
    assert polygon(((0, 0), (1, 0), (1, 1))).segments
    assert Polyline(((0, 0), (1, 1)), FINE).points
