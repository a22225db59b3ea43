"""The pages that only a submission has: the sheet of site photos, and the log of what was handed in."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import partial

from PIL import Image, ImageOps, UnidentifiedImageError

from permitgen.documents.canvas.blocks import Block, Figure, Heading, Note, Paragraph, Space, Title, Together
from permitgen.documents.canvas.flow import Format, flow_pages
from permitgen.documents.canvas.shapes import Picture
from permitgen.documents.canvas.table import Column, Row, Table
from permitgen.documents.titled_pdf import page_footer, titled_pdf
from permitgen.views.submission import SubmissionLog
from permitgen.views.title import DocumentTitle

_LARGEST_PIXELS = 60_000_000
_LONGEST_SIDE = 1600
_QUALITY = 82
_TALLEST_MM = 96.0


_NO_VERDICT = "What comments of earlier reviews asked for, looked for in this package. It is no verdict of the code."


class PhotoError(ValueError):
    """A file that is no photo that can be shown; the message follows its name."""


def clean_photo(content: bytes) -> tuple[bytes, float]:
    """Return a photo as a JPEG of a usual size without anything that tells where and with what it was taken, and height by width.

    Raises:
        PhotoError: it cannot be read, or is larger than a camera makes.
    """
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG", "PNG")) as opened:
            if opened.width * opened.height > _LARGEST_PIXELS:
                raise PhotoError("has more pixels than a camera makes")
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as error:
        if isinstance(error, PhotoError):
            raise
        raise PhotoError("is not a photo that can be read; expected JPEG or PNG") from error
    upright.thumbnail((_LONGEST_SIDE, _LONGEST_SIDE))
    written = io.BytesIO()
    upright.save(written, "JPEG", quality=_QUALITY)
    return written.getvalue(), upright.height / upright.width


def site_photos_pdf(title: DocumentTitle, photos: Sequence[tuple[str, bytes, float]], document_id: str) -> bytes:
    """Return the sheet of site photos; each has its title, a JPEG, and its height by its width."""
    page_format = Format(footer=partial(page_footer, title, document_id))
    width = page_format.column_width_mm
    blocks: list[Block] = [Title("Site photos", f"{title.project} · {title.address}")]
    for number, (words, jpeg, share) in enumerate(photos, start=1):
        height = min(width * share, _TALLEST_MM)
        picture = Picture(0, 0, height / share, height, jpeg, words)
        blocks += [Together((Figure((picture,), height, f"{number}. {words}"), Space(4.0)))]
    return titled_pdf("Site photos", title, document_id, flow_pages(blocks, page_format))


def submission_log_pdf(view: SubmissionLog) -> bytes:
    """Return the log of a submission."""
    title = view.title
    blocks: list[Block] = [Title("Log of the submission", f"{title.project} · {title.address} · {title.jurisdiction}")]
    if view.warning:
        blocks.append(Note(f"{view.warning}. No file is written to be handed in before that is settled.", "violation"))
    if view.files:
        columns = (Column("FILE", share=1.6), Column("HOLDS", share=1.4), Column("PAGES", width_mm=16.0), Column("SIZE", width_mm=20.0))
        rows = tuple(Row((file.name, file.holds, file.pages, file.size)) for file in view.files)
        blocks += [Heading("To hand in, from these inputs", 1), Table(columns, rows)]
    if view.asked:
        heads_asked = (Column("ASKED BEFORE BY THIS DEPARTMENT", share=1.4), Column("WHEN", share=1.0), Column("HERE", share=1.6))
        asked = tuple(Row((point.about, point.when, f"{point.found}: {point.detail}")) for point in view.asked)
        blocks += [Heading("Asked before", 1), Paragraph(_NO_VERDICT), Table(heads_asked, asked)]
    blocks.append(Heading("Sent", 1))
    if view.sent:
        heads = (
            Column("DAY", width_mm=22.0),
            Column("TO"),
            Column("WHAT", share=1.4),
            Column("BY", share=0.7),
            Column("RECEIPT", share=0.7),
        )
        blocks.append(Table(heads, tuple(Row(row) for row in view.sent)))
    else:
        blocks.append(Paragraph("The project file states nothing that was sent (sent:)."))
    page_format = Format(footer=partial(page_footer, title, view.document_id))
    return titled_pdf("Log of the submission", title, view.document_id, flow_pages(blocks, page_format))
