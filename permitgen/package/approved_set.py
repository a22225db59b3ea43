"""The approved set of a project: its stamped papers, and the file that keeps every size that it was approved with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from permitgen.evaluation.approved_sizes import Approved
from permitgen.project.approved_file import LARGEST_BYTES, approved_file_name, read_approved_file
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.referenced_file import ReferencedFileError, content_inside

if TYPE_CHECKING:
    from permitgen.project.load import LoadedProject
    from permitgen.system.project_facts import Revision

_MOST_BYTES = 200_000_000
_PDF = b"%PDF-"
_HEADER_WITHIN = 1024
_STAMPED = ("approved", "copy")


def approved_papers(loaded: LoadedProject) -> dict[str, bytes]:
    """Return the bytes of every stamped set, permit card and signed inspection, by name in the project folder.

    Raises:
        ProblemsError: one is missing, is larger than is read, or a stamped set is no PDF.
    """
    papers: dict[str, bytes] = {}
    problems: list[Problem] = []
    for where, name in _named(loaded):
        try:
            papers[name] = content_inside(loaded.folder, name, _MOST_BYTES)
        except ReferencedFileError as error:
            problems.append(loaded.file.problem(where, str(error)))
            continue
        if where[-2:] == _STAMPED and _PDF not in papers[name][:_HEADER_WITHIN]:
            problems.append(loaded.file.problem(where, f"{quoted(name)} is not a PDF; expected a copy of the stamped set"))
    if problems:
        raise ProblemsError(problems)
    return papers


def _named(loaded: LoadedProject) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield the papers with the place where each is named."""
    for index, revision in enumerate(loaded.system.project.revisions):
        if revision.approved is not None:
            where = ("project", "revisions", index, "approved")
            yield (*where, "copy"), revision.approved.copy
            if revision.approved.permit_card:
                yield (*where, "permit_card"), revision.approved.permit_card
    for index, inspection in enumerate(loaded.models.inspections):
        if inspection.copy_:
            yield ("inspections", index, "copy"), inspection.copy_


def approved_sizes(loaded: LoadedProject, papers: Mapping[str, bytes]) -> tuple[Approved | None, dict[str, bytes]]:
    """Return what the newest approved revision was approved with, and the file that says so; None where no revision was approved.

    Raises:
        ProblemsError: the file is malformed, or it or the stamped set was changed since.
    """
    revision = loaded.system.project.approved_revision
    if revision is None or revision.approved is None:
        return None, {}
    name = approved_file_name(revision.number)
    if not (loaded.folder / name).exists():
        return Approved(None, name), {}
    try:
        content = content_inside(loaded.folder, name, LARGEST_BYTES)
    except ReferencedFileError as error:
        raise ProblemsError([_problem(loaded, revision, str(error))]) from error
    stamped = papers[revision.approved.copy]
    sizes = read_approved_file(content, name, project=loaded.system.project.key, revision=revision.number, stamped=stamped)
    return Approved(sizes), {name: content}


def _problem(loaded: LoadedProject, revision: Revision, message: str) -> Problem:
    index = next(i for i, each in enumerate(loaded.system.project.revisions) if each is revision)
    return loaded.file.problem(("project", "revisions", index, "approved"), message)
