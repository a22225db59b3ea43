"""PDFs joined and split as portals take them, without scripts; one with layers is refused, because without them it would show others."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject


class LayersError(ValueError):
    """A PDF with layers; the message follows its name."""


def page_count(content: bytes) -> int:
    """Return the number of pages."""
    return len(PdfReader(io.BytesIO(content)).pages)


def joined(documents: Sequence[tuple[str, bytes]]) -> bytes:
    """Return PDFs as one, each with its own outline below a line with its title."""
    writer = PdfWriter()
    for title, content in documents:
        writer.append(io.BytesIO(content), outline_item=title, import_outline=True)
    return _written(writer)


def pages_of(content: bytes) -> Iterator[tuple[str, bytes]]:
    """Yield what each line of the outline leads to, up to the next, with its title: one file each."""
    reader = PdfReader(io.BytesIO(content))
    starts: dict[int, str] = {}
    for each in reader.outline:
        if not isinstance(each, list):
            number = reader.get_destination_page_number(each)
            if number is not None:
                starts.setdefault(number, str(each.title))
    ordered = sorted(starts)
    for first, after in zip(ordered, [*ordered[1:], len(reader.pages)], strict=True):
        yield starts[first], _range(content, first, after)


def split_to_fit(content: bytes, most: int) -> tuple[bytes, ...]:
    """Return the pages in as few files of like length as keep each within ``most`` bytes; none where a page alone is larger."""
    count = page_count(content)
    for number in range(2, count + 1):
        edges = [round(count * n / number) for n in range(number + 1)]
        parts = tuple(_range(content, first, after) for first, after in pairwise(edges))
        if all(len(part) <= most for part in parts):
            return parts
    return ()


def portal_ready(content: bytes) -> bytes:
    """Return a PDF without scripts, as it is where it has none.

    Raises:
        LayersError: it has layers.
    """
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(content)))
    root = writer.root_object
    if "/OCProperties" in root:
        raise LayersError("has layers; ask for it, or print it, without them")
    return _written(writer) if _without_scripts(writer, root) else content


def _without_scripts(writer: PdfWriter, root: DictionaryObject) -> bool:
    """Take scripts away; return whether there were any."""
    names = root.get("/Names")
    found = [_taken(names.get_object(), "/JavaScript") if names is not None else False, _taken(root, "/AA")]
    if _is_script(root.get("/OpenAction")):
        found.append(_taken(root, "/OpenAction"))
    for page in writer.pages:
        found.append(_taken(page, "/AA"))
        for each in page.get("/Annots", ()):
            widget = each.get_object()
            found.append(_taken(widget, "/AA"))
            parent = widget.get("/Parent")
            found.append(_taken(parent.get_object(), "/AA") if parent is not None else False)
            if _is_script(widget.get("/A")):
                found.append(_taken(widget, "/A"))
    form = root.get("/AcroForm")
    found.append(_taken(form.get_object(), "/CO") if form is not None else False)
    return any(found)


def _is_script(action: Any) -> bool:
    kept = action.get_object() if action is not None else None
    return isinstance(kept, DictionaryObject) and kept.get("/S") == "/JavaScript"


def _taken(holder: Any, key: str) -> bool:
    return holder.pop(key, None) is not None


def _range(content: bytes, first: int, after: int) -> bytes:
    writer = PdfWriter()
    writer.append(io.BytesIO(content), pages=(first, after), import_outline=False)
    return _written(writer)


def _written(writer: PdfWriter) -> bytes:
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
