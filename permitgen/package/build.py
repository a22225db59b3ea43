"""Builds the package of one project."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.documents import DOCUMENTS, Document
from permitgen.package.folder import MANIFEST, write_folder
from permitgen.package.manifest import manifest_of
from permitgen.package.verify import NotAPackageError, verify_package
from permitgen.reading.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Progress = Callable[[Document], None]


def build_package(opened: OpenedProject, folder: Path, *, only: Sequence[str] = (), progress: Progress | None = None) -> dict[str, bytes]:
    """Draw the documents (all, or those named in ``only``), write them with their manifest, and return them.

    With ``only``, documents that stand in the folder from the same inputs stay; those from other inputs do not: a package is never mixed.

    Raises:
        CannotWriteError: the folder cannot be written.
        ProblemsError: a template cannot be used, or a text holds a character that cannot be printed.
    """
    files = _kept(opened, folder) if only else {}
    for document in DOCUMENTS:
        if only and document.name not in only:
            continue
        if progress is not None:
            progress(document)
        files.update(_drawn(document, opened, files))
    files[MANIFEST] = manifest_of(opened, files)
    write_folder(folder, files)
    return files


def _kept(opened: OpenedProject, folder: Path) -> dict[str, bytes]:
    """Return the files of a package that was written from the same inputs and not touched since."""
    try:
        manifest = json.loads((folder / MANIFEST).read_text("utf-8"))
        if manifest["fingerprint"] != opened.fingerprint or not verify_package(folder).none:
            return {}
        return {entry["path"]: (folder / entry["path"]).read_bytes() for entry in manifest["outputs"]}
    except (OSError, ValueError, KeyError, TypeError, NotAPackageError):
        return {}


def _drawn(document: Document, opened: OpenedProject, earlier: Mapping[str, bytes]) -> Mapping[str, bytes]:
    from permitgen.documents.fonts.faces import MissingGlyphError

    try:
        return document.draw(opened, earlier)
    except MissingGlyphError as error:
        raise ProblemsError([_unprintable(opened, error.characters, str(error))]) from error


def _unprintable(opened: OpenedProject, characters: tuple[str, ...], message: str) -> Problem:
    """Return the problem of a character that no face has, at the first place of the project file that holds it."""
    file = opened.loaded.file
    for number, line in enumerate(file.text.splitlines(), start=1):
        found = [line.index(character) for character in characters if character in line]
        if found:
            return Problem(file.file, number, min(found) + 1, "", message)
    return Problem(file.file, 1, 1, "", message)


def default_folder(project: Path) -> Path:
    """Return where the package goes when nobody says: ``package`` beside the project file."""
    return (project if project.is_dir() else project.parent) / "package"
