"""Where a number comes from. Every leaf of a derivation ends in exactly one of these."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ProjectLine:
    """A scalar of the project file. ``line`` and ``column`` count from 1; ``spelled`` is the user's own text, ``source`` who states it."""

    file: str
    line: int
    column: int
    path: str
    spelled: str
    source: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class TableCell:
    """One cell of a table of the code: ``number`` is the table's number in the edition in force."""

    table: str
    number: str
    row: str
    column: str

    def __str__(self) -> str:
        return ", ".join(part for part in (self.number, self.row, self.column) if part)


@dataclass(frozen=True, slots=True)
class ProvisionField:
    """A number the code states in a section, for example the 1.25 of continuous loads."""

    provision: str
    section: str
    field: str

    def __str__(self) -> str:
        return self.section


@dataclass(frozen=True, slots=True)
class Assumed:
    """A value the program chose because the project did not state it; listed under Assumptions."""

    reason: str

    def __str__(self) -> str:
        return f"assumed: {self.reason}"


@dataclass(frozen=True, slots=True)
class FromSystem:
    """A fact read off the graph (a count, a voltage of a bus) rather than typed."""

    description: str

    def __str__(self) -> str:
        return self.description


@dataclass(frozen=True, slots=True)
class Tried:
    """A number that nobody states, tried as one of all that it can be: ``question`` asks for it, ``within`` are both ends."""

    question: str
    within: str

    def __str__(self) -> str:
        return f"not stated; tried from {self.within}"


LeafOrigin = ProjectLine | TableCell | ProvisionField | Assumed | FromSystem | Tried
