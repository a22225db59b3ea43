"""Turns the derivation of a value into lines, once; PDF, DOCX, HTML, ``explain`` and findings all print these lines."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.values.equation import Derivation
from permitgen.values.expression import Symbol, print_node
from permitgen.views.document_id import BESIDE
from permitgen.views.wording import line_text, number_text, origin_text, spelled_text, value_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class InputLine:
    """One input of a step: symbol, value as printed, what it is, where it comes from; ``line`` is its place in the project file."""

    symbol: str
    value: str
    title: str
    origin: str
    line: str = field(default="", metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class StepText:
    """One step of a derivation: ``symbol = formula = numbers = result``, its section, its inputs.

    ``inputs`` are the ones that come from outside (file, table, section); ``uses`` the ones that are steps themselves.
    """

    title: str
    symbol: str
    formula: str
    numbers: str
    result: str
    section: str
    inputs: tuple[InputLine, ...]
    uses: tuple[InputLine, ...] = ()

    @property
    def line(self) -> str:
        """The step in the reader's order on one line."""
        parts = [self.symbol, self.formula, self.numbers, self.result]
        kept = [part for index, part in enumerate(parts) if part and part not in parts[:index]]
        return " = ".join(kept)


def steps_of(values: Iterable[Value]) -> tuple[StepText, ...]:
    """Return every step under ``values``, inputs before results, each once even where several results share it."""
    seen: set[tuple[str, str, float]] = set()
    found: list[StepText] = []
    for value in values:
        for step in value.steps():
            key = (step.symbol, step.title, step.number)
            if key not in seen:
                seen.add(key)
                found.append(_step(step))
    return tuple(found)


def _step(value: Value) -> StepText:
    derivation = value.origin
    if not isinstance(derivation, Derivation):
        raise TypeError("a step is a derived value")
    result = value_text(value)
    formula = print_node(derivation.expression, lambda v: v.symbol or v.title, _constant)
    numbers = print_node(derivation.expression, value_text, _constant)
    if isinstance(derivation.expression, Symbol):
        formula = derivation.expression.value.symbol or derivation.expression.value.title
    return StepText(
        title=value.title,
        symbol=value.symbol,
        formula=formula,
        numbers=numbers,
        result=result,
        section=derivation.section,
        inputs=tuple(_input(given) for given in derivation.inputs if not isinstance(given.origin, Derivation)),
        uses=tuple(_input(given) for given in derivation.inputs if isinstance(given.origin, Derivation)),
    )


def _constant(number: float) -> str:
    return number_text(number, "factor")


def _input(value: Value) -> InputLine:
    return InputLine(value.symbol, spelled_text(value), value.title, origin_text(value), line_text(value))
