"""The notice to the fire official on paper."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from permitgen.documents.canvas.blocks import Block, Bullets, Facts, Heading, Note, Paragraph, Title
from permitgen.documents.canvas.flow import Format, flow_pages
from permitgen.documents.canvas.table import Column, Row, Table
from permitgen.documents.canvas.typography import strong
from permitgen.documents.titled_pdf import page_footer, titled_pdf

if TYPE_CHECKING:
    from permitgen.views.fire_notice import FireNotice


def fire_notice_pdf(view: FireNotice) -> bytes:
    """Return ``fire_notice.pdf``."""
    page_format = Format(top_mm=16.0, bottom_mm=16.0, footer=partial(page_footer, view.title, view.document_id))
    return titled_pdf("Notice to the fire official", view.title, view.document_id, flow_pages(_blocks(view), page_format))


def _blocks(view: FireNotice) -> list[Block]:
    title = view.title
    blocks: list[Block] = [Title("Notice to the fire official", title.address or title.project)]
    if title.has_violations:
        blocks.append(Note(title.status, "violation"))
    facts = (("Permit", title.permit_number), ("Jurisdiction", title.jurisdiction), ("Fire code", view.fire_code), ("Call", view.contact))
    blocks += [Facts(tuple(fact for fact in facts if fact[1]), columns=2, name_width_mm=24.0), Heading("What feeds this house", 1)]
    feeding = ", ".join(view.sources)
    blocks += [Paragraph(f"{feeding[:1].upper()}{feeding[1:]}."), *_storage(view), Heading("Where it is switched off", 1)]
    blocks += [Note(view.alarm, "violation")] if view.alarm else []
    columns = (Column("", width_mm=8.0), Column("WHERE"), Column("WHAT"), Column("DO", share=0.6), Column("WHICH", share=1.0))
    rows = tuple(
        Row(((strong(str(step.number)),), step.place, step.object, step.action, ", ".join(s for s in (step.stops, step.unproven) if s)))
        for step in view.steps
    )
    blocks += [Table(columns, rows), *(Note(words, "caution") for words in (view.warning, view.wait) if words)]
    blocks += [Heading("What stays live after the last step", 1), Bullets(view.stays_live)] if view.stays_live else []
    blocks += [Paragraph(words, "small") for words in (view.sides, title.deference) if words]
    return blocks


def _storage(view: FireNotice) -> list[Block]:
    if not view.storage:
        return []
    heads = ("STORAGE", "WHERE", "ENERGY", "CELLS", "TO DOOR OR WINDOW", "DETECTION", "VEHICLES")
    shares = (0.8, 1.6, 0.7, 1.0, 0.8, 0.8, 0.7)
    columns = tuple(Column(head, share=share) for head, share in zip(heads, shares, strict=True))
    return [
        Table(
            columns,
            tuple(
                Row((f"{s.tag} {s.name}", s.place, s.energy, s.chemistry, s.to_opening, s.detection, s.protection)) for s in view.storage
            ),
        )
    ]
