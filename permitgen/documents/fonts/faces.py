"""The faces that ship with the program: file, license, height of the capitals, widths, and which characters they have.

The cap height of a face is the height of its lowest flat capital (E, H, I, T, Z), as a part of the em, so that every
letter reaches a height computed from it. The table below is checked against the font files by the tests.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from permitgen.documents.fonts.truetype import TrueTypeFile

_FILES = Path(__file__).parent / "files"

# The same sign under two code points; a face that lacks one is asked for the other (Unicode normalization form KC
# joins the first two pairs; the narrow no-break space becomes a no-break space).
_SAME_SIGN = {"\u2126": "\u03a9", "\u03a9": "\u2126", "\u00b5": "\u03bc", "\u03bc": "\u00b5", "\u202f": "\u00a0", "\u2009": "\u00a0"}


class MissingGlyphError(ValueError):
    """A text holds a character that the face cannot print. An empty box is never printed in its place."""

    def __init__(self, message: str, characters: tuple[str, ...] = ()) -> None:
        self.characters = characters
        super().__init__(message)


@dataclass(frozen=True)
class Face:
    """One font file. ``cap_height`` is a part of the em; ``file`` and ``license`` are names within ``fonts/files``."""

    name: str
    file: str
    license: str
    cap_height: float

    def __repr__(self) -> str:
        return f"Face({self.name!r})"

    def __hash__(self) -> int:
        """Of the name alone, which tells faces apart: every measured text asks for it."""
        return hash(self.name)

    @property
    def path(self) -> Path:
        """Where the font file lies."""
        return _FILES / self.file

    @cached_property
    def font(self) -> TrueTypeFile:
        """The decoded font file, read when first asked for."""
        return TrueTypeFile(self.path.read_bytes())

    @cached_property
    def advance_by_character(self) -> dict[str, float]:
        """Advance width of each character the face has, as a part of the em."""
        em, advances = self.font.units_per_em, self.font.advances
        return {chr(code): advances[glyph] / em for code, glyph in self.font.characters.items()}

    @cached_property
    def ascent(self) -> float:
        """Height of the line above the baseline as a part of the em."""
        return self.font.ascent_descent[0] / self.font.units_per_em

    def size_of_caps(self, cap_height_mm: float) -> float:
        """Return the em size in mm at which the flat capitals stand ``cap_height_mm`` tall."""
        return cap_height_mm / self.cap_height


SANS = Face("IBM Plex Sans", "IBMPlexSans-Regular.ttf", "OFL-IBMPlex.txt", 0.698)
SANS_ITALIC = Face("IBM Plex Sans Italic", "IBMPlexSans-Italic.ttf", "OFL-IBMPlex.txt", 0.698)
SANS_SEMIBOLD = Face("IBM Plex Sans SemiBold", "IBMPlexSans-SemiBold.ttf", "OFL-IBMPlex.txt", 0.698)
SANS_BOLD = Face("IBM Plex Sans Bold", "IBMPlexSans-Bold.ttf", "OFL-IBMPlex.txt", 0.698)
MONO = Face("IBM Plex Mono", "IBMPlexMono-Regular.ttf", "OFL-IBMPlex.txt", 0.698)
CONDENSED_MEDIUM = Face("Roboto Condensed Medium", "RobotoCondensed-Medium.ttf", "OFL-RobotoCondensed.txt", 0.7109375)
CONDENSED_BOLD = Face("Roboto Condensed Bold", "RobotoCondensed-Bold.ttf", "OFL-RobotoCondensed.txt", 0.7109375)
CONDENSED_BOLD_ITALIC = Face("Roboto Condensed Bold Italic", "RobotoCondensed-BoldItalic.ttf", "OFL-RobotoCondensed.txt", 0.7109375)
NARROW_BOLD = Face("Barlow Condensed Bold", "BarlowCondensed-Bold.ttf", "OFL-BarlowCondensed.txt", 0.7)

FACES: tuple[Face, ...] = (
    SANS,
    SANS_ITALIC,
    SANS_SEMIBOLD,
    SANS_BOLD,
    MONO,
    CONDENSED_MEDIUM,
    CONDENSED_BOLD,
    CONDENSED_BOLD_ITALIC,
    NARROW_BOLD,
)


@lru_cache(maxsize=8192)
def spelled_for(text: str, face: Face) -> str:
    """Return ``text`` with each sign under the code point by which ``face`` has it (ohm, micro, narrow spaces)."""
    known = face.advance_by_character
    if all(character in known for character in text):
        return text
    return "".join(_known_twin(character, known) for character in text)


def _known_twin(character: str, known: dict[str, float]) -> str:
    twin = _SAME_SIGN.get(character, character)
    return twin if character not in known and twin in known else character


def missing_glyphs(text: str, face: Face) -> tuple[str, ...]:
    """Return the characters of ``text`` that ``face`` has no glyph for, each once, in order."""
    known = face.advance_by_character
    return tuple(dict.fromkeys(character for character in spelled_for(text, face) if character not in known))


def require_glyphs(text: str, face: Face) -> None:
    """Raise MissingGlyphError, with one clear sentence, when ``face`` cannot print all of ``text``."""
    missing = missing_glyphs(text, face)
    if missing:
        signs = ", ".join(_described(character) for character in missing)
        raise MissingGlyphError(f'"{text}": {face.name} has no glyph for {signs}; write it with letters that the face has', missing)


def _described(character: str) -> str:
    shown = f"{character!r} " if character.isprintable() else ""
    return f"{shown}(U+{ord(character):04X})"
