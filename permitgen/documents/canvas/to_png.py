"""Turns pages into PNG pictures by rendering our own PDF, so that a picture shows what the printed page shows."""

from __future__ import annotations

import io
import struct
import zlib
from dataclasses import replace

import pypdfium2
from PIL import Image

from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.styles import MM_PER_INCH
from permitgen.documents.canvas.to_pdf import pdf_bytes

_POINTS_PER_INCH = 72
_HALF = 128
_BITS, _RGB = 8, 2
_MM_PER_METER = 1000


def page_image(page: Page, dpi: float) -> Image.Image:
    """Return one page as an RGB image of ``dpi`` dots per inch."""
    # pdfium stretches a page to whole dots; a page that is a whole number of dots wide and tall keeps its true size.
    width, height = (max(1, round(side / MM_PER_INCH * dpi)) for side in (page.width_mm, page.height_mm))
    whole = replace(page, width_mm=_whole_dots(width, dpi), height_mm=_whole_dots(height, dpi), title="")
    document = pypdfium2.PdfDocument(pdf_bytes(Document((whole,), title="page")))
    try:
        rendered: Image.Image = document[0].render(scale=dpi / _POINTS_PER_INCH, rev_byteorder=True).to_pil().convert("RGB")
    finally:
        document.close()
    return rendered if rendered.size == (width, height) else rendered.crop((0, 0, width, height))


def _whole_dots(dots: int, dpi: float) -> float:
    """Return the length of a number of dots in mm, a trifle less so that rounding never adds a dot."""
    return (dots - 0.001) / dpi * MM_PER_INCH


def png_bytes(page: Page, dpi: float, *, one_bit: bool = False) -> bytes:
    """Return one page as a PNG file that states its resolution; ``one_bit`` gives black and white dots only."""
    image = page_image(page, dpi)
    if one_bit:
        buffer = io.BytesIO()
        dots = image.convert("L").point(lambda level: 255 if level >= _HALF else 0).convert("1")
        dots.save(buffer, format="PNG", compress_level=2, dpi=(dpi, dpi), optimize=False)
        return buffer.getvalue()
    return _png(image, dpi)


def _png(image: Image.Image, dpi: float) -> bytes:
    """Return an RGB image as a PNG file, its rows as they are: on flat areas and letters a filter costs time and saves nothing.

    Source of the format: ISO/IEC 15948.
    """
    length = 3 * image.width
    dots = image.tobytes()
    rows = b"".join(b"\0" + dots[start : start + length] for start in range(0, len(dots), length))
    per_meter = round(dpi / MM_PER_INCH * _MM_PER_METER)
    header = struct.pack(">IIBBBBB", *image.size, _BITS, _RGB, 0, 0, 0)
    chunks = (
        (b"IHDR", header),
        (b"pHYs", struct.pack(">IIB", per_meter, per_meter, 1)),
        (b"IDAT", zlib.compress(rows, 1)),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, content) for name, content in chunks)


def _chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))
