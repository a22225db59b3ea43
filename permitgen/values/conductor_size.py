"""Conductor sizes in order, 18 AWG to 2000 kcmil. A size is a name, never a number: 4 AWG is smaller than 2 AWG."""

from __future__ import annotations

import math
from functools import total_ordering

_AWG = ["18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"]
_KCMIL = ["250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000", "1250", "1500", "1750", "2000"]
_ORDER = {name: rank for rank, name in enumerate(_AWG + _KCMIL)}


@total_ordering
class ConductorSize:
    """A standard size; compares by area. ``name`` is the key of the tables: ``6``, ``1/0``, ``250``."""

    __slots__ = ("name",)

    def __init__(self, name: str) -> None:
        """Make a size from its bare name.

        Raises:
            ValueError: not a standard size.
        """
        if name not in _ORDER:
            raise ValueError(f"{name!r} is not a standard conductor size")
        self.name = name

    @property
    def is_kcmil(self) -> bool:
        """Whether the size is written in kcmil rather than AWG."""
        return self.name in _KCMIL

    @property
    def area_cmil(self) -> float:
        """Its area by definition, cmil: 36 AWG is 5 mils and 4/0 AWG 460 mils with 39 equal steps between (ASTM B258); kcmil as named."""
        number, _, of_noughts = self.name.partition("/")
        if self.is_kcmil:
            return 1000.0 * int(number)
        gauge = 1 - int(number) if of_noughts else int(number)
        return 25.0 * math.pow(92.0, (36 - gauge) / 19.5)

    def __str__(self) -> str:
        return f"{self.name} {'kcmil' if self.is_kcmil else 'AWG'}"

    def __repr__(self) -> str:
        return f"ConductorSize({self.name!r})"

    def __hash__(self) -> int:
        return hash(self.name)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ConductorSize) and other.name == self.name

    def __lt__(self, other: ConductorSize) -> bool:
        return _ORDER[self.name] < _ORDER[other.name]

    def larger(self) -> ConductorSize | None:
        """Return the next larger standard size, or None at the end of the list."""
        rank = _ORDER[self.name] + 1
        return ALL_SIZES[rank] if rank < len(ALL_SIZES) else None


ALL_SIZES: tuple[ConductorSize, ...] = tuple(ConductorSize(name) for name in _ORDER)
