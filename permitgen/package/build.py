"""Builds the package of one project."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.documents import DOCUMENTS, PLACARD, Document
from permitgen.package.folder import CannotWriteError, Written, package_in, write_folder
from permitgen.package.listed import MANIFEST, Listed
from permitgen.package.manifest import inputs_of, manifest_of
from permitgen.package.submission_job import submission_files, submission_folder
from permitgen.reading.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Progress = Callable[[Document], None]


@dataclass(frozen=True, slots=True)
class Built:
    """A package as it was written: its files, the documents that could not be made with the reason, and what the folder held.

    ``submission`` are the names of the files beside it that are handed in.
    """

    files: Mapping[str, bytes]
    missing: tuple[tuple[str, str], ...]
    written: Written
    submission: tuple[str, ...] = ()


class _CannotBeMadeError(Exception):
    """The document ``title`` cannot be made from these facts; the message says why and what would do."""

    def __init__(self, title: str, why: str) -> None:
        super().__init__(why)
        self.title = title


def build_package(opened: OpenedProject, folder: Path, *, only: Sequence[str] = (), progress: Progress | None = None) -> Built:
    """Draw the documents (those named in ``only``, else all but those on request) and write them with their manifest.

    With ``only``, documents that stand in the folder from the same inputs stay; those from other inputs do not: a package is never mixed.
    A document that cannot be made is left out, and the others say so.

    Raises:
        UnusableFolderError: no package may stand in the folder.
        CannotWriteError: the folder cannot be written.
        ProblemsError: a template cannot be used, or a text holds a character that cannot be printed.
    """
    found = package_in(folder, opened.loaded.folder)[1]
    kept = _kept(opened, folder, found) if only and found is not None else {}
    chosen = [document for document in DOCUMENTS if (document.name in only if only else not document.on_request)]
    files, missing = _drawn_together(chosen, opened, kept, progress)
    made = replace(opened, not_made=tuple(title for title, _ in missing)) if missing else opened
    submission = _submission(made, folder, files) if not only else {}
    files[MANIFEST] = manifest_of(made, files, missing)
    written = write_folder(folder, files, over=found) if only else write_folder(folder, files)
    if submission:
        write_folder(submission_folder(folder), {**submission, MANIFEST: manifest_of(made, submission)})
    return Built(files, missing, written, tuple(submission))


def _submission(opened: OpenedProject, folder: Path, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files of the submission, where the jurisdiction says how papers are handed in.

    Raises:
        UnusableFolderError: no submission may stand beside the package; nothing is written then.
        ProblemsError: it cannot be made as the jurisdiction asks.
    """
    if opened.loaded.system.jurisdiction.submission is None:
        return {}
    package_in(submission_folder(folder), opened.loaded.folder)
    return submission_files(opened, files)


def _kept(opened: OpenedProject, folder: Path, found: Listed) -> dict[str, bytes]:
    """Return the files of a package that was written from the same inputs, all of its documents made, and not touched since."""
    if found.fingerprint != opened.fingerprint or found.is_incomplete or found.inputs != inputs_of(opened):
        return {}
    try:
        there = [name for name in found.outputs if (folder / name).exists()]
        return {name: (folder / name).read_bytes() for name in there if found.is_ours(name, folder / name)}
    except OSError as error:
        raise CannotWriteError(f"{error.filename}: {error.strerror}") from error


def _drawn_together(
    chosen: Sequence[Document], opened: OpenedProject, kept: Mapping[str, bytes], progress: Progress | None
) -> tuple[dict[str, bytes], tuple[tuple[str, str], ...]]:
    """Draw documents; where one cannot be made, draw the others again, which then say that it is missing."""
    missing: dict[str, str] = {}
    while True:
        files, failed = dict(kept), {}
        for document in chosen:
            if document.title in missing:
                continue
            if progress is not None:
                progress(document)
            try:
                files.update(_drawn(document, opened, files))
            except _CannotBeMadeError as error:
                # A sheet that shows the placard fails with it, and is drawn again without.
                failed[error.title if error.title not in missing else document.title] = str(error)
        if not failed:
            return files, tuple(missing.items())
        missing.update(failed)
        kept = {}  # these do not say it
        opened = replace(opened, not_made=tuple(missing))


def _drawn(document: Document, opened: OpenedProject, earlier: Mapping[str, bytes]) -> Mapping[str, bytes]:
    from permitgen.documents.canvas.to_dxf import DxfLibraryMissingError
    from permitgen.documents.fonts.faces import MissingGlyphError
    from permitgen.documents.labels.lettering import LabelContrastError
    from permitgen.documents.labels.stock import LabelDoesNotFitError
    from permitgen.documents.placard import PlacardDoesNotFitError

    try:
        return document.draw(opened, earlier)
    except PlacardDoesNotFitError as error:
        raise _CannotBeMadeError(PLACARD, str(error)) from error
    except (LabelDoesNotFitError, LabelContrastError, DxfLibraryMissingError) as error:
        raise _CannotBeMadeError(document.title, str(error)) from error
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
