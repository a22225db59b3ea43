"""Reads the YAML file of a label specification as text with line numbers, and words its mistakes ``file:line:column: where: what``."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import yaml

_LOADER: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_LARGEST_BYTES = 200_000
_DEEPEST = 12
_TAG = "tag:yaml.org,2002:"
_PLAIN_TAGS = ("str", "int", "float", "bool", "null", "timestamp", "seq", "map")

Found = TypeVar("Found")


class LabelSpecError(ValueError):
    """Label specifications cannot be used. ``problems`` holds one message a mistake."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


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
    problems: list[str] = field(default_factory=list)

    def complain(self, entry: Entry, what: str) -> None:
        """Note a mistake at an entry."""
        self.problems.append(f"{self.name}:{entry.line}:{entry.column}: {entry.where or 'file'}: {what}")

    def text(self, entry: Entry, *, allowed: Iterable[str] = ()) -> str:
        """Return the text of an entry, noting when it is none or not one of those ``allowed``."""
        choices = list(allowed)
        if not isinstance(entry.value, str):
            self.complain(entry, "is not a text; write one value" + (f", one of {', '.join(choices)}" if choices else ""))
            return ""
        if choices and entry.value not in choices:
            self.complain(entry, f'"{entry.value}" is not known here; expected one of {", ".join(choices)}{nearest(entry.value, choices)}')
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
                self.complain(value, f'unknown key "{name}"; expected one of {", ".join(names)}{nearest(name, names)}')
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


def nearest(word: str, choices: Iterable[str]) -> str:
    """Return the tail of a message that names the nearest valid word, empty when none is near."""
    close = difflib.get_close_matches(word, list(choices), n=1)
    return f'; did you mean "{close[0]}"?' if close else ""


def read_entries(path: Path) -> tuple[SpecFile, Entry]:
    """Return a file ready for reading with its top entry.

    Raises LabelSpecError when it is too large, not UTF-8, not YAML, or uses tags, aliases or a name twice.
    """
    spec_file = SpecFile(path.name)
    data = path.read_bytes()
    if len(data) > _LARGEST_BYTES:
        raise LabelSpecError([f"{path.name}:1:1: file: is larger than {_LARGEST_BYTES} bytes"])
    try:
        node = yaml.compose(data.decode("utf-8"), Loader=_LOADER)
    except UnicodeDecodeError:
        raise LabelSpecError([f"{path.name}:1:1: file: is not UTF-8 text"]) from None
    except yaml.MarkedYAMLError as mistake:
        line, column = _place_of(mistake.problem_mark) if mistake.problem_mark else (1, 1)
        raise LabelSpecError([f"{path.name}:{line}:{column}: file: is not YAML: {mistake.problem}"]) from None
    except yaml.YAMLError as mistake:
        raise LabelSpecError([f"{path.name}:1:1: file: is not YAML: {mistake}"]) from None
    if node is None:
        raise LabelSpecError([f"{path.name}:1:1: file: is empty; a label specification was expected"])
    top = _entry(node, "", spec_file, 0)
    if spec_file.problems:
        raise LabelSpecError(spec_file.problems)
    return spec_file, top


def _place_of(mark: yaml.Mark) -> tuple[int, int]:
    return mark.line + 1, mark.column + 1


def _entry(node: yaml.Node, where: str, spec_file: SpecFile, depth: int) -> Entry:
    line, column = _place_of(node.start_mark)
    here = Entry(None, line, column, where)
    if depth > _DEEPEST:
        spec_file.complain(here, "is nested too deep (an alias of itself?)")
        return here
    if str(node.tag).removeprefix(_TAG) not in _PLAIN_TAGS:
        spec_file.complain(here, f"the tag {node.tag} is not allowed")
    if isinstance(node, yaml.MappingNode):
        return Entry(_named_entries(node, where, spec_file, depth), line, column, where)
    if isinstance(node, yaml.SequenceNode):
        items = [_entry(item, f"{where}[{index}]", spec_file, depth + 1) for index, item in enumerate(node.value)]
        return Entry(items, line, column, where)
    is_null = node.tag == f"{_TAG}null"
    return Entry(None if is_null else str(node.value), line, column, where)


def _named_entries(node: yaml.MappingNode, where: str, spec_file: SpecFile, depth: int) -> dict[str, Entry]:
    entries: dict[str, Entry] = {}
    for key, value in node.value:
        name = str(key.value) if isinstance(key, yaml.ScalarNode) else ""
        path = f"{where}.{name}" if where else name
        entry = _entry(value, path, spec_file, depth + 1)
        if not name or name in entries:
            spec_file.complain(Entry(None, *_place_of(key.start_mark), path), "a name is missing or stands here twice")
        entries[name] = entry
    return entries
