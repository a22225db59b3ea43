"""The forms that a project names, with their mappings: read when the project is opened, filled when the package is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from permitgen.project.form_mapping import FormMapping, read_form_mapping
from permitgen.project.place_files import beside
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import LARGEST_BYTES
from permitgen.reading.referenced_file import ReferencedFileError, content_inside

if TYPE_CHECKING:
    from permitgen.project.load import LoadedProject

MOST_BYTES = 20_000_000
MOST_FORMS = 50
FORMS = (".pdf", ".docx")


@dataclass(frozen=True, slots=True)
class MappedForm:
    """A form with its mapping: names inside the project folder, bytes, and what the mapping says."""

    file: str
    title: str
    content: bytes
    mapping_file: str
    mapping_content: bytes
    mapping: FormMapping

    @property
    def name(self) -> str:
        """The name that the filled form has in the package."""
        return PurePosixPath(self.file).name

    @property
    def inputs(self) -> Mapping[str, bytes]:
        """The bytes of both files by name."""
        return {self.file: self.content, self.mapping_file: self.mapping_content}


def mapped_forms(loaded: LoadedProject) -> tuple[MappedForm, ...]:
    """Return the forms that the project names with their mappings; whether a form takes them is known when it is filled.

    Raises:
        ProblemsError: a file is missing or too large, a mapping is not readable, two filled forms would have one name.
    """
    found: list[MappedForm] = []
    problems: list[Problem] = []
    for index, form in enumerate(loaded.system.forms):
        try:
            file, content = _content(loaded, index, "file", form.file, MOST_BYTES)
            named, mapping = _content(loaded, index, "mapping", form.mapping, LARGEST_BYTES)
            mapped = MappedForm(file, form.title, content, named, mapping, read_form_mapping(mapping, named))
        except ProblemsError as error:
            problems += error.problems
            continue
        problems += _name_problems(loaded, index, mapped, [each.name for each in found])
        found.append(mapped)
    if problems:
        raise ProblemsError(problems)
    return tuple(found)


def _content(loaded: LoadedProject, index: int, key: str, name: str, most: int) -> tuple[str, bytes]:
    if index == MOST_FORMS:
        raise ProblemsError([loaded.file.problem(("forms", index), f"at most {MOST_FORMS} forms are filled")])
    try:
        base, up = beside(loaded.file, loaded.folder, ("forms", index, key))
        return (up / name).as_posix(), content_inside(base, name, most)
    except ReferencedFileError as error:
        raise ProblemsError([loaded.file.problem(("forms", index, key), str(error))]) from error


def _name_problems(loaded: LoadedProject, index: int, form: MappedForm, others: list[str]) -> list[Problem]:
    at = ("forms", index, "file")
    suffix = PurePosixPath(form.name).suffix.lower()
    if suffix not in FORMS:
        known = ", ".join(FORMS)
        return [loaded.file.problem(at, f"{quoted(form.file)} ends in none of {known}{did_you_mean(suffix, FORMS)}")]
    if form.name.casefold() in (other.casefold() for other in others):
        return [loaded.file.problem(at, f"a form before is called {quoted(form.name)} too; give one of them another name")]
    return []
