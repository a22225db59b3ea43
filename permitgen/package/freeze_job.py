"""Keeps the sizes of the approved revision in a file beside the project: on request, once, and never silently."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen import __version__
from permitgen.evaluation.approved_sizes import sizes_of
from permitgen.package.opened_project import OpenedProject, open_project, open_revision
from permitgen.project.approved_file import APPROVED_FOLDER, approved_file, approved_file_name
from permitgen.project.new_file import create_file
from permitgen.reading.problems import Problem, ProblemsError

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.system.project_facts import Revision


@dataclass(frozen=True, slots=True)
class Frozen:
    """The file that was written, the revision whose sizes it holds, how many they are, and how many of them the program chose."""

    file: str
    revision: int
    count: int
    chosen: int


def freeze(project: Path) -> Frozen:
    """Write the sizes of the newest approved revision to ``approved/NUMBER.yaml``.

    Raises:
        ProblemsError: no revision is approved, its project file was not kept, or the file is there already.
        OSError: it cannot be written; nothing is left behind.
    """
    opened = open_project(project)
    revision = opened.loaded.system.project.approved_revision
    if revision is None or revision.approved is None:
        said = "no revision is approved; state approved: at the one whose stamped set came back"
        raise ProblemsError([opened.loaded.file.problem(("project", "revisions"), said)])
    name = approved_file_name(revision.number)
    evaluation = _as_handed_in(opened, revision).evaluation
    sizes = sizes_of(evaluation.system)
    content = approved_file(
        opened.loaded.system.project.key,
        revision.number,
        evaluation.given.code.edition.book,
        f"permitgen {__version__}",
        opened.inputs[revision.approved.copy],
        [(*key, size) for key, size in sizes.items()],
    )
    with suppress(FileExistsError):
        (opened.loaded.folder / APPROVED_FOLDER).mkdir()
    if not create_file(opened.loaded.folder / name, content):
        raise ProblemsError([Problem(name, 1, 1, "", "is there already: what was approved is kept once and does not change")])
    return Frozen(name, revision.number, len(sizes), sum(bool(sizing.chosen) for sizing in evaluation.sizings))


def _as_handed_in(opened: OpenedProject, revision: Revision) -> OpenedProject:
    """Return the project as it was at a revision.

    Raises:
        ProblemsError: it is not the newest one, and its project file was not kept.
    """
    loaded = opened.loaded
    if revision.file:
        return open_revision(loaded, revision)
    if loaded.system.project.is_approved:
        return opened
    index = next(i for i, each in enumerate(loaded.system.project.revisions) if each is revision)
    said = f"revision {revision.number} is approved, and a newer one follows; name the project file as it then was with file:"
    raise ProblemsError([loaded.file.problem(("project", "revisions", index), said)])
