"""What else passes at each circuit, on paper: a document of its own, made on request; the phone page of the checklist holds the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.page import Document
from permitgen.documents.canvas.table import Cell, Column, Row, Table
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.typography import Run, muted, strong

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.field_checklist import FieldChecklist
    from permitgen.views.limits import LimitCard, LimitsPage


def limits_pdf(view: FieldChecklist) -> bytes:
    """Return ``field_limits.pdf``, with the Document ID of the checklist that holds the same page."""
    title = view.title
    foot = f"Revision {title.revision} · {title.edition} · Document ID {view.document_id}"
    page_format = Format(
        header=lambda _number, _count: Running(left=f"Field checklist, limits · {title.project}", right=title.number),
        footer=lambda number, count: Running(left=foot, right=f"Page {number} of {count}"),
    )
    pages = flow_pages(
        [Title("Field checklist, limits", title.project), *(_limits(view.limits) if view.limits is not None else [])], page_format
    )
    return pdf_bytes(Document(pages, title=f"Field checklist, limits, {title.project}", subject=foot, author=title.contractor))


def _limits(page: LimitsPage) -> list[Block]:
    columns = (
        Column("What was tried", share=1.0),
        Column("Passes", share=1.1),
        Column("Passes, approval needed", share=0.9),
        Column("Does not, and why", share=2.2),
    )
    rows = tuple(row for card in page.cards for row in _card_rows(card))
    return [Heading(page.title, 1), Paragraph(page.revision), Note(" ".join(page.cautions), "caution"), Table(columns, rows)]


def _card_rows(card: LimitCard) -> Sequence[Row]:
    state = f" ({card.state})" if card.state else ""
    rows = [Row((Cell(f"{card.tag}   {card.name}{state}", span=4),), kind="section")]
    rows += [Row((Cell(sentence, span=4),)) for sentence in (*card.violated, card.note) if sentence]
    for line in card.lines:
        what = (strong(line.what), Run(f": {line.now}"))
        if line.said_at:
            rows.append(Row((what, Cell(f"as at {line.said_at}", span=3))))
            continue
        rows.append(Row((what, line.passes, line.with_approval, (muted("\n".join(line.refused)),))))
    return rows
