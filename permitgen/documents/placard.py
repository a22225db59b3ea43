"""Draws the directory placard true to size, on one plate or, where it says too much for one, on two.

It always fits: what is said is shortened by rule, the shortest change first, alike on all variants; then the directory moves to a plate of
its own. Nothing shortens what stays live, a wait, what is not enough or a handle, and no text is cut off or set smaller.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.documents.canvas.colors import SAFETY_RED, WHITE
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.page import Document, PaperSize
from permitgen.documents.canvas.page import Page as CanvasPage
from permitgen.documents.canvas.shapes import Group, Shape, Text, scaled
from permitgen.documents.canvas.styles import MM_PER_INCH, capitals
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.to_svg import svg_text
from permitgen.documents.fonts.faces import CONDENSED_BOLD, CONDENSED_MEDIUM
from permitgen.documents.gate_mark import marked_page
from permitgen.documents.placard_layout import (
    BETWEEN_STEPS,
    DESIGN_WIDTH_MM,
    LEAST_SPARE_MM,
    MARGIN,
    MOST_APART_MM,
    MOST_TALLER_MM,
    laid_out,
)
from permitgen.views.placard import PLATE_SIZES
from permitgen.views.placard_short import SHORTER, on_two_plates

if TYPE_CHECKING:
    from permitgen.views.placard import Placard


def _plate(name: str) -> PaperSize:
    width, height = (float(part) for part in name.removesuffix(" in").split(" x "))
    return PaperSize(name, width * MM_PER_INCH, height * MM_PER_INCH)


PLATES: dict[str, PaperSize] = {name: _plate(name) for name in PLATE_SIZES}


class PlacardDoesNotFitError(ValueError):
    """The text needs more room than two plates have."""


@dataclass(frozen=True, slots=True)
class PlacardPlate:
    """One plate: what it says, shortened where that is needed, its page, and the name of its drawing."""

    placard: Placard
    page: CanvasPage
    drawing: str


def placard_plates(placards: Sequence[Placard]) -> tuple[PlacardPlate, ...]:
    """Return the plates of all variants, each one or two, shortened alike: file, drawings and permit sheet show these.

    Raises:
        PlacardDoesNotFitError: two plates do not hold it; the message names what to do.
    """
    return tuple(PlacardPlate(said, _page(said), drawing_name(said)) for said in alike(placards))


def alike(placards: Sequence[Placard]) -> tuple[Placard, ...]:
    """Return what stands on each plate: the variants as they are, or all of them with the first shortening with which all fit.

    Raises:
        PlacardDoesNotFitError: two plates do not hold it.
    """
    said = tuple(placards)
    for shorter in SHORTER:
        said = tuple(shorter(placard) for placard in said)
        if all(placard.refusal or _between(placard) for placard in said):
            return said
    for with_steps in (True, False):
        plates = tuple(plate for placard in placards for plate in _two(placard, map_with_steps=with_steps))
        for shorter in SHORTER:
            plates = tuple(shorter(plate) for plate in plates)
            if all(plate.refusal or _between(plate) for plate in plates):
                return plates
    raise PlacardDoesNotFitError(
        f"the placard needs more room than two plates of {placards[0].size} have; shorten the descriptions of places, or choose a larger"
        f" plate under settings: placard_size ({', '.join(PLATES)})"
    )


def _two(placard: Placard, *, map_with_steps: bool) -> tuple[Placard, ...]:
    return (placard,) if placard.refusal else on_two_plates(placard, map_with_steps=map_with_steps)


def placard_page(placard: Placard) -> CanvasPage:
    """Return the first plate of a placard.

    Raises:
        PlacardDoesNotFitError: two plates do not hold it; the message names what to do.
    """
    return placard_plates([placard])[0].page


def placard_files(placards: Sequence[Placard], mark: str = "") -> dict[str, bytes]:
    """Return all plates in one PDF, true to size, and each as a drawing of outlines for an engraver.

    ``mark`` says that they are not to be hung, empty where they are.
    """
    plates = placard_plates(placards)
    pages = tuple(marked_page(plate.page, mark) for plate in plates)
    document = Document(pages, title=f"Directory placard, {placards[0].project}", subject=placards[0].section)
    drawings = {plate.drawing: svg_text(page, text_as="glyphs").encode() for plate, page in zip(plates, pages, strict=True)}
    return {"placard.pdf": pdf_bytes(document), **drawings}


def drawing_name(placard: Placard) -> str:
    """Return the name of the drawing of a plate; the first carries no number, a second plate of a placard says what is on it."""
    number = f"-{placard.number}" if placard.number > 1 else ""
    return f"placard{number}{'-directory' if placard.part == 'directory' else ''}.svg"


def _page(placard: Placard) -> CanvasPage:
    """Lay a placard that fits out on its plate; on a smaller plate everything is smaller, down to letters for two feet on 5 x 7 in."""
    if placard.refusal:
        return _refusal_page(placard)
    plate, scale, design = _plate_of(placard)
    between_steps = _between(placard)
    shapes, _bottom, spare = laid_out(placard, design, scale, between_steps)
    if spare > LEAST_SPARE_MM and placard.part != "directory":
        # A larger map and steps farther apart rather than an empty plate.
        taller = min(spare * 0.75, MOST_TALLER_MM)
        apart = between_steps + min(taller / max(len(placard.text.steps), 1), MOST_APART_MM)
        shapes, _bottom, _spare = laid_out(placard, design, scale, apart, taller)
    drawn = Group(tuple(shapes), transform=scaled(scale))
    title = f"Placard {placard.number} of {placard.of}{', directory' if placard.part == 'directory' else ''}"
    return CanvasPage(plate.width_mm, plate.height_mm, (drawn,), title=title, label=str(placard.number))


def _plate_of(placard: Placard) -> tuple[PaperSize, float, PaperSize]:
    """Return the plate, by how much the layout is scaled to it, and the plate in the layout's own measure."""
    plate = PLATES[placard.size]
    scale = plate.width_mm / DESIGN_WIDTH_MM
    return plate, scale, PaperSize(plate.name, DESIGN_WIDTH_MM, plate.height_mm / scale)


def _between(placard: Placard) -> float:
    """Return the space between two steps with which everything stands on the plate, 0 where nothing makes it fit."""
    _plate, scale, design = _plate_of(placard)
    most = design.height_mm - MARGIN + 1e-6
    return next((between for between in BETWEEN_STEPS if laid_out(placard, design, scale, between)[1] <= most), 0.0)


def _refusal_page(placard: Placard) -> CanvasPage:
    """A page that cannot be mistaken for a placard: it says why none is printed."""
    plate = PLATES[placard.size]
    shapes: list[Shape] = [rectangle(0, 0, plate.width_mm, plate.height_mm, fill=WHITE)]
    big = capitals(CONDENSED_BOLD, 12.0, SAFETY_RED)
    y = 40.0
    for line in ("NO PLACARD", "DO NOT POST"):
        shapes.append(Text(plate.width_mm / 2, y, line, big, "middle"))
        y += 20.0
    text = f"{placard.refusal} Correct the project, then print the placard again."
    for line in break_lines(text, capitals(CONDENSED_MEDIUM, 5.0), plate.width_mm - 40.0):
        shapes.append(Text(20.0, y, line, capitals(CONDENSED_MEDIUM, 5.0)))
        y += 9.0
    return CanvasPage(plate.width_mm, plate.height_mm, tuple(shapes), title="No placard", label="1")
