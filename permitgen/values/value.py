"""A number with its unit and its history."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.values.figure import figure, length
from permitgen.values.units import UNITS

if TYPE_CHECKING:
    from permitgen.values.equation import Derivation
    from permitgen.values.origin import LeafOrigin


@dataclass(frozen=True, slots=True, eq=False)
class Value:
    """A number in the unit named by ``unit`` (a key of ``units.UNITS``) and where it came from.

    ``symbol`` is what formulas print (``I``); ``title`` says it in words (``output current of INV1``).
    """

    number: float
    unit: str
    origin: LeafOrigin | Derivation
    symbol: str = ""
    title: str = ""
    spelled: str = field(default="")
    _identity: str = field(default="", init=False, repr=False)

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise ValueError(f"unknown unit {self.unit!r}")

    def named(self, symbol: str, title: str = "") -> Value:
        """Return the same number under another symbol, and another title where one is given."""
        return Value(self.number, self.unit, self.origin, symbol, title or self.title, self.spelled)

    @property
    def identity(self) -> str:
        """Twelve hex digits that two values share only where they are the same calculation: name, formula, section and leaves.

        Two values that merely print alike (the demand of two ranges, the same factor from two cells) differ in it. A leaf of the
        project file counts by its key, not by its line or by the folder of the file: a comment above it, or another way to name the
        project, changes nothing.
        """
        if not self._identity:
            object.__setattr__(self, "_identity", _identity_of(self))
        return self._identity

    @property
    def figure(self) -> str:
        """The number as a sentence tells it, without its unit."""
        return figure(self.number)

    @property
    def length(self) -> str:
        """A length as a sentence tells it, with its unit: 2 ft 4 in."""
        return length(self.number, self.unit)

    def steps(self) -> Iterator[Value]:
        """Yield every derived value this one rests on, inputs before results, each identity once; itself last if derived."""
        from permitgen.values.equation import Derivation

        seen: set[str] = set()

        def walk(value: Value) -> Iterator[Value]:
            if not isinstance(value.origin, Derivation) or value.identity in seen:
                return
            seen.add(value.identity)
            for given in value.origin.inputs:
                yield from walk(given)
            yield value

        yield from walk(self)

    def leaves(self) -> Iterator[Value]:
        """Yield every value that is not derived and on which this one rests, each once."""
        from permitgen.values.equation import Derivation

        seen: set[int] = set()

        def walk(value: Value) -> Iterator[Value]:
            if id(value) in seen:
                return
            seen.add(id(value))
            if isinstance(value.origin, Derivation):
                for given in value.origin.inputs:
                    yield from walk(given)
            else:
                yield value

        yield from walk(self)


def _identity_of(value: Value) -> str:
    from permitgen.values.equation import Derivation
    from permitgen.values.origin import ProjectLine

    origin = value.origin
    if isinstance(origin, Derivation):
        # The expression is not looked at: an equation with its inputs in order has one.
        source = (origin.equation, origin.section, origin.note, *(given.identity for given in origin.inputs))
    elif isinstance(origin, ProjectLine):
        source = (origin.file.rpartition("/")[2], origin.path, origin.spelled)
    else:
        source = (type(origin).__name__, repr(origin))
    facts = repr((value.symbol, value.title, value.number, value.unit, *source))
    return hashlib.blake2b(facts.encode(), digest_size=6).hexdigest()


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """A fact that is not a number (a conductor size, an insulation type) with its history."""

    text: str
    origin: LeafOrigin
    title: str = ""
