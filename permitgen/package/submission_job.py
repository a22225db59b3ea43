"""What is handed in: the package once more under the names, the split and the sheet size that the jurisdiction asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from permitgen.documents.pdf_parts import LayersError, joined, page_count, pages_of, portal_ready, split_to_fit
from permitgen.package.form_job import FOLDER, band_of
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.views.submission import LOG_FILE, HandedIn, file_name, size_words, submission_log_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.system.project_facts import Submission

_PLAN_SET, _PDF = "plan_set.pdf", ".pdf"
_USUAL = (("Plans", "plan_set"), ("Calculations", "calculations"), ("Site photos", "site_photos"), ("Reply to the review", "review_reply"))
_AT = ("jurisdiction", "submission")

Files = Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class _Part:
    """A file that is handed in: what it is called, its ending, its bytes, and the documents in it."""

    title: str
    suffix: str
    content: bytes
    holds: str


def submission_folder(package: Path) -> Path:
    """Return the folder beside a package: ``submission`` beside ``package``, else the package's own name with that word."""
    return package.with_name("submission" if package.name == "package" else f"{package.name}-submission")


def submission_files(opened: OpenedProject, package: Files) -> dict[str, bytes]:
    """Return the files of the submission by name; while the permit's gate is shut, the log alone, which says so.

    Raises:
        ProblemsError: a document is not in the package, two files would have one name, or a page alone is larger than the portal takes.
    """
    wanted = opened.loaded.system.jurisdiction.submission
    if wanted is None:
        return {}
    warning = band_of(opened)
    found: dict[str, bytes] = {}
    rows: list[HandedIn] = []
    for part in () if warning else _parts(opened, wanted, package):
        name = f"{file_name(opened.evaluation, part.title)}{part.suffix}"
        if name in found or name == LOG_FILE:
            raise _problem(opened, "names", f"two files would be called {quoted(name)}; give the documents other names under files")
        found[name] = part.content
        pages = str(page_count(part.content)) if part.suffix == _PDF else "–"
        rows.append(HandedIn(name, part.holds, size_words(len(part.content)), pages))
    return {**found, LOG_FILE: _log(opened, rows, warning)}


def _log(opened: OpenedProject, rows: Sequence[HandedIn], warning: str) -> bytes:
    from permitgen.documents.submission_pdf import submission_log_pdf
    from permitgen.package.asked_job import asked_of

    return submission_log_pdf(submission_log_of(opened.evaluation, rows, warning, asked_of(opened)))


def _problem(opened: OpenedProject, key: str, message: str) -> ProblemsError:
    return ProblemsError([opened.loaded.file.problem((*_AT, key), message)])


def _parts(opened: OpenedProject, wanted: Submission, package: Files) -> Iterator[_Part]:
    files = {**package, **_plan_set_in_size(opened, wanted, package)}
    for title, names in wanted.files or _usual(opened, files):
        keys = [_key(opened, title, name, files) for name in names]
        if keys == [_PLAN_SET] and wanted.one_file_a_sheet:
            whole: Sequence[_Part] = tuple(_sheets(files[_PLAN_SET]))
        else:
            whole = (_whole(opened, title, keys, files),)
        for part in whole:
            yield from _fitting(opened, wanted, part)


def _usual(opened: OpenedProject, files: Files) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what a department reads where nobody says: each document that is there, and each form, in a file of its own."""
    own = [(title, (name,)) for title, name in _USUAL if f"{name}.pdf" in files or f"{name}.docx" in files]
    return (*own, *((form.title or PurePosixPath(form.name).stem, (f"{FOLDER}/{form.name}",)) for form in opened.forms))


def _key(opened: OpenedProject, title: str, name: str, files: Files) -> str:
    for key in (name, f"{name}.pdf", f"{name}.docx", f"{FOLDER}/{name}"):
        if key in files:
            return key
    known = [key.removesuffix(_PDF) for key in files if key.endswith((_PDF, ".docx")) and not key.startswith("labels/")]
    at = (*_AT, "files", title)
    raise ProblemsError([opened.loaded.file.problem(at, f"the package has no document {quoted(name)}{did_you_mean(name, known)}")])


def _whole(opened: OpenedProject, title: str, keys: Sequence[str], files: Files) -> _Part:
    holds = ", ".join(keys)
    if len(keys) == 1:
        suffix = PurePosixPath(keys[0]).suffix
        return _Part(title, suffix, files[keys[0]], holds)
    apart = [key for key in keys if not key.endswith(_PDF) or key.startswith(f"{FOLDER}/")]
    if apart or not keys:
        why = f"{apart[0]} is a form or no PDF, and stands in a file of its own" if apart else "no document is named"
        raise ProblemsError([opened.loaded.file.problem((*_AT, "files", title), why)])
    return _Part(title, _PDF, joined([(PurePosixPath(key).stem.replace("_", " ").capitalize(), files[key]) for key in keys]), holds)


def _fitting(opened: OpenedProject, wanted: Submission, part: _Part) -> Iterator[_Part]:
    """Yield the part, or its pages in so many files that each is small enough."""
    if part.suffix == _PDF:
        try:
            part = replace(part, content=portal_ready(part.content))
        except LayersError as error:
            raise _problem(opened, "files", f"{part.holds} {error}") from error
    if len(part.content) <= wanted.largest_bytes:
        yield part
        return
    pieces = split_to_fit(part.content, wanted.largest_bytes) if part.suffix == _PDF else ()
    if not pieces:
        why = (
            f"{part.holds} has {size_words(len(part.content))}, and no split of its pages is as small as {size_words(wanted.largest_bytes)}"
        )
        raise _problem(opened, "largest_file", why)
    for number, content in enumerate(pieces, start=1):
        yield replace(part, title=f"{part.title} part {number} of {len(pieces)}", content=content)


def _plan_set_in_size(opened: OpenedProject, wanted: Submission, package: Files) -> dict[str, bytes]:
    """Return the plan set drawn once more where the portal wants other sheets than the package has."""
    from permitgen.documents.plan_set import plan_set_pdf, plan_sheets
    from permitgen.package.plan_set_job import drawn_plan_set

    if not wanted.page_size or _PLAN_SET not in package:
        return {}
    plans, _ = drawn_plan_set(opened)
    if wanted.page_size == plans.sheet_size:
        return {}
    plans = replace(plans, sheet_size=wanted.page_size)
    return {_PLAN_SET: plan_set_pdf(plans, plan_sheets(plans))}


def _sheets(plan_set: bytes) -> Iterator[_Part]:
    """Yield one file a sheet, called by number and title as the plan set's own outline has them, then one an attached document."""
    for title, content in pages_of(plan_set):
        yield _Part(title, _PDF, content, f"plan set, {title}")


def photo_pages(opened: OpenedProject) -> dict[str, bytes]:
    """Return ``site_photos.pdf`` where the project names photos.

    Raises:
        ProblemsError: a file is no photo that can be shown.
    """
    from permitgen.documents.submission_pdf import PhotoError, clean_photo, site_photos_pdf
    from permitgen.views.document_id import document_id
    from permitgen.views.title import title_of

    photos: list[tuple[str, bytes, float]] = []
    problems: list[Problem] = []
    for photo in opened.photos:
        try:
            photos.append((photo.title, *clean_photo(photo.data)))
        except PhotoError as error:
            problems.append(opened.loaded.file.problem(("attachments", photo.index, "file"), f"{quoted(photo.file)} {error}"))
    if problems:
        raise ProblemsError(problems)
    if not photos:
        return {}
    title = title_of(opened.evaluation)
    return {
        "site_photos.pdf": site_photos_pdf(
            title, photos, document_id("site photos", title, [(words, jpeg.hex()) for words, jpeg, _ in photos])
        )
    }
