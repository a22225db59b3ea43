"""Builds the package of one project."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.documents import DOCUMENTS, Document, Files
from permitgen.package.folder import Written, package_in, write_folder
from permitgen.package.kept_documents import drawn_from, files_as_built, is_of_same_inputs, package_as_it_would_be, same_document
from permitgen.package.listed import MANIFEST, DrawnDocument, Listed
from permitgen.package.manifest import manifest_of
from permitgen.package.placard_job import PLACARD
from permitgen.package.submission_job import submission_files, submission_folder
from permitgen.reading.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Progress = Callable[[Document], None]


@dataclass(frozen=True, slots=True)
class Built:
    """A package as it was written: its files, the documents that could not be made with the reason, and what the folder held.

    ``submission`` are the names of the files beside it that are handed in. ``is_unchanged``: it stood there already, and nothing was
    written; ``kept`` are the names of documents that were not drawn again.
    """

    files: Mapping[str, bytes]
    missing: tuple[tuple[str, str], ...]
    written: Written
    submission: tuple[str, ...] = ()
    is_unchanged: bool = False
    kept: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Drawn:
    """The files of a package, its documents with what they were drawn from, what could not be made, and what was not drawn again."""

    files: dict[str, bytes]
    documents: dict[str, DrawnDocument]
    missing: tuple[tuple[str, str], ...]
    kept: tuple[str, ...]


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
    chosen = chosen_documents(only)
    names = [document.name for document in chosen]
    if standing := package_as_it_would_be(found, folder, opened, names, is_part=bool(only)):
        return Built(
            {**standing, MANIFEST: found.manifest if found is not None else b""}, (), Written(), is_unchanged=True, kept=tuple(names)
        )
    drawn = _drawn_together(chosen, opened, _Standing(folder, found, _kept(opened, folder, found) if only else {}), progress)
    files, missing = drawn.files, drawn.missing
    made = replace(opened, not_made=tuple(title for title, _ in missing)) if missing else opened
    submission = _submission(made, folder, files) if not only else {}
    in_order = [drawn.documents[document.name] for document in DOCUMENTS if document.name in drawn.documents]
    files[MANIFEST] = manifest_of(made, files, missing, in_order)
    written = write_folder(folder, files, over=found) if only else write_folder(folder, files)
    if submission:
        write_folder(submission_folder(folder), {**submission, MANIFEST: manifest_of(made, submission)})
    return Built(files, missing, written, tuple(submission), kept=drawn.kept)


def chosen_documents(only: Sequence[str] = ()) -> list[Document]:
    """Return the documents named in ``only``, else all but those on request."""
    return [document for document in DOCUMENTS if (document.asked_as in only if only else not document.on_request)]


def write_as_built(folder: Path, files: Mapping[str, bytes], submission: Mapping[str, bytes], project: Path) -> None:
    """Write a package that was built elsewhere, with its submission where it has one; nothing where both stand there as they are.

    ``project`` is the project's folder.

    Raises:
        UnusableFolderError: no package may stand in the folder.
        CannotWriteError: the folder cannot be written.
    """
    places = [(folder, files), *([(submission_folder(folder), submission)] if submission else [])]
    if all(_stands(place, content, project) for place, content in places):
        return
    for place, content in places:
        write_folder(place, content)


def _stands(folder: Path, files: Mapping[str, bytes], project: Path) -> bool:
    found = package_in(folder, project)[1]
    return (
        found is not None and found.manifest == files[MANIFEST] and len(files_as_built(found, folder, found.outputs)) == len(found.outputs)
    )


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


@dataclass(frozen=True, slots=True)
class _Standing:
    """The package that stands in the folder, and the files of it that stay although nobody asks for their documents."""

    folder: Path
    found: Listed | None
    stay: Mapping[str, bytes]


def _kept(opened: OpenedProject, folder: Path, found: Listed | None) -> dict[str, bytes]:
    """Return the files of a package that was written from the same inputs, all of its documents made, and not touched since."""
    if found is None or not is_of_same_inputs(found, opened):
        return {}
    return files_as_built(found, folder, found.outputs)


def _drawn_together(chosen: Sequence[Document], opened: OpenedProject, standing: _Standing, progress: Progress | None) -> _Drawn:
    """Draw documents; where one cannot be made, draw the others again, which then say that it is missing."""
    missing: dict[str, str] = {}
    stay, found = standing.stay, standing.found
    while True:
        files, failed, kept = dict(stay), {}, []
        documents = {name: row for name, row in found.drawn.items() if stay.keys() >= set(row.files)} if found is not None and stay else {}
        for document in chosen:
            if document.title in missing:
                continue
            if progress is not None:
                progress(document)
            try:
                digest, own, is_kept = _drawn(document, opened, files, standing)
            except _CannotBeMadeError as error:
                # A sheet that shows the placard fails with it, and is drawn again without.
                failed[error.title if error.title not in missing else document.title] = str(error)
                continue
            files.update(own)
            documents[document.name] = DrawnDocument(document.name, digest, tuple(sorted(own)))
            kept += [document.name] if is_kept else []
        if not failed:
            return _Drawn(files, documents, tuple(missing.items()), tuple(kept))
        missing.update(failed)
        stay = {}  # these do not say it
        opened = replace(opened, not_made=tuple(missing))


def _drawn(document: Document, opened: OpenedProject, earlier: Mapping[str, bytes], standing: _Standing) -> tuple[str, Files, bool]:
    """Return what a document was drawn from, its files, and whether they stood there already."""
    from permitgen.documents.canvas.to_dxf import DxfLibraryMissingError
    from permitgen.documents.fonts.faces import MissingGlyphError
    from permitgen.documents.labels.lettering import LabelContrastError
    from permitgen.documents.labels.stock import LabelDoesNotFitError
    from permitgen.documents.placard import PlacardDoesNotFitError

    try:
        digest = drawn_from(document, opened)
        same = same_document(standing.found, standing.folder, document, digest)
        return digest, document.draw(opened, earlier) if same is None else same, same is not None
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
