"""The inspection card on paper: one page, in the order of the inspection, each row with boxes and its calculation one tap away."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Facts, Figure, Note, Paragraph, Space, Title
from permitgen.documents.canvas.flow import Format, flow_to_one_page
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.styles import points
from permitgen.documents.canvas.table import PLAIN, Column, Row, Table
from permitgen.documents.canvas.typography import Run, muted, strong
from permitgen.documents.fonts.faces import SANS
from permitgen.documents.qr import LEAST_MODULE_MM, qr_shape, qr_symbol
from permitgen.documents.titled_pdf import page_footer, titled_pdf

if TYPE_CHECKING:
    from permitgen.documents.canvas.page import Page
    from permitgen.documents.canvas.typography import Words
    from permitgen.views.inspector_card import CardRow, InspectorCard

_BOXES = "☐ pass  ☐ fail"
_MODULE_MM = LEAST_MODULE_MM + 0.05
# From roomy to tight: the first that is one page. No letter is smaller than 7.5 points.
_TYPES = ((8.5, 3.7, 1.1), (8.0, 3.4, 0.8), (7.5, 3.1, 0.5))


def inspector_card_pdf(view: InspectorCard) -> bytes:
    """Return ``inspector_card.pdf``: one page, unless a house is too large even for the tightest type."""
    return titled_pdf("Inspection card", view.title, view.document_id, _pages(view))


def _pages(view: InspectorCard) -> tuple[Page, ...]:
    form = Format(left_mm=14.0, right_mm=14.0, top_mm=10.0, bottom_mm=13.0, footer=partial(page_footer, view.title, view.document_id))
    styles = (replace(PLAIN, text=points(SANS, size, PLAIN.text.color), leading_mm=leading, pad_y_mm=pad) for size, leading, pad in _TYPES)
    return flow_to_one_page((_blocks(view, form, Table((), (), style)) for style in styles), form)


def _blocks(view: InspectorCard, form: Format, table: Table) -> list[Block]:
    title = view.title
    blocks: list[Block] = [*_code(view, form), Title("Inspection card", title.address or title.project)]
    if title.has_violations:
        blocks.append(Note(title.status, "violation"))
    approved = view.approved or "the stamped set is not in the project"
    facts = (("Permit", title.permit_number), ("Authority", title.jurisdiction), ("Code", title.edition), ("Plans", approved))
    blocks.append(Facts(tuple(fact for fact in facts if fact[1]), columns=2, name_width_mm=18.0))
    if view.conditions:
        said = " ".join(f"({number}) {each}." for number, each in enumerate(view.conditions, 1))
        blocks.append(Paragraph(f"Conditions of approval: {said}", "small", measure_mm=form.column_width_mm))
    blocks.append(_rows(view, table))
    stands = [*view.gates, *(visit.text for visit in view.visits)]
    accepted = (Run(" · "), strong(view.accepted)) if view.accepted else ()
    blocks.append(Paragraph((Run(" · ".join(stands)), *accepted), "small", measure_mm=form.column_width_mm))
    sign = "☐ passed   ☐ failed, items above     Name ______________________________   Office ____________________   Date ____________"
    return [*blocks, Space(2.0), Paragraph(sign, measure_mm=form.column_width_mm)]


def _code(view: InspectorCard, form: Format) -> list[Block]:
    """The code that leads to the same rows in the record, at the top right; the title stands beside it."""
    if not view.address:
        return []
    symbol = qr_symbol(view.address)
    side = symbol.width_mm(_MODULE_MM)
    left = form.column_width_mm - side
    words = Text(left - 2.0, side / 2, "Same rows in the record,", points(SANS, 7.5, PLAIN.text.color), "end")
    more = Text(left - 2.0, side / 2 + 3.2, "with their calculations", points(SANS, 7.5, PLAIN.text.color), "end")
    return [Figure((qr_shape(symbol, left, 0.0, _MODULE_MM), words, more), 4.0)]


def _rows(view: InspectorCard, table: Table) -> Table:
    columns = (
        Column("", width_mm=6.0),
        Column("WHERE", share=1.0),
        Column("WHAT TO SEE → CALCULATIONS", share=2.0),
        Column("FIELD CHECKLIST", share=0.7),
        Column("", width_mm=25.0),
    )
    return replace(table, columns=columns, rows=tuple(_row(view, number, row) for number, row in enumerate(view.rows, 1)))


def _row(view: InspectorCard, number: int, row: CardRow) -> Row:
    where: Words = (strong(row.title), Run(f", {row.place}")) if row.place else (strong(row.title),)
    runs = [Run("; ".join(row.see))]
    links = [Run(tag, link=view.link(tag)) for tag in row.tags] if view.address else []
    for index, link in enumerate(links):
        runs += [muted("  → " if index == 0 else ", "), link]
    runs += [part for found in row.found for part in (Run("  "), strong(f"Did not pass {found}"))]
    stands: Words = (strong(row.stands),) if row.is_open else row.stands
    return Row((str(number), where, tuple(runs), stands, _BOXES))
