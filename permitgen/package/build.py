"""Builds the package of one project."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.documents import DOCUMENTS, Document
from permitgen.package.folder import MANIFEST, write_folder
from permitgen.package.manifest import manifest_of
from permitgen.project.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Progress = Callable[[Document], None]


def build_package(opened: OpenedProject, folder: Path, *, only: Sequence[str] = (), progress: Progress | None = None) -> dict[str, bytes]:
    """Draw the documents (all, or those named in ``only``), write them with their manifest, and return them.

    Raises:
        CannotWriteError: the folder cannot be written.
        ProblemsError: a template cannot be used, or a text holds a character that cannot be printed.
    """
    files: dict[str, bytes] = {}
    for document in DOCUMENTS:
        if only and document.name not in only:
            continue
        if progress is not None:
            progress(document)
        files.update(_drawn(document, opened, files))
    files[MANIFEST] = manifest_of(opened, files)
    write_folder(folder, files)
    return files


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
