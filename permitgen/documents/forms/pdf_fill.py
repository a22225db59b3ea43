"""Fills a PDF: fields by their names, texts and ticks by inches. What is not named stays as it is."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pypdf import PdfReader, PdfWriter, Transformation
from pypdf.errors import PyPdfError
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, NumberObject, TextStringObject

from permitgen.documents.canvas.colors import SAFETY_RED
from permitgen.documents.canvas.page import Document, Page
from permitgen.documents.canvas.shapes import Polyline, Shape, Text
from permitgen.documents.canvas.styles import MM_PER_INCH, Pen, points
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.fonts.faces import SANS, SANS_BOLD, MissingGlyphError
from permitgen.documents.forms.form import (
    Answers,
    FormFault,
    FormFaultsError,
    FormRefusedError,
    Placed,
    Said,
    no_such_choice,
    no_such_field,
    refusal,
)
from permitgen.documents.forms.pdf_appearance import DoesNotFitError, Look, streams, text_look, tick_look
from permitgen.documents.forms.pdf_fields import OFF, PdfField, fields_of, on_state, opened_form, seen_size_in
from permitgen.documents.pdf_of_others import BROKEN
from permitgen.reading.problems import quoted

_YES = "/Yes"
_BAND_MM = 4.0

Looks = list[tuple[DictionaryObject, str, Look]]
"""A widget, the state that the look is of (empty for a text), and the look."""


class CannotWriteError(ValueError):
    """Why something cannot be written into a field; the message follows the field's name."""


def filled_pdf(content: bytes, answers: Answers) -> bytes:
    """Return a PDF with the answers in it.

    Raises:
        FormRefusedError: the file cannot be filled at all.
        FormFaultsError: some fields or places cannot be written so, or hold a character that cannot be printed.
    """
    writer = opened_form(content)
    try:
        faults = [*_fill_fields(writer, answers.fields), *_write_on_pages(writer, answers)]
        if faults:
            raise FormFaultsError(faults)
        written = io.BytesIO()
        writer.write(written)
    except (PyPdfError, *BROKEN) as error:
        if isinstance(error, FormFaultsError | FormRefusedError):
            raise
        raise FormRefusedError("is not a PDF that can be read") from error
    return written.getvalue()


def _fill_fields(writer: PdfWriter, answers: Mapping[str, Said]) -> list[FormFault]:
    known = {field.name: field for field in fields_of(writer)}
    faults: list[FormFault] = []
    looks: Looks = []
    for name, said in answers.items():
        if name not in known:
            faults.append(no_such_field(name, known))
            continue
        try:
            looks += _answered(known[name], said)
        except (CannotWriteError, DoesNotFitError, MissingGlyphError) as error:
            faults.append(FormFault(name, str(error)))
    if not faults:
        _put_looks(writer, looks)
    return faults


def _answered(field: PdfField, said: Said) -> Looks:
    """Set the value of a field; return the looks that its widgets need.

    Raises:
        CannotWriteError: the field does not take this.
        DoesNotFitError: there is no room for it.
    """
    never = {"button": "is a button", "signature": "is for a signature"}.get(field.kind, "")
    if why := never or refusal(said, field.kind, field.most, is_read_only=field.is_read_only):
        raise CannotWriteError(why)
    if isinstance(said, bool):
        return _ticked(field, is_on=said)
    if field.kind == "radio buttons":
        return _picked(field, said)
    return _written(field, _option(field, said) if field.kind == "choice" else (said, said))


def _written(field: PdfField, text: tuple[str, str]) -> Looks:
    kept, shown = text
    field.own[NameObject("/V")] = TextStringObject(kept)
    for key in ("/RV", "/I"):
        field.own.pop(key, None)
    if field.kind == "choice" and not field.takes_other:
        field.own[NameObject("/I")] = ArrayObject([NumberObject([each for each, _ in field.choices].index(kept))])
    return [(widget, "", text_look(field, widget, shown)) for widget in field.widgets]


def _option(field: PdfField, said: str) -> tuple[str, str]:
    for kept, shown in field.choices:
        if said in (kept, shown):
            return kept, shown
    if field.takes_other:
        return said, said
    raise CannotWriteError(no_such_choice(said, [shown for _, shown in field.choices]))


def _ticked(field: PdfField, *, is_on: bool) -> Looks:
    states = [on_state(widget) for widget in field.widgets]
    state = next((each for each in states if each is not None), _YES) if is_on else OFF
    return _set_state(field, state, [own or _YES for own in states], is_round=False)


def _picked(field: PdfField, said: str) -> Looks:
    choices = field.choices
    kept = next((each for each, shown in choices if said in (each.removeprefix("/"), shown)), None)
    if kept is None:
        raise CannotWriteError(no_such_choice(said, [shown for _, shown in choices]))
    return _set_state(field, kept, [each for each, _ in choices], is_round=True)


def _set_state(field: PdfField, state: str, states: Sequence[str], *, is_round: bool) -> Looks:
    """Turn the widgets of ``state`` on and the others off; return the looks of those that have none of their own."""
    field.own[NameObject("/V")] = NameObject(state)
    looks: Looks = []
    for widget, own in zip(field.widgets, states, strict=True):
        widget[NameObject("/AS")] = NameObject(own if own == state else OFF)
        if on_state(widget) is None:
            empty = Look(*tick_look(widget, is_round=is_round).size, ())
            looks += [(widget, own, tick_look(widget, is_round=is_round)), (widget, OFF, empty)]
    return looks


def _put_looks(writer: PdfWriter, looks: Looks) -> None:
    for (widget, state, _), made in zip(looks, streams(writer, [(widget, look) for widget, _, look in looks]), strict=True):
        kept = widget.get("/AP")
        shown = kept.get_object() if kept is not None else DictionaryObject()
        if state:
            normal = shown.get("/N")
            states = normal.get_object() if normal is not None else DictionaryObject()
            states[NameObject(state)] = made
            shown[NameObject("/N")] = states
        else:
            shown[NameObject("/N")] = made
        for key in ("/D", "/R"):
            shown.pop(key, None)
        widget[NameObject("/AP")] = shown


def _write_on_pages(writer: PdfWriter, answers: Answers) -> list[FormFault]:
    faults: list[FormFault] = []
    sizes = [seen_size_in(page) for page in writer.pages]
    shapes: dict[int, list[Shape]] = {n: [_band(answers.band, size)] for n, size in enumerate(sizes, start=1) if answers.band}
    for number, place in enumerate(answers.places):
        if not 1 <= place.page <= len(sizes):
            faults.append(FormFault(number, f"the form has no page {place.page}; its pages: 1 to {len(sizes)}"))
            continue
        try:
            shapes.setdefault(place.page, []).extend(_placed(place, sizes[place.page - 1]))
        except (CannotWriteError, MissingGlyphError) as error:
            faults.append(FormFault(number, str(error)))
    if shapes and not faults:
        _merge(writer, shapes, sizes)
    return faults


def _band(words: str, size_in: tuple[float, float]) -> Shape:
    style = points(SANS_BOLD, 9, SAFETY_RED)
    return Text(size_in[0] * MM_PER_INCH / 2, style.cap_height_mm + _BAND_MM, words, style, "middle")


def _placed(place: Placed, size_in: tuple[float, float]) -> Iterator[Shape]:
    if place.left_in >= size_in[0] or place.top_in >= size_in[1]:
        raise CannotWriteError(f"lies off the page, which is {size_in[0]:g} by {size_in[1]:g} in")
    x, y = place.left_in * MM_PER_INCH, place.top_in * MM_PER_INCH
    style = points(SANS, place.size_pt)
    if isinstance(place.said, bool):
        if place.said:
            side = style.cap_height_mm
            yield Polyline(((x, y - side * 0.4), (x + side * 0.35, y), (x + side, y - side)), Pen(side * 0.16, cap="round", join="round"))
        return
    room = place.width_in if place.width_in is not None else size_in[0] - place.left_in
    needed = text_width(place.said, style) / MM_PER_INCH
    if needed > room:
        raise CannotWriteError(f"{quoted(place.said)} needs {needed:.2f} in at {place.size_pt:g} pt; the place has {room:.2f} in")
    yield Text(x, y, place.said, style)


def _merge(writer: PdfWriter, shapes: Mapping[int, Sequence[Shape]], sizes: Sequence[tuple[float, float]]) -> None:
    pages = tuple(Page(sizes[n - 1][0] * MM_PER_INCH, sizes[n - 1][1] * MM_PER_INCH, tuple(own)) for n, own in shapes.items())
    drawn = PdfReader(io.BytesIO(pdf_bytes(Document(pages, title="places"))))
    for number, over in zip(shapes, drawn.pages, strict=True):
        page: Any = writer.pages[number - 1]
        page.merge_transformed_page(over, _onto(page))


def _onto(page: Any) -> Transformation:
    """Return how a page as it is seen, its origin at the lower left, lies on the page as it is kept."""
    box, turn = page.cropbox, page.rotation % 360
    left, bottom, width, height = float(box.left), float(box.bottom), float(box.width), float(box.height)
    turned = {0: (0.0, 0.0), 90: (width, 0.0), 180: (width, height), 270: (0.0, height)}[turn]
    return Transformation().rotate(turn).translate(left + turned[0], bottom + turned[1])
