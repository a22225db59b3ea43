"""How wide a text is, from the advance widths of the embedded face: the one place where text is measured."""

from __future__ import annotations

from functools import lru_cache

from permitgen.documents.canvas.signs import advance_of, drawn_signs, unprintable
from permitgen.documents.canvas.styles import TextStyle
from permitgen.documents.fonts.faces import Face, require_glyphs, spelled_for


@lru_cache(maxsize=65536)
def _width_in_em(text: str, face: Face) -> float:
    known = face.advance_by_character
    return sum(known[character] for character in spelled_for(text, face))


def text_width(text: str, style: TextStyle) -> float:
    """Return the advance width of one line in mm, without kerning, as the writers set it.

    Raises MissingGlyphError for a character that the face cannot print and that is not drawn as a sign.
    """
    try:
        return _width_in_em(text, style.face) * style.size_mm + len(text) * style.tracking_mm
    except KeyError:
        require_printable(text, style.face)
        return sum(advance_of(character, style) for character in spelled_for(text, style.face))


def require_printable(text: str, face: Face) -> None:
    """Raise MissingGlyphError when ``text`` holds a character that is neither a glyph of ``face`` nor a drawn sign."""
    if unprintable(text, face):
        signs = drawn_signs(text, face)
        require_glyphs("".join(character for character in text if character not in signs), face)
