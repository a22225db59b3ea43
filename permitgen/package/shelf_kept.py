"""What a shelf came to, kept in a journal beside its summary, so that a second run passes over what did not change.

A line is written when a project is done, so that a run that was stopped or killed is taken up where it ended. A row counts again only
where every file of the project, the package, the program and what is asked are the same: these are digests, never dates of files.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from permitgen.package.listed import MANIFEST, NotAPackageError, listed_in
from permitgen.package.shelf_folder import digest_of_folder, files_not_walked
from permitgen.package.shelf_job import ShelfJob, ShelfResult, work_on
from permitgen.project.whole_file import write_file_whole
from permitgen.views.shelf import ShelfChange, ShelfRow

JOURNAL = "shelf.kept.jsonl"
SETTLED = ("done", "violations", "a document is missing")
"""Outcomes that the inputs alone decide. The others are tried again: a disk may have room by now."""


@dataclass(frozen=True, slots=True)
class KeptRow:
    """A row with what it rests on: the program, what was asked, the digests of the project's files and of the package written."""

    program: str
    asked: str
    files: str
    further: tuple[str, ...]
    package: str
    row: ShelfRow


@dataclass(frozen=True, slots=True)
class ShelfTask:
    """A job with what is needed to keep its row: the program's digest, and the folder of the summary, no part of any project."""

    job: ShelfJob
    program: str
    out: Path

    @property
    def asked(self) -> str:
        """The digest of what is asked of the project."""
        asked = [str(self.job.documents), self.job.edition]
        for tried in (self.job.ordinance, self.job.hardware):
            asked += [tried.file, hashlib.sha256(tried.content).hexdigest()] if tried is not None else [""]
        return hashlib.sha256("\n".join(asked).encode("utf-8", "surrogateescape")).hexdigest()

    @property
    def folder(self) -> Path:
        """The project's folder."""
        return (self.job.shelf / self.job.file).parent

    def files_digest(self, further: Iterable[str] = ()) -> str:
        """Return the digest of the project's files as they are now."""
        return digest_of_folder(self.folder, further, besides=self.out)


Kept = dict[tuple[str, str], KeptRow]
"""Rows by project file and by what was asked."""


def kept_row(kept: Mapping[tuple[str, str], KeptRow], task: ShelfTask) -> ShelfRow | None:
    """Return the row of a project where nothing that it rests on has changed."""
    found = kept.get((task.job.file, task.asked))
    if found is None or found.program != task.program:
        return None
    if found.files != task.files_digest(found.further) or not _stands(task.job.shelf, found):
        return None
    return found.row


def work_and_keep(task: ShelfTask) -> tuple[ShelfRow, KeptRow | None]:
    """Do what is asked of a project, and return its row with what is to be kept of it.

    Nothing is kept of a row that is to be tried again, nor where a file was changed meanwhile: nobody knows which of the two was read.
    """
    before = task.files_digest()
    result = work_on(task.job)
    return result.row, row_to_keep(task, before, result)


def row_to_keep(task: ShelfTask, before: str, result: ShelfResult) -> KeptRow | None:
    """Return what is to be kept of a row, its package written; ``before`` is the digest of the files before they were read."""
    row = result.row
    if result.inputs is None or row.outcome not in SETTLED or before != task.files_digest():
        return None
    further = files_not_walked(task.folder, result.inputs, besides=task.out)
    package = _manifest_digest(task.job.shelf / row.package) if row.package else ""
    files = task.files_digest(further) if further else before
    return KeptRow(task.program, task.asked, files, further, package, row)


def _stands(shelf: Path, found: KeptRow) -> bool:
    """Whether the package that was written is there: its manifest the same, none of its files gone or of another size."""
    if not found.row.package:
        return True
    folder = shelf / found.row.package
    if _manifest_digest(folder) != found.package:
        return False
    try:
        sizes = {str(entry["path"]): entry["bytes"] for entry in json.loads(listed_in(folder).manifest)["outputs"]}
        return all((folder / name).stat().st_size == size for name, size in sizes.items())
    except (OSError, NotAPackageError, ValueError, KeyError, TypeError):
        return False


def _manifest_digest(folder: Path) -> str:
    try:
        return hashlib.sha256((folder / MANIFEST).read_bytes()).hexdigest()
    except OSError:
        return ""


def read_kept(out: Path) -> Kept:
    """Read the journal; a line that is cut off, or of another program, is none."""
    kept: Kept = {}
    try:
        lines = (out / JOURNAL).read_text("utf-8", "replace").splitlines()
    except OSError:
        return kept
    for line in lines:
        try:
            found = _read(json.loads(line))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            continue
        kept[found.row.file, found.asked] = found
    return kept


def _read(data: Mapping[str, Any]) -> KeptRow:
    said = dict(data["row"])
    changes = tuple(ShelfChange(**change) for change in said.pop("changes"))
    counts = tuple((str(verdict), int(count)) for verdict, count in said.pop("counts"))
    gates, messages, documents = (tuple(map(str, said.pop(name))) for name in ("gates", "messages", "documents"))
    row = ShelfRow(**said, counts=counts, gates=gates, messages=messages, documents=documents, changes=changes)
    if row.outcome not in SETTLED:
        raise ValueError(row.outcome)
    program, asked, files, package = (str(data[name]) for name in ("program", "asked", "files", "package"))
    return KeptRow(program, asked, files, tuple(map(str, data["further"])), package, row)


def _line(kept: KeptRow) -> bytes:
    return (json.dumps(asdict(kept), ensure_ascii=False) + "\n").encode("utf-8", "surrogateescape")


def note_kept(out: Path, kept: KeptRow) -> None:
    """Add a row to the journal.

    Raises:
        OSError: the disk refuses.
    """
    handle = os.open(out / JOURNAL, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o666)
    with os.fdopen(handle, "ab") as stream:
        stream.write(b"\n" + _line(kept))  # after a line that was cut off there is a new one


def write_kept(out: Path, kept: Kept, program: str, files: Iterable[str]) -> None:
    """Write the journal anew with one line for each row of this program, of the projects in ``files``.

    Raises:
        OSError: the disk refuses; the journal is as it was.
    """
    there = set(files)
    lines = [_line(kept[key]) for key in sorted(kept) if key[0] in there and kept[key].program == program]
    write_file_whole(out / JOURNAL, b"".join(lines))
