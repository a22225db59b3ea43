"""What labels are printed on: sheets to cut, single label forms, continuous tape. Generic sizes, common practice."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from permitgen.documents.canvas.page import A4, LETTER, TABLOID, PaperSize
from permitgen.documents.canvas.styles import MM_PER_INCH

_SHEET_MARGIN_MM = 6.35
_SINGLE_MARGIN_MM = 1.5
SHEET_HEAD_MM, SHEET_FOOT_MM = 8.0, 20.0
"""Height at the head of a sheet for its title and registration marks, and at its foot for the measuring bars."""
_LONGEST_TAPE_LABEL_MM = 1000.0


class LabelDoesNotFitError(ValueError):
    """A label cannot be set on a stock at the letter height that binds it. Letters are never made smaller, nor cut off."""


@dataclass(frozen=True, slots=True)
class LabelStock:
    """A stock by its whole size in mm; ``margin_mm`` cannot be printed. A tape has a width (``height_mm``) and no length.

    A roll has a width (``width_mm``) and no length: a label lies across it or along it.

    ``across`` and ``along`` are the factors of a printer's correction: what is drawn larger needs more room.
    """

    name: str
    kind: Literal["sheet", "single", "tape", "roll"]
    width_mm: float
    height_mm: float
    margin_mm: float
    across: float = 1.0
    along: float = 1.0

    def for_printer(self, across: float, along: float) -> LabelStock:
        """Return the stock for a printer that needs a correction; labels are then set to fit in when drawn larger."""
        return replace(self, across=max(across, 1.0), along=max(along, 1.0))

    @property
    def label_areas(self) -> tuple[tuple[float, float], ...]:
        """Width and height of the largest labels, upright and lying, the roomier one first."""
        width, height = (self.width_mm - 2 * self.margin_mm) / self.across, (self.height_mm - 2 * self.margin_mm) / self.along
        match self.kind:
            case "sheet":
                return ((width, height - SHEET_HEAD_MM - SHEET_FOOT_MM),)
            case "single":
                return ((max(width, height), min(width, height)), (min(width, height), max(width, height)))
            case "roll":
                return ((width, _LONGEST_TAPE_LABEL_MM), (_LONGEST_TAPE_LABEL_MM, width))
            case "tape":
                return ((_LONGEST_TAPE_LABEL_MM, height),)


def sheet(paper: PaperSize) -> LabelStock:
    """Return paper or film in sheets, labels to be cut out."""
    return LabelStock(paper.name, "sheet", paper.width_mm, paper.height_mm, _SHEET_MARGIN_MM)


def single(name: str, width_mm: float, height_mm: float) -> LabelStock:
    """Return a form that carries one label."""
    return LabelStock(name, "single", width_mm, height_mm, _SINGLE_MARGIN_MM)


def tape(width_mm: float) -> LabelStock:
    """Return continuous tape of a width; each label is as long as it needs to be."""
    return LabelStock(f"{width_mm:g} mm tape", "tape", _LONGEST_TAPE_LABEL_MM, width_mm, _SINGLE_MARGIN_MM if width_mm > 20 else 0.5)


def roll(width_mm: float) -> LabelStock:
    """Return a continuous roll of a width, cut behind each label; a die-cut roll is a form of its label's size."""
    return LabelStock(f"{width_mm:g} mm roll", "roll", width_mm, _LONGEST_TAPE_LABEL_MM, _SINGLE_MARGIN_MM)


LETTER_SHEET = sheet(LETTER)
A4_SHEET = sheet(A4)
TABLOID_SHEET = sheet(TABLOID)
SINGLE_4_BY_6 = single("4 x 6 in", 4 * MM_PER_INCH, 6 * MM_PER_INCH)
TAPES: tuple[LabelStock, ...] = tuple(
    tape(width) for width in (6, 9, 12, 18, 24, MM_PER_INCH, 36, 2 * MM_PER_INCH, 57, 62, 3 * MM_PER_INCH, 80, 4 * MM_PER_INCH, 102)
)
STOCKS: dict[str, LabelStock] = {stock.name: stock for stock in (SINGLE_4_BY_6, LETTER_SHEET, A4_SHEET, TABLOID_SHEET, *TAPES)}
