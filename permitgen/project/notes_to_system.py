"""Who described the hardware of a project from what, and who checked it."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from permitgen.project.hardware_files import NAMING_KEYS
from permitgen.system.described_hardware import DescribedHardware

if TYPE_CHECKING:
    from permitgen.project.cursor import Cursor
    from permitgen.project.sections.hardware_notes import HardwareNotes
    from permitgen.project.sections.project_file import ProjectFile


def described_hardware(root: Cursor, models: ProjectFile) -> tuple[DescribedHardware, ...]:
    """Return what is used of hardware files, and what names its data sheet or who checked it, in the order of the file."""
    return tuple(_described(root, models))


def _described(root: Cursor, models: ProjectFile) -> Iterator[DescribedHardware]:
    used = {getattr(item, key, "") for item in models.equipment.values() for key in NAMING_KEYS}
    for name, entry in models.catalog.items():
        is_of_file = root.file.file_of(("catalog", name)) != root.file.file
        if name in used and (is_of_file or _is_noted(entry)):
            yield _of(root.child("catalog", name, model=entry), name, root.file.file)
    for tag, item in models.equipment.items():
        if not item.catalog and _is_noted(item):
            yield _of(root.child("equipment", tag, model=item), tag, root.file.file)


def _is_noted(entry: HardwareNotes) -> bool:
    return entry.data_sheet is not None or bool(entry.sources) or entry.checked is not None


def _from_project(told_in: str, project_file: str, file: str) -> str:
    """Return a file that is named in another file as seen from the folder of the project."""
    named = posixpath.join(posixpath.dirname(told_in), file)
    return posixpath.relpath(named, posixpath.dirname(project_file) or ".")


def _of(at: Cursor, tag: str, root_file: str) -> DescribedHardware:
    given: Any = at.model
    sheet = given.data_sheet
    words = (sheet.file, sheet.page and f"page {sheet.page}", sheet.row) if sheet is not None else ()
    checked = given.checked
    return DescribedHardware(
        tag=tag,
        name=given.name,
        data_sheet=", ".join(part for part in words if part),
        sheet_file=_from_project(at.line().file, root_file, sheet.file) if sheet is not None else "",
        sheet_page=sheet.page if sheet is not None else "",
        boxed=sheet.box if sheet is not None else (),
        checked_by=checked.by if checked is not None else "",
        checked_on=checked.date if checked is not None else "",
        at=at.line(),
    )
