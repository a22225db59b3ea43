"""The plan set: sheets in the order of their numbers under one title block, then the attached documents as they are."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.shapes import Bookmark
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.data_sheet_boxes import draw_boxes
from permitgen.documents.sheets.attachment_schedule import attachment_schedule_part
from permitgen.documents.sheets.attachments_sheet import attachments_part
from permitgen.documents.sheets.cover_sheet import IndexLine, cover_part
from permitgen.documents.sheets.elevations import elevations_part
from permitgen.documents.sheets.frame import PAPERS, frame_of, zone_at
from permitgen.documents.sheets.grounding_sheet import grounding_part
from permitgen.documents.sheets.legend_sheet import legend_part, symbols_used, texts_of
from permitgen.documents.sheets.one_line_sheet import one_line_part
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.part import SheetPart
from permitgen.documents.sheets.placard_sheet import placards_part
from permitgen.documents.sheets.readings_sheet import readings_part
from permitgen.documents.sheets.references import referring, resolved
from permitgen.documents.sheets.roof_plan import roof_plan_part
from permitgen.documents.sheets.schedule_sheets import equipment_part, loads_part, schedules_part, summary_part
from permitgen.documents.sheets.sheet import Drawing, bookmark_of, room_for_drawing, sheet_page
from permitgen.documents.sheets.site_plan import site_plan_part
from permitgen.documents.sheets.storage_plan import storage_plan_part
from permitgen.documents.sheets.three_line_sheet import three_line_part
from permitgen.views.document_id import document_id
from permitgen.views.plan_coverage import ATTACHED, VICINITY, coverage_of
from permitgen.views.plan_legend import abbreviations_in
from permitgen.views.plan_sheets import DISCIPLINES
from permitgen.views.revision_clouds import NO_CLOUDS, RevisionClouds
from permitgen.views.sheet_marks import SheetMarks
from permitgen.views.violations import NO_VIOLATIONS, Violations

if TYPE_CHECKING:
    from permitgen.documents.canvas.bounds import Box
    from permitgen.documents.data_sheet_boxes import RowBox
    from permitgen.views.calculation_summary import CalculationSummary
    from permitgen.views.cover import Cover
    from permitgen.views.data_sheets import SheetRow
    from permitgen.views.load_summary import LoadSummary
    from permitgen.views.one_line import OneLine
    from permitgen.views.panel_faces import PanelFace
    from permitgen.views.placard import Placard
    from permitgen.views.plan_grounding import GroundingDetails
    from permitgen.views.plan_sheets import TitleBlock
    from permitgen.views.plans import Plans
    from permitgen.views.presence import Thing
    from permitgen.views.readings_to_confirm import ReadingToConfirm
    from permitgen.views.schedules import Schedule


@dataclass(frozen=True, slots=True)
class AttachedDocument:
    """A PDF appended as it is, but for the red boxes around rows of it that matter."""

    title: str
    file: str
    data: bytes
    page_count: int
    digest: str
    kind: str = ""
    boxes: tuple[tuple[SheetRow, RowBox], ...] = ()


@dataclass(frozen=True, slots=True)
class PlanSet:
    """Everything that the sheets say.

    ``changed`` are the sheets that the newest revision changed, with its mark; ``clouds`` what on them.
    """

    block: TitleBlock
    cover: Cover
    plans: Plans
    grounding: GroundingDetails
    one_line: OneLine
    circuits: tuple[Schedule, ...]
    equipment: tuple[Schedule, ...]
    panels: tuple[PanelFace, ...]
    summary: CalculationSummary
    loads: LoadSummary
    labels: tuple[Schedule, ...]
    placards: tuple[Placard, ...]
    readings: tuple[ReadingToConfirm, ...] = ()
    things: frozenset[Thing] = frozenset()
    attached: tuple[AttachedDocument, ...] = ()
    sheet_rows: tuple[SheetRow, ...] = ()
    sheet_size: str = "ANSI B"
    with_three_line: bool = False
    changed: Mapping[str, str] = field(default_factory=dict)
    clouds: RevisionClouds = NO_CLOUDS
    violations: Violations = NO_VIOLATIONS

    @property
    def not_stated(self) -> tuple[str, ...]:
        """Items of plan-check lists that a sheet holds where the project tells them, and that this one does not tell."""
        attached = {document.kind for document in self.attached}
        absent = tuple(item for kind, item in ATTACHED.items() if kind not in attached)
        return absent if self.plans.site.vicinity.is_whole else (VICINITY, *absent)

    @property
    def marks(self) -> SheetMarks:
        """What is clouded on the sheets."""
        return SheetMarks(self.clouds, self.violations)


Draw = Callable[[PlanSet, "Box"], SheetPart]

_CIRCUIT_NOTES = (
    "AMPACITY: at the terminals or after factors, whichever is lower; tables and factors stand in the calculation. CURRENT: what flows.",
    "PROTECTED BY: rating of the device, and the section by which it protects these conductors. A rise is taken to the service.",
    "(E) existing. A dash: not stated, or not checked for this circuit. Lengths are one way.",
)
_LABEL_NOTES = (
    "Wording in capitals where the section mandates it; a slash separates lines. labels.pdf prints each true to size.",
    "Labels suit their environment and are not handwritten, except for parts that change.",
)

# Subjects by discipline, in the order of their numbers; each puts nothing on a sheet where it has nothing to say.
BUILDING: tuple[Draw, ...] = (
    lambda plans, room: site_plan_part(plans.plans.site, room, plans.marks),
    lambda plans, room: roof_plan_part(plans.plans.roof, room, plans.marks),
    lambda plans, room: elevations_part(plans.plans.elevations, room, plans.marks),
    lambda plans, room: storage_plan_part(plans.plans.storage, room, plans.marks),
    lambda plans, _room: attachment_schedule_part(plans.plans.attachments),
)
ELECTRICAL: tuple[Draw, ...] = (
    lambda plans, room: grounding_part(plans.grounding, room, plans.marks),
    lambda plans, room: one_line_part(plans.one_line, room, plans.marks),
    lambda plans, room: three_line_part(plans.one_line, room, plans.marks) if plans.with_three_line else SheetPart("E-602"),
    lambda plans, _room: schedules_part("E-603", plans.circuits, notes=_CIRCUIT_NOTES, marks=plans.marks),
    lambda plans, _room: equipment_part(plans.equipment, plans.panels, plans.marks),
    lambda plans, _room: summary_part(plans.summary, plans.marks),
    lambda plans, _room: loads_part(plans.loads),
    lambda plans, _room: schedules_part("E-607", plans.labels, notes=_LABEL_NOTES, marks=plans.marks),
    lambda plans, room: placards_part(plans.placards, room),
)


def sheet_drawings(plans: PlanSet, room: Box) -> list[Drawing]:
    """Return the sheets after the general ones, discipline by discipline."""
    disciplines = ([draw(plans, room) for draw in discipline] for discipline in (BUILDING, ELECTRICAL))
    return [drawing for parts in disciplines for drawing in packed(parts, room)]


# What each sheet says, apart from its title block and from what names the revision; the cover and the legend follow from the others.
SHEET_CONTENTS: Mapping[str, Callable[[PlanSet], object]] = {
    "G-003": lambda plans: plans.readings,
    "C-101": lambda plans: plans.plans.site,
    "A-101": lambda plans: plans.plans.roof,
    "A-201": lambda plans: plans.plans.elevations,
    "A-401": lambda plans: plans.plans.storage,
    "S-501": lambda plans: plans.plans.attachments,
    "E-501": lambda plans: plans.grounding,
    "E-601": lambda plans: plans.one_line,
    "E-602": lambda plans: plans.one_line if plans.with_three_line else None,
    "E-603": lambda plans: plans.circuits,
    "E-604": lambda plans: (plans.equipment, plans.panels),
    "E-605": lambda plans: plans.summary,
    "E-606": lambda plans: plans.loads,
    "E-607": lambda plans: plans.labels,
    "E-608": lambda plans: [placard.document_id for placard in plans.placards],
    "Z-001": lambda plans: ([(d.title, d.file, d.kind, d.page_count, d.digest) for d in plans.attached], _sheet_rows(plans)),
}


def changed_sheets(before: PlanSet, after: PlanSet) -> tuple[str, ...]:
    """Return the numbers of the sheets that say something else than before; what names the revision itself does not count."""
    covers = [(plans.cover.scope, plans.cover.codes, plans.cover.site) for plans in (before, after)]
    changed = tuple(number for number, content in SHEET_CONTENTS.items() if content(before) != content(after))
    return changed if covers[0] == covers[1] else ("G-001", *changed)


def with_changes(plans: PlanSet, changed: Mapping[str, str]) -> PlanSet:
    """Return the set with its changed sheets marked, and named in the newest line of the revision block."""
    *earlier, newest = plans.block.revisions
    described = f"{newest.description}; {_sheets_named(changed)}" if changed else newest.description
    block = replace(plans.block, revisions=(*earlier, replace(newest, description=described)))
    return replace(plans, block=block, changed=changed)


_NAMED = 4
"""More sheets than this are not named in the revision block; each carries the mark, and so does its line in the index.

They are not counted: a subject takes one sheet, several, or a part of one.
"""


def _sheets_named(changed: Mapping[str, str]) -> str:
    return f"sheets {', '.join(changed)}" if len(changed) <= _NAMED else "the changed sheets are marked in the index"


@dataclass(frozen=True, slots=True)
class PlanSheets:
    """The sheets as they are drawn, each with its Document ID in its name, and the Document ID of the set.

    ``homes`` are the sheets on which subjects stand that have none of their own, ``places`` sheet and zone of every subject.
    """

    drawings: tuple[Drawing, ...]
    document_id: str
    homes: Mapping[str, str] = field(default_factory=dict)
    places: Mapping[str, str] = field(default_factory=dict)


def plan_set_pdf(plans: PlanSet, sheets: PlanSheets | None = None) -> bytes:
    """Return the whole set as one PDF with bookmarks, index links and page labels; ``sheets`` spares drawing them again."""
    sheets = sheets or plan_sheets(plans)
    title = f"Plan set, {plans.block.project}"
    drawn = pdf_bytes(Document(_pages(plans, sheets), title=title, subject=", ".join(plans.block.codes)))
    return _with_attachments(drawn, plans.attached) if plans.attached else drawn


def plan_set_pages(plans: PlanSet, sheets: PlanSheets | None = None) -> tuple[Page, ...]:
    """Return the pages of the set without the attached documents; ``sheets`` spares drawing them again."""
    return _pages(plans, sheets or plan_sheets(plans))


def plan_sheets(plans: PlanSet) -> PlanSheets:
    """Return the sheets of the set.

    The Document ID of a sheet covers its number, title, scale and title block and what its subjects say, on whichever of their
    sheets: not its place in the set, nor how it is laid out. That of the set covers those of its sheets and the attached documents.
    """
    frame = frame_of(PAPERS[plans.sheet_size])
    room = room_for_drawing(frame, plans.block)
    drawings = sheet_drawings(plans, room)
    says = {number: says_of(plans) for number, says_of in SHEET_CONTENTS.items()}
    named = [_named(plans, drawing, [says[number] for number in drawing.holds]) for drawing in drawings]
    texts = [text for drawing in drawings for text in texts_of(drawing.shapes)]
    legend = legend_part(plans.one_line.roots, texts, plans.marks)
    says["G-002"] = (abbreviations_in(texts), sorted(symbols_used(plans.one_line.roots)))
    readings = readings_part(plans.readings, room)
    attached = attachments_part(_attachment_rows(plans.attached), _sheet_rows(plans))
    general: tuple[Drawing, ...] = ()
    # The cover names the sheets on which it and the legend stand: drawn until it names those that come of it.
    for _ in range(_MOST_COVERS):
        index = _index([*general[1:], *named], plans.attached)
        homes = {subject: drawing.name.number for drawing in (*general, *drawings) for subject in drawing.home_of}
        coverage = coverage_of(homes, plans.things, plans.not_stated)
        content = says["G-001"] = (plans.cover, [(line.number, line.title) for line in index], coverage)
        whole = document_id("plan set", plans.block, content, [d.name.document_id for d in named], [d.digest for d in plans.attached])
        cover = cover_part(plans.cover, index, coverage, room, whole)
        drawn = packed((cover, legend, readings, attached), room)
        found = tuple(_named(plans, drawing, [says[number] for number in drawing.holds]) for drawing in drawn)
        settled = [d.name.number for d in found] == [d.name.number for d in general]
        general = found
        if settled:
            break
    # Attached documents keep the number of their list, on whichever sheet that stands.
    homes = {subject: number for subject, number in homes.items() if subject not in (number, "Z-001")}
    places = {
        subject: f"{drawing.name.number} {zone_at(frame, *drawing.places[subject])}"
        for drawing in (*general, *named)
        for subject in drawing.home_of
        if subject in drawing.places
    }
    return PlanSheets(tuple(referring(drawing, homes) for drawing in (*general, *named)), whole, homes, places)


_MOST_COVERS = 4


def _index(drawings: Sequence[Drawing], attached: Sequence[AttachedDocument]) -> list[IndexLine]:
    lines = [IndexLine(d.name.number, d.name.title, d.name.mark) for d in drawings]
    home = next((d.name.number for d in drawings if "Z-001" in d.home_of), "G-001")
    return lines + [IndexLine(f"Z-001, {number}", document.title, leads_to=home) for number, document in enumerate(attached, start=1)]


def _named(plans: PlanSet, drawing: Drawing, content: object) -> Drawing:
    """Return a drawing with its Document ID, and with the mark of the revision where that changed something on it."""
    name = drawing.name
    own = document_id("plan sheet", plans.sheet_size, name.number, name.title, name.scale, plans.block, content)
    mark = next((plans.changed[subject] for subject in drawing.holds if subject in plans.changed), "")
    return replace(drawing, name=replace(name, mark=mark, document_id=own))


def _pages(plans: PlanSet, sheets: PlanSheets) -> tuple[Page, ...]:
    frame, count = frame_of(PAPERS[plans.sheet_size]), len(sheets.drawings)
    block = replace(plans.block, status=resolved(plans.block.status, sheets.homes), violation=resolved(plans.block.violation, sheets.homes))
    pages = (sheet_page(drawing, block, frame, f"{position} of {count}") for position, drawing in enumerate(sheets.drawings, start=1))
    begun: set[str] = set()
    return tuple(_bookmarked(page, drawing, begun) for page, drawing in zip(pages, sheets.drawings, strict=True))


def _bookmarked(page: Page, drawing: Drawing, begun: set[str]) -> Page:
    """Return a page with its line in the outline, below that of its discipline; ``begun`` are the disciplines that have theirs."""
    name = drawing.name
    marks = [Bookmark(bookmark_of(name.number), f"{name.number} {name.title}", 0.0, level=1)]
    designator = name.number[0]
    if designator not in begun:
        begun.add(designator)
        marks.insert(0, Bookmark(f"discipline-{designator}", DISCIPLINES[designator], 0.0))
    return Page(page.width_mm, page.height_mm, (*marks, *page.shapes), label=page.label)


def _attachment_rows(attached: Sequence[AttachedDocument]) -> list[tuple[str, ...]]:
    return [(str(n), d.title, d.file, str(d.page_count), d.digest[:16]) for n, d in enumerate(attached, start=1)]


def _sheet_rows(plans: PlanSet) -> list[tuple[str, ...]]:
    """Return hardware, data sheet with page, the row, and where it is boxed; said by name where it is not."""
    numbers = {d.file: n for n, d in enumerate(plans.attached, start=1)}
    boxed = {row for document in plans.attached for row, _ in document.boxes}
    found: list[tuple[str, ...]] = []
    for row in plans.sheet_rows:
        place = f"Z-001, {numbers[row.file]}, page {row.page}" if row in boxed else "row not found there"
        where = place if row.file in numbers else "not attached"
        found.append((row.hardware, ", page ".join(part for part in (row.file, row.told) if part), row.words, where))
    return found


def _with_attachments(drawn: bytes, attached: Sequence[AttachedDocument]) -> bytes:
    """Append the attached pages in their own size, each document with a line in the outline."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.constants import PageLabelStyle

    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(drawn)))
    above = writer.add_outline_item(DISCIPLINES["Z"], None)
    for number, document in enumerate(attached, start=1):
        first = len(writer.pages)
        writer.append(io.BytesIO(document.data), import_outline=False)
        for page in sorted({box.page for _, box in document.boxes}):
            draw_boxes(writer.pages[first + page], [box for _, box in document.boxes if box.page == page])
        writer.add_outline_item(document.title, first, parent=above)
        writer.set_page_label(first, len(writer.pages) - 1, PageLabelStyle.DECIMAL, f"Z-001, {number}, page ", 1)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
