"""The states an installation runs in; a rule says in which of them a number holds."""

from __future__ import annotations

from enum import Enum


class OperatingMode(Enum):
    """What keeps the house alive."""

    WITH_UTILITY = "with the utility"
    ISLANDED = "islanded"
    ON_GENERATOR = "on the generator"

    def __str__(self) -> str:
        return self.value


ALL_MODES: frozenset[OperatingMode] = frozenset(OperatingMode)
