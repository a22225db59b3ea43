"""One finished sheet: frame, title block, notice of violations, drawing, bookmark."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.colors import SAFETY_RED, WHITE
from permitgen.documents.canvas.figures import rectangle
from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import Shape, Text
from permitgen.documents.canvas.text_flow import break_lines
from permitgen.documents.sheets.frame import Frame, frame_shapes
from permitgen.documents.sheets.lettering import LETTERING
from permitgen.documents.sheets.title_block import SheetName, title_block_shapes
from permitgen.views.plan_sheets import TitleBlock

_NOTICE_GAP_MM = 1.5


@dataclass(frozen=True, slots=True)
class Drawing:
    """The drawing of a sheet in page coordinates, with the words that name it.

    ``holds`` are the subjects of which it shows something, ``home_of`` those that are looked for here, ``places`` the middle of what is
    first met of each subject.
    """

    name: SheetName
    shapes: tuple[Shape, ...]
    holds: tuple[str, ...] = ()
    home_of: tuple[str, ...] = ()
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def room_for_drawing(frame: Frame, block: TitleBlock) -> Box:
    """Return the room of a drawing once the notice of violations, if there is one, has its strip at the top."""
    box = frame.drawing_below(_notice_height(frame, block)).drawing
    return Box(box.left, box.top, box.right, box.bottom - _caution_height(frame, block))


def bookmark_of(number: str) -> str:
    """Return the key by which links lead to a sheet."""
    return f"sheet-{number}"


def sheet_page(drawing: Drawing, block: TitleBlock, frame: Frame, position: str) -> Page:
    """Return the page of a drawing; ``position`` is its place in the set (``3 of 14``)."""
    name = replace(drawing.name, position=position)
    shapes = (
        *frame_shapes(frame),
        *title_block_shapes(block, name, frame),
        *_notice(frame, block),
        *_caution(frame, block),
        *drawing.shapes,
    )
    return Page(frame.paper.width_mm, frame.paper.height_mm, shapes, title="", label=name.number)


def _notice_lines(frame: Frame, block: TitleBlock) -> tuple[str, ...]:
    return break_lines(block.violation, LETTERING.strong, frame.drawing.width - 6.0) if block.violation else ()


def _notice_height(frame: Frame, block: TitleBlock) -> float:
    lines = _notice_lines(frame, block)
    return len(lines) * LETTERING.leading_mm + 2.4 + _NOTICE_GAP_MM if lines else 0.0


def _caution_lines(frame: Frame, block: TitleBlock) -> tuple[str, ...]:
    return break_lines(block.caution, LETTERING.text, frame.drawing.width)


def _caution_height(frame: Frame, block: TitleBlock) -> float:
    return len(_caution_lines(frame, block)) * LETTERING.leading_mm + 0.8


def _caution(frame: Frame, block: TitleBlock) -> list[Shape]:
    """The caution along the bottom of the drawing."""
    box, style = frame.drawing, LETTERING.text
    lines = _caution_lines(frame, block)
    return [
        Text(box.left, box.bottom - (len(lines) - 1 - index) * LETTERING.leading_mm - 0.4, line, style) for index, line in enumerate(lines)
    ]


def _notice(frame: Frame, block: TitleBlock) -> list[Shape]:
    """White on red across the top of the drawing: this set may not be handed in."""
    lines = _notice_lines(frame, block)
    if not lines:
        return []
    box = frame.drawing
    style = LETTERING.strong.colored(WHITE)
    shapes: list[Shape] = [rectangle(box.left, box.top, box.width, len(lines) * LETTERING.leading_mm + 2.4, fill=SAFETY_RED)]
    shapes += [
        Text(box.left + 3.0, box.top + 1.2 + (index + 0.5) * LETTERING.leading_mm + style.cap_height_mm / 2, line, style)
        for index, line in enumerate(lines)
    ]
    return shapes
