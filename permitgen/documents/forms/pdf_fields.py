"""The fields of an AcroForm (ISO 32000-2, 12.7), read from the file's own objects: nested names, kids, and what each inherits."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pypdf import PdfReader, PdfWriter
from pypdf.errors import DependencyError, PyPdfError
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

from permitgen.documents.forms.form import FieldKind, Form, FormField, FormRefusedError
from permitgen.documents.pdf_of_others import BROKEN, silence_the_library

_MOST_FIELDS, _DEEPEST = 3000, 30
_POINTS_PER_INCH = 72
_ENCRYPTED, _NOT_A_PDF = "is encrypted; ask for a copy without a password", "is not a PDF that can be read"
# Bits of /Ff (tables 227 to 232 of the standard), counted from 1.
_READ_ONLY, _MULTILINE, _PASSWORD, _RADIO, _PUSH_BUTTON, _COMBO, _EDIT, _FILE_SELECT, _COMB = 1, 13, 14, 16, 17, 18, 19, 21, 25
_INHERITED = ("/FT", "/Ff", "/V", "/MaxLen", "/DA", "/Q", "/Opt")
OFF = "/Off"


@dataclass(frozen=True, slots=True)
class PdfField:
    """A field with its objects: its own dictionary, what it inherits, and the widgets that show it."""

    name: str
    own: DictionaryObject
    has: dict[str, Any]
    widgets: tuple[DictionaryObject, ...]

    def flag(self, bit: int) -> bool:
        """Whether a bit of its flags is set."""
        return bool(int(self.has.get("/Ff", 0)) >> (bit - 1) & 1)

    @property
    def kind(self) -> FieldKind:
        """What kind of field it is."""
        match str(self.has.get("/FT", "")):
            case "/Tx":
                return "text"
            case "/Ch":
                return "choice"
            case "/Sig":
                return "signature"
        if self.flag(_PUSH_BUTTON):
            return "button"
        return "radio buttons" if self.flag(_RADIO) else "check box"

    @property
    def most(self) -> int | None:
        """The greatest number of characters."""
        return int(self.has["/MaxLen"]) if self.kind == "text" and "/MaxLen" in self.has else None

    @property
    def is_comb(self) -> bool:
        """Whether each character has a cell of its own."""
        return self.kind == "text" and self.flag(_COMB) and not self.flag(_MULTILINE) and bool(self.most)

    @property
    def is_multiline(self) -> bool:
        """Whether its text runs over several lines."""
        return self.kind == "text" and self.flag(_MULTILINE)

    @property
    def is_read_only(self) -> bool:
        """Whether its maker keeps it from being filled, or it is a password or a file."""
        is_secret = self.kind == "text" and (self.flag(_PASSWORD) or self.flag(_FILE_SELECT))
        return self.flag(_READ_ONLY) or is_secret

    @property
    def takes_other(self) -> bool:
        """Whether a choice also takes a text that is none of its options."""
        return self.kind == "choice" and self.flag(_COMBO) and self.flag(_EDIT)

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """What may be chosen, each as the file keeps it and as people read it."""
        listed = [_pair(each.get_object()) for each in self.has.get("/Opt", ())]
        if self.kind == "choice":
            return tuple(listed)
        states = [on_state(widget) for widget in self.widgets]
        kept = [state if state is not None else f"/{number}" for number, state in enumerate(states)]
        shown = [listed[n][1] if n < len(listed) else state.removeprefix("/") for n, state in enumerate(kept)]
        return tuple(zip(kept, shown, strict=True))


def _pair(option: Any) -> tuple[str, str]:
    if isinstance(option, ArrayObject):
        return str(option[0].get_object()), str(option[-1].get_object())
    return str(option), str(option)


def on_state(widget: DictionaryObject) -> str | None:
    """Return the name of a button's appearance when it is on, None where the file has none."""
    shown = widget.get("/AP")
    normal = shown.get_object().get("/N") if shown is not None else None
    states = normal.get_object() if normal is not None else None
    if not isinstance(states, DictionaryObject) or hasattr(states, "get_data"):
        return None
    return next((str(state) for state in states if state != OFF), None)


def opened_form(content: bytes) -> PdfWriter:
    """Return a PDF ready to be filled.

    Raises:
        FormRefusedError: it is no PDF, is encrypted or signed, or its form is of a kind that a plain field cannot show.
    """
    silence_the_library()
    try:
        return _checked(PdfReader(io.BytesIO(content)))
    except FormRefusedError:
        raise
    except DependencyError as error:  # a cipher for which no library is installed
        raise FormRefusedError(_ENCRYPTED) from error
    except (PyPdfError, *BROKEN) as error:
        raise FormRefusedError(_NOT_A_PDF) from error


def _checked(reader: PdfReader) -> PdfWriter:
    if reader.is_encrypted:
        raise FormRefusedError(_ENCRYPTED)
    writer = PdfWriter(clone_from=reader)
    _refuse_what_breaks(writer)
    if not writer.pages:
        raise FormRefusedError("has no pages")
    return writer


def _refuse_what_breaks(writer: PdfWriter) -> None:
    root = writer.root_object
    acroform = acroform_of(writer)
    if any(field.kind == "signature" and "/V" in field.has for field in fields_of(writer)):
        raise FormRefusedError("is signed, and filling it would break the signature; fill a fresh copy")
    if "/Perms" in root:
        raise FormRefusedError("carries rights or a certificate that a change would break; fill a fresh copy")
    if "/XFA" in acroform:
        raise FormRefusedError("keeps its form as XFA, which fields do not show; ask for a plain PDF form")


def acroform_of(writer: PdfWriter) -> DictionaryObject:
    """Return the dictionary of the form, an empty one where the file has none."""
    found = writer.root_object.get("/AcroForm")
    return found.get_object() if found is not None else DictionaryObject()


def fields_of(writer: PdfWriter) -> list[PdfField]:
    """Return the fields in the order of the form.

    Raises:
        FormRefusedError: more fields than a form has, or fields within each other without end.
    """
    found: list[PdfField] = []
    for each in acroform_of(writer).get("/Fields", ()):
        for field in _below(each.get_object(), "", {}, 0):
            found.append(field)
            if len(found) > _MOST_FIELDS:
                raise FormRefusedError(f"has more than {_MOST_FIELDS} fields")
    return found


def _below(own: Any, above: str, inherited: dict[str, Any], depth: int) -> Iterator[PdfField]:
    if not isinstance(own, DictionaryObject):
        return
    if depth > _DEEPEST:
        raise FormRefusedError("nests its fields without end")
    name = ".".join(part for part in (above, str(own["/T"].get_object()) if "/T" in own else "") if part)
    has = {**inherited, **{key: own[key].get_object() for key in _INHERITED if key in own}}
    listed: Any = own["/Kids"].get_object() if "/Kids" in own else ()
    kids = [kid.get_object() for kid in listed]
    named = [kid for kid in kids if isinstance(kid, DictionaryObject) and "/T" in kid]
    if named:
        for kid in named:
            yield from _below(kid, name, has, depth + 1)
    elif name:
        widgets = [kid for kid in kids if isinstance(kid, DictionaryObject)] or [own]
        yield PdfField(name, own, has, tuple(widgets))


def pdf_form(content: bytes) -> Form:
    """Return the fields and pages of a PDF.

    Raises:
        FormRefusedError: as ``opened_form``.
    """
    writer = opened_form(content)
    try:
        pages = _page_of_widgets(writer)
        fields = tuple(_described(field, pages) for field in fields_of(writer))
        sizes = tuple(seen_size_in(page) for page in writer.pages)
    except (PyPdfError, *BROKEN) as error:
        if isinstance(error, FormRefusedError):
            raise
        raise FormRefusedError(_NOT_A_PDF) from error
    return Form("PDF", fields, sizes)


def seen_size_in(page: Any) -> tuple[float, float]:
    """Return width and height in inches of a page as a viewer turns it."""
    box = page.cropbox
    width, height = float(box.width) / _POINTS_PER_INCH, float(box.height) / _POINTS_PER_INCH
    return (height, width) if page.rotation % 180 else (width, height)


def _page_of_widgets(writer: PdfWriter) -> dict[int, int]:
    found: dict[int, int] = {}
    for number, page in enumerate(writer.pages, start=1):
        for each in page.get("/Annots", ArrayObject()).get_object():
            if isinstance(each, IndirectObject):
                found[each.idnum] = number
    return found


def _described(field: PdfField, pages: dict[int, int]) -> FormField:
    own = (widget.indirect_reference for widget in field.widgets)
    numbers = [pages[each.idnum] for each in own if each is not None and each.idnum in pages]
    return FormField(
        name=field.name,
        kind=field.kind,
        page=min(numbers, default=0),
        most=field.most,
        is_comb=field.is_comb,
        is_multiline=field.is_multiline,
        is_read_only=field.is_read_only,
        takes_other=field.takes_other,
        options=tuple(shown for _, shown in field.choices) if field.kind in ("radio buttons", "choice") else (),
        about=str(field.own.get("/TU", "")),
    )
