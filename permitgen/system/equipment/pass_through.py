"""Equipment in which everything that lands is connected: meters, junction boxes, wireways."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import Equipment

if TYPE_CHECKING:
    from permitgen.system.circuit import End


@dataclass(frozen=True, slots=True, kw_only=True)
class PassThrough(Equipment):
    """One node; whatever is spliced or landed on it is connected."""

    def node_of(self, end: End) -> str:
        """Every circuit lands on the same node."""
        return f"{self.tag}.through"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter(PassThrough):
    """A revenue meter and its socket."""

    kind: ClassVar[str] = "meter"
    is_enclosure: ClassVar[bool] = True
    is_assembly: ClassVar[bool] = True
    is_metering: ClassVar[bool] = True


@dataclass(frozen=True, slots=True, kw_only=True)
class JunctionBox(PassThrough):
    """A junction or pull box. Circuits that pass through it keep apart: each is its own node."""

    kind: ClassVar[str] = "junction_box"
    is_enclosure: ClassVar[bool] = True

    def node_of(self, end: End) -> str:
        """A circuit that names a set lands on that set, so that several circuits may share a box."""
        return f"{self.tag}.{end.terminal or 'through'}"
