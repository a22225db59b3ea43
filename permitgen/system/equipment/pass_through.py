"""Equipment in which everything that lands is connected: meters, junction boxes, wireways."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs, Equipment

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
    is_ac_only: ClassVar[bool] = True
    carries_loads: ClassVar[bool] = True
    is_of_a_building: ClassVar[bool] = False
    may_precede_service_disconnect: ClassVar[bool] = True
    is_wired_with_neutral_alone: ClassVar[bool] = True
    drawn_as: ClassVar[DrawnAs] = "meter"
    label_is_photographed: ClassVar[bool] = True


@dataclass(frozen=True, slots=True, kw_only=True)
class JunctionBox(PassThrough):
    """A junction or pull box. Circuits that pass through it keep apart: each is its own node."""

    kind: ClassVar[str] = "junction_box"
    is_enclosure: ClassVar[bool] = True
    takes_any_terminal: ClassVar[bool] = True
    circuits_stay_apart: ClassVar[bool] = True
    has_marked_terminals: ClassVar[bool] = False
    leads_on: ClassVar[bool] = True
    is_of_a_building: ClassVar[bool] = False
    may_precede_service_disconnect: ClassVar[bool] = True
    drawn_as: ClassVar[DrawnAs] = "junction"

    def node_of(self, end: End) -> str:
        """A circuit that names a set lands on that set, so that several circuits may share a box."""
        return f"{self.tag}.{end.terminal or 'through'}"
