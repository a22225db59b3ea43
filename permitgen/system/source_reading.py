"""A figure that two papers state differently: each choice of what one of them says is a reading of the project, and all are judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.slots import Slot, with_fact

if TYPE_CHECKING:
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True)
class Stated:
    """What ``source`` states of the figure at ``path`` of the project file, in its own spelling."""

    path: str
    spelled: str
    source: str


@dataclass(frozen=True, slots=True)
class SourceReading:
    """One choice of what is ``stated`` of each figure with several sources, and the ``facts`` that it makes of a system."""

    stated: tuple[Stated, ...]
    facts: tuple[tuple[Slot, object], ...]

    def of(self, system: System) -> System:
        """Return ``system``, whatever else was changed in it, as this reading has it; what is no longer there cannot be stated."""
        for slot, fact in self.facts:
            try:
                system = with_fact(system, slot, fact)
            except (AttributeError, KeyError, IndexError):
                continue
        return system
