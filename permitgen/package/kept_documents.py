"""What of a package that stands in a folder need not be drawn again.

A package stays as it is where program, edition and every input are those of its manifest and nobody touched a file. Otherwise a document
stays where all that it is drawn from is the same: its whole view, the project's templates, the program. What nobody can tell is drawn.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.folder import CannotWriteError, package_in
from permitgen.package.listed import Listed
from permitgen.package.manifest import inputs_of
from permitgen.package.program_digest import program_digest
from permitgen.package.submission_job import submission_folder
from permitgen.views.view_digest import NotPlainError, digest_of_view

if TYPE_CHECKING:
    from permitgen.package.documents import Document
    from permitgen.package.opened_project import OpenedProject

_TEMPLATES = "templates/"


def drawn_from(document: Document, opened: OpenedProject) -> str:
    """Return the hex SHA-256 of all that a document is drawn from; empty where that cannot be told.

    Raises what laying out the sheets raises: the calculation names the sheets on which things are.
    """
    if document.shows is None:
        return ""
    templates = {name: content for name, content in sorted(opened.inputs.items()) if name.startswith(_TEMPLATES)}
    try:
        shown = digest_of_view((document.name, opened.not_made, templates, document.shows(opened)), opened.loaded.file.file)
    except NotPlainError:
        return ""
    return hashlib.sha256(f"{program_digest()} {shown}".encode()).hexdigest()


def same_document(found: Listed | None, folder: Path, document: Document, digest: str) -> dict[str, bytes] | None:
    """Return the files of a document that was drawn from the same and not touched since; None where it is to be drawn.

    Raises:
        CannotWriteError: the folder cannot be read.
    """
    before = found.drawn.get(document.name) if found is not None else None
    if found is None or before is None or not digest or before.drawn_from != digest:
        return None
    files = files_as_built(found, folder, before.files)
    return files if len(files) == len(before.files) else None


def files_as_built(found: Listed, folder: Path, names: Iterable[str]) -> dict[str, bytes]:
    """Return those of the named outputs that are there as they were written.

    Raises:
        CannotWriteError: the folder cannot be read.
    """
    try:
        there = [name for name in names if name in found.outputs and (folder / name).exists()]
        return {name: (folder / name).read_bytes() for name in there if found.is_ours(name, folder / name)}
    except OSError as error:
        raise CannotWriteError(f"{error.filename}: {error.strerror}") from error


def is_of_same_inputs(found: Listed, opened: OpenedProject) -> bool:
    """Whether a package was written by this program from the same inputs, all of its documents made."""
    same = found.fingerprint == opened.fingerprint and found.inputs == inputs_of(opened)
    return same and found.drawn_by == program_digest() and not found.is_incomplete


def package_as_it_would_be(
    found: Listed | None, folder: Path, opened: OpenedProject, chosen: Collection[str], *, is_part: bool
) -> dict[str, bytes]:
    """Return the files of a package that building would write again as they are; nothing where anything would be written.

    ``chosen`` are the names of the documents asked for; where they are a part of the package, others may be there, too.

    Raises:
        UnusableFolderError: no submission may stand beside the package.
        CannotWriteError: the folder cannot be read.
    """
    if found is None or not is_of_same_inputs(found, opened):
        return {}
    if not (set(chosen) <= found.drawn.keys() if is_part else set(chosen) == found.drawn.keys()):
        return {}
    files = files_as_built(found, folder, found.outputs)
    if len(files) != len(found.outputs) or not (is_part or _submission_stands(folder, opened)):
        return {}
    return files


def _submission_stands(folder: Path, opened: OpenedProject) -> bool:
    if opened.loaded.system.jurisdiction.submission is None:
        return True
    beside = submission_folder(folder)
    found = package_in(beside, opened.loaded.folder)[1]
    return (
        found is not None and is_of_same_inputs(found, opened) and len(files_as_built(found, beside, found.outputs)) == len(found.outputs)
    )
