"""A figure of the project file: a number and its unit, alone or with who states it, and where two papers differ, what each says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from permitgen.project import quantities

EXAMPLE = "62 ft: utility letter of 2026-05-04"


@dataclass(frozen=True, slots=True)
class Measured:
    """A number in the unit ``unit`` (a key of ``values.units.UNITS``), the text it was read from, and who states it.

    ``others`` is what further sources state of the same figure.
    """

    number: float
    unit: str
    spelled: str
    source: str = ""
    others: tuple[Measured, ...] = ()

    @property
    def readings(self) -> tuple[Measured, ...]:
        """What each source states, in the order of the file."""
        return (self, *self.others)

    @property
    def text(self) -> str:
        """What the file says, as one line: the value, with its source where it has one, and what other sources state."""
        return ", ".join(f"{each.spelled} ({each.source})" if each.source else each.spelled for each in self.readings)


def text_of(value: Any) -> str:
    """Return the text of a single value.

    Raises:
        ValueError: nothing, a list or a mapping.
    """
    if not isinstance(value, str):
        raise ValueError("expected a single value, found " + ("nothing" if value is None else "a list or a mapping"))  # noqa: TRY004
    return value.strip()


def read_figure(value: Any, parse: Callable[[str], Measured]) -> Measured | None:
    """Return a figure: a text, or a mapping of what sources state to the sources; None where nobody knows it.

    Raises:
        ValueError: a text that ``parse`` refuses, or a source without name.
    """
    if isinstance(value, Measured):
        return value
    if isinstance(value, dict):
        return _by_source(value, parse)
    text = text_of(value)
    return None if quantities.is_unknown(text) else parse(text)


def _by_source(stated: dict[Any, Any], parse: Callable[[str], Measured]) -> Measured:
    if not stated:
        raise ValueError(f"no figure; expected a value, or values each with its source, for example {EXAMPLE}")
    first, *others = (_stated(text_of(figure), source, parse) for figure, source in stated.items())
    return replace(first, others=tuple(others))


def _stated(figure: str, source: Any, parse: Callable[[str], Measured]) -> Measured:
    if quantities.is_unknown(figure):
        raise ValueError(f'"{figure}" is no figure; write unknown alone, or a value with its source, for example {EXAMPLE}')
    said = parse(figure)
    if not isinstance(source, str) or not source.strip():
        raise ValueError(f'"{figure}" names no source; expected who states it and when, for example {EXAMPLE}')
    return replace(said, source=quantities.require_days(source.strip()))
