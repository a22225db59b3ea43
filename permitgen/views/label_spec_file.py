"""Reads the YAML file of a label specification as text with line numbers, and words its mistakes ``file:line:column: where: what``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from permitgen.reading.nearest import did_you_mean
from permitgen.reading.positions import path_text
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.reading.yaml_tree import Tree

_LARGEST_BYTES = 200_000

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Entry:
    """A value of the file: text, a list, or names with values. ``line`` and ``column`` count from 1; ``where`` is the path to it."""

    value: str | list[Entry] | dict[str, Entry] | None
    line: int
    column: int
    where: str


@dataclass(slots=True)
class SpecFile:
    """One file while it is read: its name, and the mistakes found so far."""

    name: str
    problems: list[Problem] = field(default_factory=list)

    def complain(self, entry: Entry, what: str) -> None:
        """Note a mistake at an entry."""
        self.problems.append(Problem(self.name, entry.line, entry.column, entry.where, what))

    def text(self, entry: Entry, *, allowed: Iterable[str] = ()) -> str:
        """Return the text of an entry, noting when it is none or not one of those ``allowed``."""
        choices = list(allowed)
        if not isinstance(entry.value, str):
            self.complain(entry, "is not a text; write one value" + (f", one of {', '.join(choices)}" if choices else ""))
            return ""
        if choices and entry.value not in choices:
            self.complain(
                entry, f'"{entry.value}" is not known here; expected one of {", ".join(choices)}{did_you_mean(entry.value, choices)}'
            )
        return entry.value

    def items(self, entry: Entry) -> list[Entry]:
        """Return the entries of a list, noting when it is none."""
        if isinstance(entry.value, list):
            return entry.value
        self.complain(entry, "is not a list; write [ ... ] or lines that begin with -")
        return []

    def texts(self, entry: Entry) -> tuple[str, ...]:
        """Return a list of texts."""
        return tuple(self.text(item) for item in self.items(entry))

    def named(self, entry: Entry, known: Iterable[str] = ()) -> dict[str, Entry]:
        """Return names with values, noting a wrong kind and, when ``known`` is given, unknown names."""
        if not isinstance(entry.value, dict):
            self.complain(entry, "has no names; write name: value")
            return {}
        names = list(known)
        for name, value in entry.value.items():
            if names and name not in names:
                self.complain(value, f'unknown key "{name}"; expected one of {", ".join(names)}{did_you_mean(name, names)}')
        return entry.value

    def number(self, entry: Entry, least: float, most: float) -> float:
        """Return a number within bounds, noting anything else."""
        written = self.text(entry)
        try:
            number = float(written)
        except ValueError:
            number = least - 1
        if not least <= number <= most:
            self.complain(entry, f'"{written}" is not a number from {least:g} to {most:g}')
            return most
        return number

    def required(self, names: dict[str, Entry], name: str, parent: Entry, read: Callable[[Entry], Found], otherwise: Found) -> Found:
        """Return ``read`` of a value that must be there, noting when it is missing."""
        if name in names:
            return read(names[name])
        self.complain(parent, f'the key "{name}" is missing')
        return otherwise


def read_entries(path: Path) -> tuple[SpecFile, Entry]:
    """Return a file ready for reading with its top entry.

    Raises ProblemsError when it is too large, not UTF-8, not YAML, or uses tags, aliases or a name twice.
    """
    read = read_yaml_file(path, shown_as=f"{path.parent.name}/{path.name}", most=_LARGEST_BYTES)
    return SpecFile(read.file), _entry(read, read.data, ())


def _entry(read: ReadFile, tree: Tree, where: tuple[str | int, ...]) -> Entry:
    value: str | list[Entry] | dict[str, Entry] | None
    if isinstance(tree, dict):
        value = {name: _entry(read, inner, (*where, name)) for name, inner in tree.items()}
    elif isinstance(tree, list):
        value = [_entry(read, item, (*where, index)) for index, item in enumerate(tree)]
    else:
        value = tree
    return Entry(value, *read.position(where), path_text(where))
