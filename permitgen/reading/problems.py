"""What is wrong with a file a person wrote, and where. Every reader of input reports in this one form."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

_LONGEST_SHOWN = 60


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One fault of a file, printed as ``file:line:column: where: message``.

    ``line`` and ``column`` count from 1, in characters. ``where`` is the path of keys (``circuits.C7.length``), empty for
    a fault of the file as a whole. ``message`` says what is wrong, what was expected and, where there is one, the nearest
    valid name; it is one line without a full stop.
    """

    file: str
    line: int
    column: int
    where: str
    message: str

    def __str__(self) -> str:
        parts = (f"{self.file}:{self.line}:{self.column}", self.where, self.message)
        return ": ".join(part for part in parts if part)


class ProblemsError(Exception):
    """A file cannot be used; ``problems`` holds every fault found, in the order of the file, each once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


def quoted(text: str) -> str:
    """Return a typed text as messages show it: one line, not long, in quotes it does not hold itself (``3/8"`` is common)."""
    line = " ".join(text.split())
    if len(line) > _LONGEST_SHOWN:
        line = line[: _LONGEST_SHOWN - 1] + "…"
    return f"'{line}'" if '"' in line and "'" not in line else f'"{line}"'
