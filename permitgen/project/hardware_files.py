"""Lays the entries of hardware files that a project uses into its catalog, each fact at its place in the hardware file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from permitgen.project.copied_file import mapping
from permitgen.project.fields import read_words
from permitgen.project.laid_over import LaidOver
from permitgen.project.messages import field_at
from permitgen.project.value_schemas import FIGURES_BY_SOURCE, NUMBERS_BY_SOURCE
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import ReadFile
from permitgen.reading.referenced_file import ReferencedFileError
from permitgen.reading.shared_files import Form, inside_name, read_shared, shared_contents, shown_beside

HARDWARE = Form("hardware", ("catalog",))
NAMING_KEYS = ("catalog", "module", "module_inverter", "converter")
"""Keys of an equipment entry that name an entry of the catalog."""


@dataclass(frozen=True, slots=True)
class HardwareFile:
    """A hardware file: the name by which the project names it, its bytes, and what it says."""

    name: str
    content: bytes
    read: ReadFile

    @property
    def entries(self) -> Mapping[str, Any]:
        """Its entries by name."""
        return mapping(self.read.data.get("catalog"))


def with_hardware(file: ReadFile, folder: Path) -> tuple[ReadFile, tuple[HardwareFile, ...]]:
    """Return the file with the hardware that its equipment names in its catalog, and the hardware files.

    Raises:
        ProblemsError: a hardware file that cannot be read; an entry that is described twice; a name that nothing describes.
    """
    if file.data.get("hardware") is None:
        return file, ()
    files = _files_named(file, folder)
    described, problems = _described(file, files)
    own = mapping(file.data.get("catalog"))
    used: dict[str, HardwareFile] = {}
    for location, name in names_of_hardware(file):
        if name in described and name not in own:
            used[name] = described[name]
        elif name not in own:
            near = did_you_mean(name, (*own, *described))
            problems.append(file.problem(location, f'neither the catalog nor a hardware file has an entry "{name}"{near}'))
    if problems:
        raise ProblemsError(problems)
    return _laid_in(file, used), files


def read_hardware(content: bytes, shown: str) -> ReadFile:
    """Read a hardware file; ``shown`` names it in messages.

    Raises:
        ProblemsError: it is none, or what stands in it is no mapping of entries.
    """
    read = read_shared(content, shown, HARDWARE)
    entries = read.data.get("catalog")
    wrong = [] if isinstance(entries, dict) else [read.problem(("catalog",), "expected a mapping of names to entries")]
    wrong += [
        read.problem(("catalog", name), "expected a mapping of keys to values")
        for name, entry in mapping(entries).items()
        if not isinstance(entry, dict)
    ]
    if wrong:
        raise ProblemsError(wrong)
    return read


def _files_named(file: ReadFile, folder: Path) -> tuple[HardwareFile, ...]:
    found: dict[str, HardwareFile] = {}
    problems: list[Problem] = []
    for location, name in names_of_files(file):
        try:
            contents = shared_contents(folder, name)
        except ReferencedFileError as error:
            problems.append(file.problem(location, str(error)))
            continue
        for each, content in contents.items():
            if each in found or inside_name(each) in map(inside_name, found):
                problems.append(file.problem(location, f'"{each}" is named twice'))
                continue
            try:
                found[each] = HardwareFile(each, content, read_hardware(content, shown_beside(file.file, each)))
            except ProblemsError as error:
                problems += error.problems
    if problems:
        raise ProblemsError(problems)
    return tuple(found.values())


def names_of_files(file: ReadFile) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield the names of hardware files and folders that a project names, each with its place in the file.

    Raises:
        ProblemsError: what stands there is no list of names.
    """
    given = file.data.get("hardware")
    if given is None:
        return
    try:
        names = read_words(given)
    except ValueError as error:
        raise ProblemsError([file.problem(("hardware",), str(error))]) from error
    for index, name in enumerate(names):
        yield (("hardware", index) if isinstance(given, list) else ("hardware",)), name


def _described(file: ReadFile, files: tuple[HardwareFile, ...]) -> tuple[dict[str, HardwareFile], list[Problem]]:
    own = mapping(file.data.get("catalog"))
    found: dict[str, HardwareFile] = {}
    problems: list[Problem] = []
    for each in files:
        for name in each.entries:
            if name in found:
                other = place_text(found[name].read, name)
                problems.append(each.read.problem(("catalog", name), f'"{name}" is described in {other} already', at_key=True))
            elif name in own:
                place = place_text(each.read, name)
                says = f'"{name}" is described in {place} as well; one of them has to go, or take another name'
                problems.append(file.problem(("catalog", name), says, at_key=True))
            found.setdefault(name, each)
    return found, problems


def place_text(file: ReadFile, name: str) -> str:
    """Return where an entry of a catalog stands, as messages name it."""
    line, column = file.key_position(("catalog", name))
    return f"{file.file_of(('catalog', name))}:{line}:{column}"


def names_of_hardware(file: ReadFile) -> Iterator[tuple[tuple[str, str, str], str]]:
    """Yield the names of catalog entries that equipment names, each with its place in the file."""
    for tag, entry in mapping(file.data.get("equipment")).items():
        for key in NAMING_KEYS:
            name = mapping(entry).get(key)
            if isinstance(name, str):
                yield ("equipment", tag, key), name


def _laid_in(file: ReadFile, used: Mapping[str, HardwareFile]) -> ReadFile:
    laid = LaidOver(file)
    for name, of in used.items():
        laid.lay(of.read, ("catalog", name), ("catalog", name))
    return laid.file()


def with_sources(file: ReadFile, section: str) -> tuple[dict[str, Any], list[Problem]]:
    """Return the entries of a section, each figure of which ``sources`` names the source as that source states it, and problems."""
    entries = mapping(file.data.get(section))
    found: dict[str, Any] = dict(entries)
    problems: list[Problem] = []
    for name, entry in entries.items():
        told = mapping(mapping(entry).get("sources"))
        if told:
            found[name] = deepcopy(entry)
        for key, source in told.items():
            steps = key.split(".")
            holder = _holder(found[name], steps)
            location = (section, name, *steps)
            if not isinstance(holder.get(steps[-1]), str):
                says = f'"{key}" is no single figure of this entry{did_you_mean(key, mapping(entry))}'
                problems.append(file.problem((section, name, "sources", key), says, at_key=True))
            elif not _takes_sources(file.data, location):
                says = f'"{key}" is no figure with a unit; only of figures a source is kept'
                problems.append(file.problem((section, name, "sources", key), says, at_key=True))
            else:
                holder[steps[-1]] = {holder[steps[-1]]: source}
    return found, problems


def _holder(entry: Any, steps: list[str]) -> dict[str, Any]:
    for step in steps[:-1]:
        entry = mapping(mapping(entry).get(step))
    return mapping(entry)


def _takes_sources(data: Any, location: tuple[str, ...]) -> bool:
    field = field_at(data, location)
    schemas = [getattr(part, "json_schema", None) or {} for part in field.metadata] if field is not None else []
    return any(form in (FIGURES_BY_SOURCE, NUMBERS_BY_SOURCE) for schema in schemas for form in schema.get("anyOf", ()))
