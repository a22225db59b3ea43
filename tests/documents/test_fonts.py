"""The bundled fonts: measured heights, widths, outlines and licenses, against fontTools and against rendered pixels."""

import io

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from permitgen.documents.canvas.colors import BLACK
from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.styles import capitals
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.fonts.faces import (
    CONDENSED_BOLD,
    FACES,
    MONO,
    NARROW_BOLD,
    SANS,
    MissingGlyphError,
    missing_glyphs,
    require_glyphs,
    spelled_for,
)
from permitgen.documents.fonts.subset import subset_bytes

FLAT_CAPITALS = "EHITZ"
DPI = 600


def _heights(font):
    glyphs, characters = font.getGlyphSet(), font.getBestCmap()
    for letter in FLAT_CAPITALS:
        pen = BoundsPen(glyphs)
        glyphs[characters[ord(letter)]].draw(pen)
        yield pen.bounds[3] / font["head"].unitsPerEm


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_cap_height_is_that_of_the_lowest_flat_capital(face):
    assert face.cap_height == pytest.approx(min(_heights(TTFont(face.path))), abs=1e-9)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_cap_height_in_pixels(face):
    """A capital H of 10 mm at 600 dpi: the ink in one column through its left stem; of a slanted one, the inked rows."""
    style = capitals(face, 10.0, BLACK)
    image = page_image(Page(30, 30, (Text(5, 20, "H", style),)), DPI).convert("L")
    if "Italic" in face.name:
        rows = [min(image.getpixel((x, y)) for x in range(image.width)) for y in range(image.height)]
        assert sum(255 - level for level in rows) / 255 / DPI * 25.4 == pytest.approx(10.0, abs=0.06)
        return
    font = TTFont(face.path)
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord("H")]].draw(pen)
    within_stem = (pen.bounds[0] / font["head"].unitsPerEm + 0.042) * style.size_mm
    column = round((5 + within_stem) / 25.4 * DPI)
    measured = sum(255 - image.getpixel((column, y)) for y in range(image.height)) / 255 / DPI * 25.4
    assert measured == pytest.approx(10.0, abs=0.02)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_widths_and_outlines_agree_with_fonttools(face):
    font = TTFont(face.path)
    characters, em = font.getBestCmap(), font["head"].unitsPerEm
    assert face.advance_by_character == {chr(code): font["hmtx"][name][0] / em for code, name in characters.items()}
    for code, name in characters.items():
        points = [point for contour in face.font.contours(face.font.characters[code]) for point in contour]
        glyph = font["glyf"][name]
        expected = glyph.getCoordinates(font["glyf"])[0] if glyph.numberOfContours else []
        assert len(points) == len(expected)
        assert all(abs(x - ex) < 1.01 and abs(y - ey) < 1.01 for (x, y, _), (ex, ey) in zip(points, expected, strict=True))


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_license_lies_beside_the_font_and_allows_embedding(face):
    text = (face.path.parent / face.license).read_text("utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    assert TTFont(face.path)["OS/2"].fsType == 0, "installable embedding, Open Font Format OS/2.fsType"


def test_label_faces_are_not_too_narrow_and_not_too_thin():
    """O at least 55 % as wide as I is tall, stroke 10 to 30 % of the height: ADA Standards 703.5.4 and 703.5.7, from memory."""
    for face in (CONDENSED_BOLD, NARROW_BOLD):
        font = face.font
        left, _, right, _ = font.bounds(font.characters[ord("O")])
        stem_left, _, stem_right, top = font.bounds(font.characters[ord("I")])
        assert (right - left) / top >= 0.55
        assert 0.10 <= (stem_right - stem_left) / top <= 0.30


def test_figures_are_tabular():
    for face in (SANS, MONO, CONDENSED_BOLD):
        assert len({face.advance_by_character[digit] for digit in "0123456789"}) == 1


def test_documents_have_the_signs_of_the_trade():
    assert missing_glyphs("Ω ° § √ ≤ ≥ · µ φ Δ ′ ″ ≈ ≠ − ½ × ÷ ² – — “ ” é ñ", SANS) == ()


def test_same_sign_under_another_code_point():
    assert spelled_for("4.9 \u2126, 10 \u03bcF", SANS) == "4.9 \u2126, 10 \u03bcF"
    assert spelled_for("10\u202fA", CONDENSED_BOLD) == "10\u00a0A"


def test_missing_glyph_gives_one_clear_sentence():
    with pytest.raises(MissingGlyphError) as caught:
        require_glyphs("Wang 王 & ☎", SANS)
    message = str(caught.value)
    assert message.count("\n") == 0
    assert "IBM Plex Sans has no glyph for '王' (U+738B), '☎' (U+260E)" in message


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
def test_subset_is_a_font_with_the_same_glyphs(face):
    text = "ÉQU 0123 ½"
    font, whole = TTFont(io.BytesIO(subset_bytes(face, text))), TTFont(face.path)
    assert set(font.getBestCmap()) == {ord(character) for character in text}
    for code in font.getBestCmap():
        one, other = BoundsPen(font.getGlyphSet()), BoundsPen(whole.getGlyphSet())
        font.getGlyphSet()[font.getBestCmap()[code]].draw(one)
        whole.getGlyphSet()[whole.getBestCmap()[code]].draw(other)
        assert one.bounds == other.bounds
    assert len(subset_bytes(face, text)) < face.path.stat().st_size / 4
    assert subset_bytes(face, text) == subset_bytes(face, "".join(reversed(text)))
