"""What a hardware file leaves open, who checked it, and which projects rest on it: since when an entry is another than in a package."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from permitgen.documents.hardware_sheet import HardwareKey, open_keys
from permitgen.package.opened_project import open_project
from permitgen.project.copied_file import mapping
from permitgen.project.hardware_files import NAMING_KEYS, read_hardware
from permitgen.project.hardware_instead import keys_told_otherwise
from permitgen.project.hardware_models import entry_problems
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import LARGEST_BYTES, ReadFile, file_content
from permitgen.reading.shared_files import ENDING, inside_name
from permitgen.views.findings import findings_of
from permitgen.views.questions import questions_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

_COPIES = ("package", "project_file")


@dataclass(frozen=True, slots=True)
class Use:
    """A project that uses an entry: ``changed`` are the keys that its package was built with otherwise, ``waiting`` the rules by key."""

    project: str
    changed: tuple[str, ...]
    waiting: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class CheckedEntry:
    """An entry, where it stands, who checked it (empty where nobody did), what rules ask for and find open, and who uses it."""

    place: str
    name: str
    kind: str
    checked: str
    open: tuple[HardwareKey, ...]
    uses: tuple[Use, ...]


def read_hardware_files(path: Path) -> tuple[ReadFile, ...]:
    """Read a hardware file, or every one of a folder and the folders in it.

    Raises:
        ProblemsError: what is wrong with any of them, every problem.
    """
    paths = sorted(path.rglob(f"*{ENDING}")) if path.is_dir() else [path]
    found: list[ReadFile] = []
    problems: list[Problem] = []
    if not paths:
        problems.append(Problem(path.as_posix(), 1, 1, "", f"the folder holds no file that ends in {ENDING}"))
    for each in paths:
        try:
            read = read_hardware(file_content(each, LARGEST_BYTES), each.as_posix())
            problems += entry_problems(read)
            found.append(read)
        except ProblemsError as error:
            problems += error.problems
    if problems:
        raise ProblemsError(problems)
    return tuple(found)


def checked_entries(files: tuple[ReadFile, ...], projects: Mapping[str, OpenedProject]) -> tuple[CheckedEntry, ...]:
    """Return every entry of the files in their order; ``projects`` by the name under which people know their folders."""
    return tuple(_entry(file, name, entry, projects) for file in files for name, entry in mapping(file.data["catalog"]).items())


def _entry(file: ReadFile, name: str, entry: dict[str, Any], projects: Mapping[str, OpenedProject]) -> CheckedEntry:
    line, column = file.key_position(("catalog", name))
    checked = mapping(entry.get("checked"))
    kind = str(entry["kind"])
    who = f"{checked['by']} on {checked['date']}" if checked else ""
    uses = tuple(_use(where, opened, file, name) for where, opened in projects.items() if _tags(opened, file, name))
    return CheckedEntry(f"{file.file}:{line}:{column}", name, kind, who, open_keys(kind, entry), uses)


def opened_projects(folders: Iterable[Path]) -> tuple[dict[str, OpenedProject], tuple[Problem, ...]]:
    """Open the projects in these folders; what is wrong with one of them leaves the others."""
    found: dict[str, OpenedProject] = {}
    problems: list[Problem] = []
    for path in folders:
        try:
            found[path.as_posix()] = open_project(path)
        except ProblemsError as error:
            problems += error.problems
    return found, tuple(problems)


def _tags(opened: OpenedProject, file: ReadFile, name: str) -> frozenset[str]:
    """Return the tags of the equipment that an entry of this very file describes."""
    data = opened.loaded.file
    written = data.file_of(("catalog", name))
    if Path(written).resolve() != Path(file.file).resolve():
        return frozenset()
    return frozenset(
        tag for tag, entry in mapping(data.data.get("equipment")).items() if name in (mapping(entry).get(key) for key in NAMING_KEYS)
    )


def _use(where: str, opened: OpenedProject, file: ReadFile, name: str) -> Use:
    tags = _tags(opened, file, name)
    waiting: dict[str, dict[str, None]] = {}
    for finding in findings_of(opened.evaluation):
        for question in questions_of((finding,), opened.evaluation.system):
            for fact in question.facts:
                if fact.thing.removeprefix("equipment.") in tags and fact.key:
                    waiting.setdefault(fact.key, {})[finding.rule] = None
    return Use(where, tuple(_changed(opened, file, name)), {key: tuple(rules) for key, rules in waiting.items()})


def _changed(opened: OpenedProject, file: ReadFile, name: str) -> Iterator[str]:
    """Yield the keys of which the copy in the project's package says otherwise; none where no package was built."""
    copies = opened.loaded.folder.joinpath(*_COPIES)
    for each in opened.loaded.shared:
        path = copies / inside_name(each)
        if (opened.loaded.folder / each).resolve() != Path(file.file).resolve() or not path.is_file():
            continue
        try:
            before = read_hardware(file_content(path, LARGEST_BYTES), path.as_posix())
        except ProblemsError:
            yield "its package holds a copy that cannot be read"
            return
        yield from keys_told_otherwise(*(mapping(read.data["catalog"]).get(name) for read in (before, file)))
