"""Word forms (ISO/IEC 29500): content controls and the older form fields, by their names, in body, headers and footers."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from lxml import etree

from permitgen.documents.docx_safety import UnsafeDocxError, checked_docx
from permitgen.documents.fixed_archive import rezipped
from permitgen.documents.forms.form import (
    Answers,
    FieldKind,
    Form,
    FormFault,
    FormFaultsError,
    FormField,
    FormRefusedError,
    Said,
    no_such_choice,
    no_such_field,
    refusal,
)

_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_W14 = "{http://schemas.microsoft.com/office/word/2010/wordml}"
_XML_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_PART = re.compile(r"word/(?:document|header[0-9]*|footer[0-9]*)\.xml")
_BODY = "word/document.xml"
_SIGNED = re.compile(r"_xmlsignatures/", re.IGNORECASE)
_LOCKED = ("contentLocked", "sdtContentLocked")
_BOXES = {True: "2612", False: "2610"}


@dataclass(frozen=True, slots=True)
class _Control:
    """A content control or an older field with its element; ``options`` are what it keeps and what it shows."""

    field: FormField
    element: Any
    options: tuple[tuple[str, str], ...] = ()


def word_form(content: bytes) -> Form:
    """Return the fields of a Word form, each name once.

    Raises:
        FormRefusedError: no DOCX file, one that fetches or runs something, or one that is signed.
    """
    fields: dict[str, FormField] = {}
    for root in _parts(content).values():
        for control in _controls(root):
            fields.setdefault(control.field.name, control.field)
    return Form("Word", tuple(fields.values()))


def filled_word(content: bytes, answers: Answers) -> bytes:
    """Return a Word form with the answers in it; a field whose name stands in several places is filled in all of them.

    Raises:
        FormRefusedError: as ``word_form``.
        FormFaultsError: some fields cannot be written so, or a place on a page is named: a text document has none.
    """
    parts = _parts(content)
    controls = [control for root in parts.values() for control in _controls(root)]
    known = {control.field.name for control in controls}
    faults = [no_such_field(name, known) for name in answers.fields if name not in known]
    faults += [FormFault(n, "a text document has no places in inches; name a field") for n, _ in enumerate(answers.places)]
    for control in controls:
        if control.field.name in answers.fields and (why := _fill(control, answers.fields[control.field.name])):
            faults.append(FormFault(control.field.name, why))
    if faults:
        raise FormFaultsError(list(dict.fromkeys(faults)))
    if answers.band:
        _put_band(parts[_BODY], answers.band)
    written = {name: etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True) for name, root in parts.items()}
    return rezipped(content, written)


def _put_band(root: Any, words: str) -> None:
    """Put a warning as the first paragraph of the body."""
    paragraph = etree.Element(f"{_W}p")
    run = etree.SubElement(paragraph, f"{_W}r")
    look = etree.SubElement(run, f"{_W}rPr")
    etree.SubElement(look, f"{_W}b")
    etree.SubElement(look, f"{_W}color").set(f"{_W}val", "C8102E")
    _only_text(run, words)
    root.find(f"{_W}body").insert(0, paragraph)


def _parts(content: bytes) -> dict[str, Any]:
    try:
        checked_docx(content)
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if any(_SIGNED.match(name) for name in archive.namelist()):
                raise FormRefusedError("is signed, and filling it would break the signature; fill a fresh copy")
            parser = etree.XMLParser(resolve_entities=False, no_network=True, huge_tree=False)
            return {name: etree.fromstring(archive.read(name), parser) for name in archive.namelist() if _PART.fullmatch(name)}
    except UnsafeDocxError as error:
        raise FormRefusedError(f"cannot be used: {error}") from error
    except etree.XMLSyntaxError as error:
        raise FormRefusedError("is not a Word file that can be read") from error


def _controls(root: Any) -> Iterator[_Control]:
    for element in root.iter(f"{_W}sdt"):
        control = _content_control(element)
        if control is not None:
            yield control
    for begin in root.iter(f"{_W}fldChar"):
        data = begin.find(f"{_W}ffData")
        control = _older_field(begin, data) if data is not None else None
        if control is not None:
            yield control


def _val(parent: Any, tag: str, default: str = "") -> str:
    found = parent.find(tag) if parent is not None else None
    return default if found is None else str(found.get(f"{_W}val", default))


def _content_control(element: Any) -> _Control | None:
    about = element.find(f"{_W}sdtPr")
    name = _val(about, f"{_W}tag") or _val(about, f"{_W}alias")
    if not name or next(element.iterdescendants(f"{_W}sdt"), None) is not None or about.find(f"{_W}picture") is not None:
        return None
    lists = [each for each in (about.find(f"{_W}dropDownList"), about.find(f"{_W}comboBox")) if each is not None]
    options = tuple(
        (item.get(f"{_W}value", ""), item.get(f"{_W}displayText", item.get(f"{_W}value", ""))) for each in lists for item in each
    )
    options = tuple(option for option in options if option[0])
    kind: FieldKind = "check box" if about.find(f"{_W14}checkbox") is not None else "choice" if lists else "text"
    field = FormField(
        name=name,
        kind=kind,
        is_multiline=kind == "text",
        is_read_only=_val(about, f"{_W}lock") in _LOCKED,
        takes_other=about.find(f"{_W}comboBox") is not None,
        options=tuple(shown for _, shown in options),
        about=_val(about, f"{_W}alias") if _val(about, f"{_W}tag") else "",
    )
    return _Control(field, element, options)


def _older_field(begin: Any, data: Any) -> _Control | None:
    name = _val(data, f"{_W}name")
    if not name:
        return None
    listed, box = data.find(f"{_W}ddList"), data.find(f"{_W}checkBox")
    entries = [entry.get(f"{_W}val", "") for entry in listed.iter(f"{_W}listEntry")] if listed is not None else []
    longest = _val(data.find(f"{_W}textInput"), f"{_W}maxLength", "0")
    field = FormField(
        name=name,
        kind="check box" if box is not None else "choice" if listed is not None else "text",
        most=int(longest) if longest.isdigit() and longest != "0" else None,
        is_read_only=_val(data, f"{_W}enabled", "1") in ("0", "false"),
        options=tuple(entries),
        about=_val(data, f"{_W}statusText"),
    )
    return _Control(field, begin, tuple((entry, entry) for entry in entries))


def _fill(control: _Control, said: Said) -> str:
    """Write into a control; return why it does not take this, empty where it does."""
    field = control.field
    if why := refusal(said, field.kind, field.most, is_read_only=field.is_read_only):
        return why
    shown = next((shown for option in control.options if said in option for shown in option[1:]), None)
    if field.kind == "choice" and shown is None and not field.takes_other:
        return no_such_choice(str(said), field.options)
    text: Said = said if isinstance(said, bool) else shown or said
    if control.element.tag == f"{_W}sdt":
        _into_control(control.element, text)
    else:
        _into_older_field(control, text)
    return ""


def _into_control(element: Any, said: Said) -> None:
    about, content = element.find(f"{_W}sdtPr"), element.find(f"{_W}sdtContent")
    for tag in ("showingPlcHdr", "dataBinding"):
        # A control that is bound would be filled from elsewhere again when the file is opened.
        for each in about.findall(f"{_W}{tag}"):
            about.remove(each)
    if isinstance(said, bool):
        box = about.find(f"{_W14}checkbox")
        checked = box.find(f"{_W14}checked")
        checked = etree.SubElement(box, f"{_W14}checked") if checked is None else checked
        checked.set(f"{_W14}val", "1" if said else "0")
        state = box.find(f"{_W14}{'checkedState' if said else 'uncheckedState'}")
        said = chr(int((state.get(f"{_W14}val") if state is not None else None) or _BOXES[said], 16))
    _set_text(content, said)


def _set_text(content: Any, text: str) -> None:
    """Put one text in place of all that a control shows; the look of its first run stays, but for that of a placeholder."""
    runs = list(content.iter(f"{_W}r"))
    first = runs[0] if runs else etree.SubElement(next(content.iter(f"{_W}p"), content), f"{_W}r")
    for run in runs[1:]:
        run.getparent().remove(run)
    look = first.find(f"{_W}rPr")
    for style in look.findall(f"{_W}rStyle") if look is not None else ():
        look.remove(style)
    _only_text(first, text)


def _only_text(run: Any, text: str) -> None:
    for child in list(run):
        if child.tag != f"{_W}rPr":
            run.remove(child)
    shown = etree.SubElement(run, f"{_W}t")
    shown.text = text
    shown.set(_XML_SPACE, "preserve")


def _into_older_field(control: _Control, said: Said) -> None:
    data = control.element.find(f"{_W}ffData")
    if isinstance(said, bool):
        _set_value(data.find(f"{_W}checkBox"), "checked", "1" if said else "0")
        return
    if control.field.kind == "choice":
        _set_value(data.find(f"{_W}ddList"), "result", str(control.field.options.index(said)), first=True)
    result = _result_runs(control.element)
    for run in result[1:]:
        run.getparent().remove(run)
    if result:
        _only_text(result[0], said)


def _set_value(parent: Any, tag: str, value: str, *, first: bool = False) -> None:
    found = parent.find(f"{_W}{tag}")
    if found is None:
        found = etree.Element(f"{_W}{tag}")
        parent.insert(0 if first else len(parent), found)
    found.set(f"{_W}val", value)


def _result_runs(begin: Any) -> list[Any]:
    """Return the runs between the separator and the end of a field, one made where there is none."""
    run = begin.getparent()
    found: list[Any] = []
    separator: Any = None
    for sibling in run.itersiblings():
        mark = sibling.find(f"{_W}fldChar")
        kind = mark.get(f"{_W}fldCharType") if mark is not None else ""
        if kind == "end":
            break
        if kind == "separate":
            separator = sibling
        elif separator is not None and sibling.tag == f"{_W}r":
            found.append(sibling)
    if separator is not None and not found:
        fresh = etree.Element(f"{_W}r")
        separator.addnext(fresh)
        return [fresh]
    return found
