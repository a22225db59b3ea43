"""What the reviewer's calculation is made of: finished rows, each with a key to which contents and index lead."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE

if TYPE_CHECKING:
    from permitgen.views.title import DocumentTitle


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One requirement of one or more subjects: both numbers, section, verdict.

    ``computed relation limit`` are empty where nothing is compared. ``is_part`` is one way of several under the line before.
    ``to_confirm`` says that it rests on a reading of the code that is to be confirmed. ``rules`` are those it answers.
    """

    key: str
    subject: str
    text: str
    computed: str
    relation: str
    limit: str
    section: str
    verdict: str
    rules: tuple[str, ...] = field(metadata=BESIDE)
    is_part: bool = False
    to_confirm: bool = False


@dataclass(frozen=True, slots=True)
class CircuitLine:
    """One circuit on one row. Numbers that could not be computed are a dash; ``runs`` are its raceways with fill and limit.

    ``asked`` is the section that asks for ``required``; ``cited`` pairs what is read (ampacity, a factor) with its table or section.
    """

    key: str
    tag: str
    name: str
    path: str
    current: str
    basis: str
    required: str
    asked: str
    device: str
    conductors: str
    table: str
    ambient: str
    count: str
    corrected: str
    terminal: str
    ground: str
    why: str
    drop: str
    runs: tuple[str, ...]
    verdict: str
    sections: tuple[str, ...]
    to_confirm: bool = False
    cited: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class LoadLine:
    """A term of a load calculation; ``factor`` and ``demand`` are empty where the line is only a term of the subtotal below."""

    key: str
    text: str
    connected: str
    factor: str
    demand: str
    section: str


@dataclass(frozen=True, slots=True)
class LoadTable:
    """A load calculation by one method: its terms in VA, their sum, the current, what carries it."""

    key: str
    title: str
    section: str
    lines: tuple[LoadLine, ...]
    total: str
    current: str
    capacity: str


@dataclass(frozen=True, slots=True)
class AlsoMet:
    """A requirement that passes and compares no numbers."""

    rule: str = field(metadata=BESIDE)
    subject: str
    text: str
    section: str
    to_confirm: bool


@dataclass(frozen=True, slots=True)
class ReviewSection:
    """A part of the calculation under its heading; ``sheet`` is the plan sheet that shows the same. ``also_key`` is that of ``also``."""

    key: str
    title: str
    sheet: str
    note: str = ""
    circuits: tuple[CircuitLine, ...] = ()
    loads: tuple[LoadTable, ...] = ()
    lines: tuple[CheckLine, ...] = ()
    also: tuple[AlsoMet, ...] = ()
    assumptions: tuple[tuple[str, str, str], ...] = ()

    @property
    def also_key(self) -> str:
        """Key of the paragraph of requirements without numbers."""
        return f"{self.key}_also"

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands in it."""
        return not (self.circuits or self.loads or self.lines or self.also or self.assumptions or self.note)


@dataclass(frozen=True, slots=True)
class Question:
    """A reviewer's question: ``keys`` are the rows that answer it, the first of them the one to turn to."""

    text: str
    keys: tuple[str, ...]
    sheet: str


@dataclass(frozen=True, slots=True)
class IndexEntry:
    """A section of the code and the rows that rest on it."""

    section: str
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReviewerCalculation:
    """The whole document."""

    title: DocumentTitle
    counts: tuple[tuple[str, int], ...]
    standing: str
    questions: tuple[Question, ...]
    sections: tuple[ReviewSection, ...]
    index: tuple[IndexEntry, ...]
    document_id: str = field(default="", metadata=BESIDE)
