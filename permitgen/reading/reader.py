"""Reads a YAML file as text with positions: what stands there, where it stands, and nothing guessed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

import yaml

from permitgen.reading.characters import UndecodableError, character_faults, decode, split_lines, tab_faults
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.positions import Place, Positions, path_text
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.regular_file import NoSuchFileError, UnreadableFileError, content_of
from permitgen.reading.syntax_messages import explain_syntax_error
from permitgen.reading.yaml_tree import Tree, TreeBuilder

LARGEST_BYTES = 1_000_000

# The loader without implicit types: `no`, `02134` and `12:30` stay what was typed.
LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


@dataclass(frozen=True, slots=True)
class ReadFile:
    """A file as its writer wrote it.

    ``data`` holds nested dicts and lists whose scalars are all text (``no`` is "no", ``02134`` is "02134"); a value left
    empty is None. ``file`` is the name the user gave, for messages; ``text`` the whole file.
    """

    file: str
    text: str
    data: dict[str, Tree]
    positions: Positions

    def position(self, location: Sequence[str | int]) -> Place:
        """Return line and column, from 1, of the value at ``location`` (nearest ancestor where it is missing)."""
        return self.positions.of_value(location)

    def key_position(self, location: Sequence[str | int]) -> Place:
        """Return line and column, from 1, of the key that leads to ``location``."""
        return self.positions.of_key(location)

    def file_of(self, location: Sequence[str | int]) -> str:
        """Return the file in which the value at ``location`` stands: this one, unless the value was laid over it."""
        return self.positions.files.get(self.positions.existing(location), self.file)

    def problem(self, location: Sequence[str | int], message: str, *, at_key: bool = False) -> Problem:
        """Return a problem placed at the value of ``location``, or at its key."""
        line, column = self.key_position(location) if at_key else self.position(location)
        return Problem(self.file_of(location), line, column, path_text(self.positions.existing(location)), message)


def read_yaml_file(path: Path, *, shown_as: str | None = None, most: int = LARGEST_BYTES) -> ReadFile:
    """Read one YAML file whose top is a mapping; ``shown_as`` is its name in messages (default: ``path`` as given).

    ``most`` is the largest number of bytes that is read.

    Raises:
        ProblemsError: the file is missing, too large, not UTF-8, not YAML, or uses a form that is refused.
    """
    file = path.as_posix() if shown_as is None else shown_as
    return read_content(file_content(path, most, file), file)


def read_content(content: bytes, file: str) -> ReadFile:
    """Read YAML from bytes that were read already; ``file`` names them in messages.

    Raises:
        ProblemsError: as ``read_yaml_file``.
    """
    return read_text(_decoded(file, content), file)


def read_text(text: str, file: str) -> ReadFile:
    """Read YAML that is already text; ``file`` names it in messages.

    Raises:
        ProblemsError: as ``read_yaml_file``.
    """
    faults = character_faults(text) + tab_faults(text)
    if faults:
        raise ProblemsError(Problem(file, *place, "", message) for place, message in faults)
    lines = split_lines(text)
    tree = TreeBuilder(file, text, lines)
    try:
        tree.build(text, LOADER)
    except (yaml.YAMLError, ValueError, OverflowError) as error:
        # The last two: the parser in Python lets chr() refuse "\U00110000"; the one in C reports it itself.
        place, message = explain_syntax_error(error, lines)
        raise ProblemsError([*tree.problems, Problem(file, *place, "", message)]) from error
    if tree.problems:
        raise ProblemsError(tree.problems)
    if not isinstance(tree.top, dict):
        found = "the file is empty" if tree.top is None else "the file does not start with a key"
        _refuse(file, f'{found}; lines of the form "key: value" were expected')
    return ReadFile(file, text, tree.top, tree.positions)


def file_content(path: Path, most: int, shown_as: str = "") -> bytes:
    """Return the bytes of a file that a person named; ``shown_as`` is its name in messages (default: ``path`` as given).

    Raises:
        ProblemsError: it is missing (with the nearest name), no plain file, cannot be read, or is larger than ``most`` bytes.
    """
    file = shown_as or path.as_posix()
    try:
        return content_of(path, most)
    except NoSuchFileError as error:
        _refuse(file, str(error) + did_you_mean(path.name, _neighbors(path)))
    except UnreadableFileError as error:
        _refuse(file, str(error))


def _neighbors(path: Path) -> list[str]:
    try:
        return sorted(entry.name for entry in path.parent.iterdir())
    except OSError:
        return []


def _decoded(file: str, content: bytes) -> str:
    try:
        return decode(content)
    except UndecodableError as error:
        raise ProblemsError([Problem(file, *error.place, "", str(error))]) from error


def _refuse(file: str, message: str) -> NoReturn:
    raise ProblemsError([Problem(file, 1, 1, "", message)])
