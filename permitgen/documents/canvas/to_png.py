"""Turns pages into PNG pictures by rendering our own PDF, so that a picture shows what the printed page shows."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdfium2
from PIL import Image

from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.styles import MM_PER_INCH
from permitgen.documents.canvas.to_pdf import pdf_bytes

_POINTS_PER_INCH = 72
_HALF = 128


def page_image(page: Page, dpi: float) -> Image.Image:
    """Return one page as an RGB image of ``dpi`` dots per inch."""
    document = pypdfium2.PdfDocument(pdf_bytes(Document((replace(page, title=""),), title="page")))
    try:
        rendered: Image.Image = document[0].render(scale=dpi / _POINTS_PER_INCH).to_pil().convert("RGB")
    finally:
        document.close()
    wanted = (round(page.width_mm / MM_PER_INCH * dpi), round(page.height_mm / MM_PER_INCH * dpi))
    # pdfium rounds the size of the page up to whole dots; the last row or column is then empty paper.
    return rendered if rendered.size == wanted else rendered.crop((0, 0, *wanted))


def png_bytes(page: Page, dpi: float, *, one_bit: bool = False) -> bytes:
    """Return one page as a PNG file that states its resolution; ``one_bit`` gives black and white dots only."""
    image = page_image(page, dpi)
    if one_bit:
        image = image.convert("L").point(lambda level: 255 if level >= _HALF else 0).convert("1")
    buffer = io.BytesIO()
    image.save(buffer, format="PNG", dpi=(dpi, dpi), optimize=False)
    return buffer.getvalue()
