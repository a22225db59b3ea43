"""S-501: the attachment schedule: given facts, weights, dead load, and what is not claimed."""

from __future__ import annotations

from collections.abc import Sequence

from permitgen.documents.canvas.table import Table
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, schedule
from permitgen.documents.sheets.part import SheetPart
from permitgen.views.plans.attachments import AttachmentSchedule

NUMBER = "S-501"
_FACTS = ("ARRAY", "ROOF PLANE", "FRAMING", "FASTENER", "EMBEDMENT", "SPACING", "FLASHING")
_LOADS = ("ARRAY", "MODULES", "EACH", "RACKING", "ARRAY WEIGHT", "MODULE AREA", "DEAD LOAD", "ATTACHMENTS", "ON EACH, EVENLY")


def attachment_schedule_part(view: AttachmentSchedule) -> SheetPart:
    """Return the schedule; nothing where no array lies on a building."""
    if not view.facts:
        return SheetPart(NUMBER)
    first: list[Block] = [Heading("Attachments, as given"), _turned(_FACTS, view.facts), Paragraph(view.disclaimer, is_strong=True)]
    if view.missing:
        first.append(Paragraph("Not in the project file: " + "; ".join(view.missing) + "."))
    loads: list[Block] = [Heading("Weights and dead load"), _turned(_LOADS, view.loads)]
    return SheetPart(NUMBER, groups=[first, [*loads, *([Notes(view.workings)] if view.workings else [])]])


def _turned(names: tuple[str, ...], rows: Sequence[Sequence[str]]) -> Table:
    """Return a table with a column for each array: there are few arrays and much to say of each."""
    headings = (names[0], *(row[0] for row in rows))
    return schedule(headings, [(name, *(row[index] for row in rows)) for index, name in enumerate(names) if index])
