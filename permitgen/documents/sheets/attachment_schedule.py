"""S-501: the attachment schedule: given facts, weights, dead load, and what is not claimed."""

from __future__ import annotations

from permitgen.documents.canvas.bounds import Box
from permitgen.documents.canvas.table import Align
from permitgen.documents.sheets.flowing import Block, Heading, Notes, Paragraph, flow_over_sheets, schedule
from permitgen.documents.sheets.sheet import Drawing
from permitgen.documents.sheets.title_block import SheetName
from permitgen.views.plan_sheets import SHEETS, continued
from permitgen.views.plans.attachments import AttachmentSchedule

NUMBER = "S-501"
_FACTS = ("ARRAY", "ROOF PLANE", "FRAMING", "FASTENER", "EMBEDMENT", "SPACING", "FLASHING")
_LOADS = ("ARRAY", "MODULES", "EACH", "RACKING", "ARRAY WEIGHT", "MODULE AREA", "DEAD LOAD", "ATTACHMENTS", "ON EACH, EVENLY")


def attachment_schedule_drawings(view: AttachmentSchedule, room: Box) -> tuple[Drawing, ...]:
    """Return the sheets of the schedule; nothing where no array lies on a building."""
    if not view.facts:
        return ()
    blocks: list[Block] = [Paragraph(view.disclaimer, is_strong=True)]
    blocks += [Heading("Attachments, as given"), schedule(_FACTS, view.facts)]
    aligns: list[Align] = ["right" if index else "left" for index in range(len(_LOADS))]
    blocks += [Heading("Weights and dead load"), schedule(_LOADS, view.loads, aligns=aligns)]
    if view.workings:
        blocks += [Heading("How they were computed"), Notes(view.workings)]
    if view.missing:
        blocks += [Heading("Not stated"), Paragraph("Not in the project file: " + "; ".join(view.missing) + ".")]
    return tuple(
        Drawing(SheetName(continued(NUMBER, index), SHEETS[NUMBER]), shapes)
        for index, shapes in enumerate(flow_over_sheets(blocks, room), start=1)
    )
