"""One project of a shelf: judged, built, or compared with itself under another edition, ordinance or hardware; told in one row."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.code.amendment import Amendment, read_amendment
from permitgen.package.build import build_package, default_folder
from permitgen.package.folder import CannotWriteError, UnusableFolderError
from permitgen.package.opened_project import OpenedProject, open_project
from permitgen.package.standing import is_violated, standing_of_project
from permitgen.project.hardware_files import read_hardware
from permitgen.project.hardware_instead import entries_of_same_name
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import Verdict
from permitgen.views.gates import gate_text
from permitgen.views.shelf import ShelfChange, ShelfRow

if TYPE_CHECKING:
    from permitgen.project.hardware_instead import SameName
    from permitgen.reading.reader import ReadFile
    from permitgen.views.adoption import AdoptionLine, AdoptionSheet
    from permitgen.views.changes import Comparison


_FOR_PEOPLE = (".pdf", ".docx", ".html")


@dataclass(frozen=True, slots=True)
class TriedFile:
    """A file that is tried on every project of a shelf: its name in messages and its bytes."""

    file: str
    content: bytes


@dataclass(frozen=True, slots=True)
class ShelfJob:
    """A project file, ``file`` from the folder ``shelf`` (absolute), and what is asked of it.

    With ``documents`` its package is written. With ``edition``, ``ordinance`` (tried beside those it has) or ``hardware`` (whose entries
    are taken in place of its own of the same name and kind) it is compared with itself instead, and nothing is written.
    """

    shelf: Path
    file: str
    documents: bool = False
    edition: str = ""
    ordinance: TriedFile | None = None
    hardware: TriedFile | None = None

    @property
    def compares(self) -> bool:
        """Whether the project is compared with itself under something else."""
        return bool(self.edition) or self.ordinance is not None or self.hardware is not None


@dataclass(frozen=True, slots=True)
class ShelfResult:
    """The row of a project, and the files that it read, by their names in its folder: None where it could not be read."""

    row: ShelfRow
    inputs: tuple[str, ...] | None = None


def work_on(job: ShelfJob) -> ShelfResult:
    """Do what is asked of a project; what is wrong with it is its row, and no error.

    It is done in the folder of the shelf, so that messages and rows name files from there, wherever the shelf lies.
    """
    try:
        with contextlib.chdir(job.shelf):
            opened = open_project(Path(job.file))
            row = _compared(job, opened) if job.compares else _judged(job, opened)
    except (ProblemsError, CannotWriteError) as error:
        return ShelfResult(not_done(job, error))
    return ShelfResult(row, tuple(opened.all_inputs))


def not_done(job: ShelfJob, error: ProblemsError | CannotWriteError) -> ShelfRow:
    """Return the row of a project that stood in the way of its job itself, or whose package could not be written."""
    if isinstance(error, (ProblemsError, UnusableFolderError)):
        return ShelfRow(job.file, "bad input", messages=tuple(str(error).splitlines()))
    return ShelfRow(job.file, "not written", messages=(str(error),))


def _judged(job: ShelfJob, opened: OpenedProject) -> ShelfRow:
    standing = standing_of_project(opened)
    outcome = "violations" if is_violated(opened) else "done"
    messages = [finding.judgement.message for finding in opened.evaluation.findings if finding.is_open]
    messages += [f"as built or tested: {finding.judgement.message}" for finding in standing.violated]
    row = replace(_row(job, opened), outcome=outcome, gates=tuple(map(gate_text, standing.gates)))
    if job.documents:
        folder = default_folder(Path(job.file))
        built = build_package(opened, folder)
        messages += [f"could not be made: {document}: {why}" for document, why in built.missing]
        outcome = "a document is missing" if built.missing else outcome
        shown = tuple(name for name in sorted(built.files) if "/" not in name and name.endswith(_FOR_PEOPLE))
        row = replace(row, outcome=outcome, package=folder.as_posix(), documents=shown)
    return replace(row, messages=tuple(messages))


def _row(job: ShelfJob, opened: OpenedProject) -> ShelfRow:
    project = opened.evaluation.system.project
    counts = tuple((str(verdict), count) for verdict, count in opened.evaluation.counts.items() if verdict is not Verdict.DOES_NOT_APPLY)
    return ShelfRow(job.file, "done", project.name, project.number, opened.code.edition.book, counts)


def _compared(job: ShelfJob, own: OpenedProject) -> ShelfRow:
    """Compare a project under its own books and hardware with the same project under what is asked."""
    ordinance = read_amendment(job.ordinance.content, job.ordinance.file) if job.ordinance is not None else None
    hardware = read_hardware(job.hardware.content, job.hardware.file) if job.hardware is not None else None
    said, is_other = _hardware_said(own, hardware) if hardware is not None else ((), False)
    row = replace(_row(job, own), messages=said)
    if not (job.edition or ordinance is not None or is_other):
        return row
    other = open_project(Path(job.file), edition=job.edition, trial=ordinance, hardware=hardware)
    if ordinance is not None and not _changes(ordinance, other):
        books = f"{other.code.edition.book} or {other.code.fire_code.book}"
        row = replace(row, messages=(*said, f"no row of {ordinance.ordinance} is for {books}; it changes nothing here"))
        if not (job.edition or is_other):
            return row
    if other.code.last_read is not other.code:
        changes, new = _as_adopted(own, other)
    else:
        changes, new = _as_changed(own, other)
    return replace(row, outcome="violations" if new else "done", changes=changes, new_violations=new)


def _hardware_said(own: OpenedProject, hardware: ReadFile) -> tuple[tuple[str, ...], bool]:
    """Return which entries of a hardware file a project would take in place of which, and whether any says something else."""
    found = entries_of_same_name(own.loaded.written, hardware)
    said = tuple(map(_entry_said, found)) or (f"uses no entry of {hardware.file}; it changes nothing here",)
    return said, any(each.is_taken and each.keys for each in found)


def _entry_said(each: SameName) -> str:
    if not each.is_taken:
        return f"{each.name}: {each.other_kind} in {each.other_place}, but {each.kind} in {each.place}; not taken"
    other = f"other: {', '.join(each.keys)}" if each.keys else "the same there"
    return f"{each.name}: taken from {each.other_place} in place of {each.place}; {other}"


def _changes(ordinance: Amendment, other: OpenedProject) -> bool:
    return ordinance.changes(other.code) or ordinance.changes(other.code.last_read)


def _as_changed(own: OpenedProject, other: OpenedProject) -> tuple[tuple[ShelfChange, ...], int]:
    from permitgen.views.changes import comparison_of

    found: Comparison = comparison_of(own.evaluation, other.evaluation, ("", ""))
    changes = (ShelfChange(each.part, f"{each.subject}: {each.what}", f"{each.before} → {each.after}") for each in found.changes)
    return tuple(changes), found.new_violations


def _as_adopted(own: OpenedProject, other: OpenedProject) -> tuple[tuple[ShelfChange, ...], int]:
    """Return what an edition changes whose text was not read: what is reported of it, each line with its grade and source."""
    from permitgen.evaluation.unread_edition import sizes_as_reported
    from permitgen.views.adoption import adoption_sheet_of

    sheet: AdoptionSheet = adoption_sheet_of(own.evaluation, other.evaluation, sizes_as_reported(other.loaded.system, other.code))
    parts = (("verdict", sheet.results), ("size", sheet.sizes), ("look up", sheet.by_hand), ("not read", sheet.unread))
    return tuple(change for part, lines in parts for change in _lines(part, lines)), sheet.new_violations


def _lines(part: str, lines: tuple[AdoptionLine, ...]) -> Iterator[ShelfChange]:
    for line in lines:
        known = f" ({line.grade}{f': {line.source}' if line.source else ''})"
        yield ShelfChange(part, line.about, f"{line.says}{known}")
