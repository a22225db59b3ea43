"""The material list for spreadsheets: one table as CSV, the same with its sums as XLSX. A text is a text there, whatever it begins with."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from permitgen.documents.fixed_archive import rezipped
from permitgen.views.material_list import COUNTED

if TYPE_CHECKING:
    from permitgen.views.material_list import MaterialList

HEADINGS = ("section", "item", "size", "detail", "quantity", "unit", "to order", "part not stated", "leads to")
_WIDTHS = (24, 44, 30, 42, 12, 8, 12, 14, 90)
_CORE = "docProps/core.xml"
_TIME = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
_FIXED_TIME = b"2000-01-01T00:00:00Z"
# A spreadsheet takes a cell that begins so for a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
Cell = str | float | None


def material_list_csv(view: MaterialList) -> bytes:
    """Return ``material_list.csv``: one line for each material, lengths in feet; lines about the list itself stand below an empty one."""
    text = io.StringIO()
    write = csv.writer(text, lineterminator="\r\n")
    write.writerow(HEADINGS)
    for row in _rows(view):
        write.writerow([plain_cell(cell) for cell in row])
    write.writerow([])
    for line in (*_about(view), *(("not counted", *left) for left in view.left_out)):
        write.writerow([plain_cell(cell) for cell in line])
    return text.getvalue().encode("utf-8-sig")


def material_list_xlsx(view: MaterialList) -> bytes:
    """Return ``material_list.xlsx``: the materials, and on a sheet of its own what is not counted."""
    from openpyxl import Workbook
    from openpyxl.styles import Alignment, Font

    book = Workbook()
    sheet = book.active
    sheet.title = "Material list"
    _fill(sheet, [HEADINGS, *_rows(view)])
    _fill(book.create_sheet("Not counted"), [("tag", "what", "why"), *view.left_out, (), *_about(view)])
    for each in book.worksheets:
        each.freeze_panes = "A2"
        for cell in each[1]:
            cell.font = Font(bold=True)
    for number, width in enumerate(_WIDTHS):
        sheet.column_dimensions[chr(ord("A") + number)].width = width
    for row in sheet.iter_rows(min_row=2):
        for cell in row:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    sheet.page_setup.orientation, sheet.page_setup.fitToHeight, sheet.sheet_properties.pageSetUpPr.fitToPage = "landscape", 0, True
    properties = book.properties
    properties.title, properties.creator = f"Material list, {view.title.project}"[:255], view.title.contractor[:255] or "permitgen"
    properties.subject = f"{view.title.edition}, revision {view.title.revision}, Document ID {view.document_id}"[:255]
    written = io.BytesIO()
    book.save(written)
    return rezipped(written.getvalue(), {_CORE: _without_clock(written.getvalue())})


def _without_clock(content: bytes) -> bytes:
    """Return the properties of a book with a fixed time in place of that of the writing, which the library puts there."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return _TIME.sub(_FIXED_TIME, archive.read(_CORE))


def _rows(view: MaterialList) -> Iterator[tuple[Cell, ...]]:
    for section in view.sections:
        for row in section.rows:
            is_open = "yes" if row.is_open else ""
            yield (section.title, row.item, row.size, row.detail, row.quantity, row.unit, row.order, is_open, row.leads_to)


def _about(view: MaterialList) -> tuple[tuple[str, ...], ...]:
    title = view.title
    return (
        ("project", title.project, title.address),
        ("edition", title.edition, f"revision {title.revision}", f"Document ID {view.document_id}"),
        ("standing", title.status),
        ("allowance", view.allowance),
        ("counted", COUNTED),
    )


def plain_cell(cell: Cell) -> str:
    """Return a cell of a CSV file as text that no spreadsheet takes for a formula."""
    if isinstance(cell, float):
        return f"{cell:.2f}".rstrip("0").rstrip(".")
    text = cell or ""
    return f"'{text}" if text.startswith(_FORMULA) else text


def _fill(sheet: Any, rows: list[tuple[Cell, ...]]) -> None:
    """Write rows as texts and numbers, never as formulas."""
    for number, row in enumerate(rows, start=1):
        for column, value in enumerate(row, start=1):
            cell = sheet.cell(row=number, column=column)
            if isinstance(value, float):
                cell.value, cell.number_format = round(value, 2), "0.##"
            elif value:
                cell.value, cell.data_type = _without_controls(value), "s"


def _without_controls(text: str) -> str:
    """Return a text as a sheet of this format holds it: without control characters, at most as long as a cell."""
    return "".join(sign for sign in text if sign in "\t\n" or sign.isprintable() or sign == "\u00a0")[:32_767]
