"""Reads a YAML file as text with positions: what stands there, where it stands, and nothing guessed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from permitgen.project.positions import Place, Positions, path_text
from permitgen.project.problems import Problem

Tree = str | None | list["Tree"] | dict[str, "Tree"]


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

    def problem(self, location: Sequence[str | int], message: str, *, at_key: bool = False) -> Problem:
        """Return a problem placed at the value of ``location``, or at its key."""
        line, column = self.key_position(location) if at_key else self.position(location)
        return Problem(self.file, line, column, path_text(self.positions.existing(location)), message)


def read_project_file(path: Path, *, shown_as: str | None = None) -> ReadFile:
    """Read one YAML file whose top is a mapping; ``shown_as`` is its name in messages (default: ``path`` as given).

    Raises:
        ProblemsError: the file is missing, too large, not UTF-8, not YAML, or uses a form that is refused.
    """
    raise NotImplementedError  # signature first; the body follows in the next commit
