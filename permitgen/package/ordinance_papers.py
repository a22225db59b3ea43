"""The papers of local ordinances: one that strikes or relaxes a requirement has a number and a copy in the project folder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from permitgen.project.place_files import beside
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.referenced_file import ReferencedFileError, content_inside

if TYPE_CHECKING:
    from permitgen.code.amendment import Amendment
    from permitgen.package.opened_project import OpenedProject
    from permitgen.project.load import LoadedProject

_MOST_BYTES = 20_000_000


def copies_of_ordinances(loaded: LoadedProject, amendments: Sequence[Amendment]) -> dict[str, bytes]:
    """Return the bytes of the copy of each ordinance that names one, by its name in the project folder.

    Raises:
        ProblemsError: a copy is missing, is no plain file, or is larger than is read.
    """
    copies: dict[str, bytes] = {}
    problems: list[Problem] = []
    for index, amendment in enumerate(amendments):
        if amendment.copy:
            base, up = beside(loaded.file, loaded.folder, ("jurisdiction", "amendments", index))
            try:
                copies[(up / amendment.copy).as_posix()] = content_inside(base, amendment.copy, _MOST_BYTES)
            except ReferencedFileError as error:
                problems.append(amendment.file.problem(("ordinance", "copy"), str(error)))
    if problems:
        raise ProblemsError(problems)
    return copies


def unproven_relaxations(opened: OpenedProject, amendments: Sequence[Amendment]) -> Iterator[Problem]:
    """Yield each of the ordinances that strikes a requirement, or by which a verdict is better, without its number or copy."""
    for amendment in amendments:
        lacks = [key for key, text in (("number", amendment.number), ("copy", amendment.copy)) if not text]
        if lacks and (what := _relaxed(opened, amendment)):
            expected = "the number under which it was adopted, and a file inside the project folder"
            yield amendment.file.problem(("ordinance",), f"{what}, so that its {' and '.join(lacks)} must be stated: {expected}")


def _relaxed(opened: OpenedProject, amendment: Amendment) -> str:
    if struck := (*amendment.struck, *amendment.additions.labels.struck):
        return f"it strikes {', '.join(struck)}"
    relaxed = [
        f.id for f in opened.evaluation.findings for change in f.changed if amendment.ordinance in change.ordinances and change.is_relaxed
    ]
    return f"it relaxes {', '.join(relaxed[:3])}{', …' if len(relaxed) > 3 else ''}" if relaxed else ""
