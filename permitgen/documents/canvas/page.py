"""A page: its size in mm, its shapes, and what a reader's program calls it."""

from __future__ import annotations

from dataclasses import dataclass

from permitgen.documents.canvas.shapes import Shape
from permitgen.documents.canvas.styles import MM_PER_INCH


@dataclass(frozen=True, slots=True)
class Page:
    """``title`` is the line in the outline (none when empty); ``label`` the page's own number, for example ``E-601``."""

    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]
    title: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class Document:
    """Pages with what a program that opens the file shows about it."""

    pages: tuple[Page, ...]
    title: str
    subject: str = ""
    author: str = ""
    keywords: tuple[str, ...] = ()
    language: str = "en-US"


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A sheet of paper in mm, upright or lying as the numbers say."""

    name: str
    width_mm: float
    height_mm: float

    def turned(self) -> PaperSize:
        """Return the same paper lying instead of upright, or the other way round."""
        return PaperSize(self.name, self.height_mm, self.width_mm)


def _inches(name: str, width_in: float, height_in: float) -> PaperSize:
    return PaperSize(name, width_in * MM_PER_INCH, height_in * MM_PER_INCH)


# ASME Y14.1 (inch sizes), the architectural sizes of the National CAD Standard, ISO 216.
LETTER = _inches("letter", 8.5, 11)
TABLOID = _inches("tabloid", 11, 17)
ANSI_B = _inches("ANSI B", 17, 11)
ANSI_C = _inches("ANSI C", 22, 17)
ANSI_D = _inches("ANSI D", 34, 22)
ARCH_C = _inches("Arch C", 24, 18)
ARCH_D = _inches("Arch D", 36, 24)
A4 = PaperSize("A4", 210.0, 297.0)
