"""Builds the package of one project."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.documents import DOCUMENTS, Document
from permitgen.package.folder import MANIFEST, write_folder
from permitgen.package.manifest import manifest_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Progress = Callable[[Document], None]


def build_package(opened: OpenedProject, folder: Path, *, only: Sequence[str] = (), progress: Progress | None = None) -> dict[str, bytes]:
    """Draw the documents (all, or those named in ``only``), write them with their manifest, and return them.

    Raises:
        CannotWriteError: the folder cannot be written.
    """
    files: dict[str, bytes] = {}
    for document in DOCUMENTS:
        if only and document.name not in only:
            continue
        if progress is not None:
            progress(document)
        files.update(document.draw(opened))
    files[MANIFEST] = manifest_of(opened, files)
    write_folder(folder, files)
    return files


def default_folder(project: Path) -> Path:
    """Return where the package goes when nobody says: ``package`` beside the project file."""
    return (project if project.is_dir() else project.parent) / "package"
