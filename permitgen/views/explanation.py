"""Turns the derivation of a value into steps, once; PDF, DOCX, HTML, ``explain`` and findings all print these steps.

A step is told from another by its identity, never by how it prints: two demands of the same name and number, from two loads, are two
steps. Its formula stays a tree; a writer walks it and knows which piece is a symbol.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.values.equation import Derivation
from permitgen.values.expression import Node, mapped, pieces_of
from permitgen.views.document_id import BESIDE
from permitgen.views.wording import line_text, number_text, origin_text, spelled_text, value_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class Term:
    """An input as it stands in a formula: its symbol (its title where it has none) and the number that stands for it, as printed."""

    symbol: str
    title: str
    value: str

    @property
    def name(self) -> str:
        """What the formula prints."""
        return self.symbol or self.title


@dataclass(frozen=True, slots=True)
class InputLine:
    """One input of a step: symbol, value as printed, what it is, where it comes from.

    ``step`` is the id of the step that gives it, ``line`` its place in the project file.
    """

    symbol: str
    value: str
    title: str
    origin: str
    step: str = field(default="", metadata=BESIDE)
    line: str = field(default="", metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class StepText:
    """One step of a derivation: ``symbol = formula = numbers = result``, its section, its inputs.

    ``id`` is the identity of the value. ``inputs`` are the ones that come from outside (file, table, section); ``uses`` the ones that
    are steps themselves.
    """

    id: str = field(metadata=BESIDE)
    title: str
    symbol: str
    formula: Node[Term]
    result: str
    section: str
    inputs: tuple[InputLine, ...]
    uses: tuple[InputLine, ...] = ()

    @property
    def formula_text(self) -> str:
        """The formula with its symbols, in one line."""
        return "".join(piece.name if isinstance(piece, Term) else text_of(piece) for piece in pieces_of(self.formula))

    @property
    def numbers(self) -> str:
        """The formula with the numbers in it, in one line."""
        return "".join(piece.value if isinstance(piece, Term) else text_of(piece) for piece in pieces_of(self.formula))

    @property
    def line(self) -> str:
        """The step in the reader's order on one line."""
        parts = [self.symbol, self.formula_text, self.numbers, self.result]
        kept = [part for index, part in enumerate(parts) if part and part not in parts[:index]]
        return " = ".join(kept)


def text_of(piece: float | str) -> str:
    """Return a piece of a formula that is no symbol: a number of the equation itself, or a sign."""
    return piece if isinstance(piece, str) else number_text(piece, "factor")


def steps_of(values: Iterable[Value]) -> tuple[StepText, ...]:
    """Return every step under ``values``, inputs before results, each once even where several results share it."""
    found: dict[str, StepText] = {}
    for value in values:
        for step in value.steps():
            if step.identity not in found:
                found[step.identity] = _step(step)
    return tuple(found.values())


def _step(value: Value) -> StepText:
    derivation = value.origin
    if not isinstance(derivation, Derivation):
        raise TypeError("a step is a derived value")
    return StepText(
        id=value.identity,
        title=value.title,
        symbol=value.symbol,
        formula=mapped(derivation.expression, lambda given: Term(given.symbol, given.title, value_text(given))),
        result=value_text(value),
        section=derivation.section,
        inputs=tuple(_input(given) for given in derivation.inputs if not isinstance(given.origin, Derivation)),
        uses=tuple(_input(given) for given in derivation.inputs if isinstance(given.origin, Derivation)),
    )


def _input(value: Value) -> InputLine:
    step = value.identity if isinstance(value.origin, Derivation) else ""
    return InputLine(value.symbol, spelled_text(value), value.title, origin_text(value), step, line_text(value))
