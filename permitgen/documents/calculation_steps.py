"""Numbers the steps of a calculation sheet, so that a step that several subjects share is printed once and then referred to.

Steps are numbered through the document in the order of printing, like the equations of a book. Where a subject rests on a
step that stands under an earlier subject, its number, symbol, result and place are given instead of the whole step; the
steps below that one are found there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.values.expression import pieces_of
from permitgen.views.explanation import Term, text_of

if TYPE_CHECKING:
    from permitgen.views.calculation_sheet import CalculationSheet, SubjectBlock, SubjectGroup
    from permitgen.views.explanation import StepText
    from permitgen.views.findings import FindingText


@dataclass(frozen=True, slots=True)
class StepUse:
    """An input that is a step itself. ``number`` is 0 and ``tag`` empty where the sheet does not print that step."""

    symbol: str
    value: str
    title: str
    number: int
    tag: str


@dataclass(frozen=True, slots=True)
class NumberedStep:
    """A step under a subject. ``tag`` is the subject under which it is printed in full; ``is_first`` says that this is the place."""

    number: int
    tag: str
    is_first: bool
    text: StepText
    uses: tuple[StepUse, ...]


@dataclass(frozen=True, slots=True)
class StepUser:
    """What uses a step: a later step, ``[12]``, or a subject that ends in a step printed elsewhere, by its tag."""

    words: str
    bookmark: str


@dataclass(frozen=True, slots=True)
class NumberedBlock:
    """A subject with its steps; ``bookmark`` is the same in every format."""

    bookmark: str
    block: SubjectBlock
    steps: tuple[NumberedStep, ...]


@dataclass(frozen=True, slots=True)
class NumberedGroup:
    """Subjects of one kind; ``number`` is that of the section in the document."""

    number: int
    bookmark: str
    title: str
    blocks: tuple[NumberedBlock, ...]


FRONT_SECTIONS = (
    ("findings", "Open findings"),
    ("choices", "Sizes left blank in the project file"),
    ("assumptions", "Assumptions"),
    ("circuits", "Circuit summary"),
)
"""Bookmark and title of the sections before the subjects, numbered from 1."""

LAST_SECTION = ("readings", "Readings to confirm with the AHJ")


def step_bookmark(number: int) -> str:
    """Return the name of the place where a step is printed in full."""
    return f"step_{number}"


def numbered_groups(sheet: CalculationSheet) -> tuple[NumberedGroup, ...]:
    """Return the groups of a sheet with section numbers, bookmarks and the steps to print under each subject."""
    known: dict[str, tuple[int, str]] = {}
    counted = enumerate(sheet.groups, start=len(FRONT_SECTIONS) + 1)
    subjects = iter(range(1, sum(len(group.blocks) for group in sheet.groups) + 1))
    return tuple(_group(group, number, subjects, known) for number, group in counted)


def _group(group: SubjectGroup, number: int, subjects: Iterator[int], known: dict[str, tuple[int, str]]) -> NumberedGroup:
    blocks = tuple(NumberedBlock(f"subject_{next(subjects)}", block, tuple(_steps(block, known))) for block in group.blocks)
    return NumberedGroup(number, f"group_{number}", group.title, blocks)


def _steps(block: SubjectBlock, known: dict[str, tuple[int, str]]) -> Iterator[NumberedStep]:
    in_block: set[str] = set()
    used = {use.step for step in block.steps for use in step.uses}
    for step in block.steps:
        is_first = step.id not in known
        number, tag = known.setdefault(step.id, (len(known) + 1, block.tag))
        uses = tuple(StepUse(u.symbol, u.value, u.title, *(known[u.step] if u.step in in_block else (0, ""))) for u in step.uses)
        in_block.add(step.id)
        if is_first or step.id not in used:
            yield NumberedStep(number, tag, is_first, step, uses)


def users_of_steps(groups: Iterable[NumberedGroup]) -> Mapping[int, tuple[StepUser, ...]]:
    """Return what uses each step, by its number: the steps that take its result, and the other subjects that end in it."""
    found: dict[int, dict[StepUser, None]] = {}
    for group in groups:
        for numbered in group.blocks:
            for step in numbered.steps:
                if not step.is_first:
                    found.setdefault(step.number, {})[StepUser(numbered.block.tag, numbered.bookmark)] = None
                    continue
                for use in step.uses:
                    found.setdefault(use.number, {})[StepUser(f"[{step.number}]", step_bookmark(step.number))] = None
    return {number: tuple(users) for number, users in found.items()}


def block_of(finding: FindingText, groups: Iterable[NumberedGroup]) -> NumberedBlock | None:
    """Return the block in which a finding's check and derivation stand."""
    tag = finding.subject.split("@")[0]
    blocks = [numbered for group in groups for numbered in group.blocks if numbered.block.tag == tag]
    return next((numbered for numbered in blocks if any(check.title == finding.title for check in numbered.block.checks)), None)


Piece = tuple[str, Literal["text", "symbol", "index", "result"]]
"""A stretch of an equation: plain text, the name of a symbol, the index set below the line, or the result."""


def equation_sides(step: StepText) -> tuple[tuple[Piece, ...], ...]:
    """Return what stands between the signs of equation: symbol, formula, numbers and result, without what is said already."""
    formula = tuple(piece for part in pieces_of(step.formula) for piece in _pieces(part))
    sides: list[tuple[str, tuple[Piece, ...]]] = [
        (step.symbol, symbol_pieces(step.symbol)),
        (step.formula_text, formula),
        (step.numbers, ((step.numbers, "text"),)),
    ]
    texts = [text for text, _ in sides]
    kept = [pieces for index, (text, pieces) in enumerate(sides) if text and text not in texts[:index] and text != step.result]
    return (*kept, ((step.result, "result"),))


def _pieces(part: Term | float | str) -> tuple[Piece, ...]:
    if isinstance(part, Term):
        return symbol_pieces(part.symbol) or ((part.title, "text"),)
    return ((text_of(part), "text"),)


def symbol_pieces(symbol: str) -> tuple[Piece, ...]:
    """Cut ``V_d`` into name and index."""
    name, _, index = symbol.partition("_")
    pieces: tuple[Piece, ...] = ((name, "symbol"), (index.replace("_", " "), "index"))
    return tuple(piece for piece in pieces if piece[0])
