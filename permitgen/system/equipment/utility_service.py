"""The utility's side of the service point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.power_source import PowerSource

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class UtilityService(Equipment):
    """Service point: system voltages, and what the utility says of the fault current there.

    Either ``available_fault_current_a`` (with ``fault_current_source`` and its date) or the transformer's
    ``transformer_kva`` and ``transformer_impedance_percent``.
    """

    kind: ClassVar[str] = "utility_service"
    has_marked_terminals: ClassVar[bool] = False
    is_ac_only: ClassVar[bool] = True
    is_of_a_building: ClassVar[bool] = False
    may_stand_before_others: ClassVar[bool] = False
    is_wired_with_neutral_alone: ClassVar[bool] = True
    drawn_as: ClassVar[DrawnAs] = "utility"

    line_to_line_v: Value | None = None
    line_to_neutral_v: Value | None = None
    available_fault_current_a: Value | None = None
    fault_current_source: str = ""
    transformer_kva: Value | None = None
    transformer_impedance_percent: Value | None = None

    def node_of(self, end: End) -> str:
        """Every circuit lands on the one node of the service point."""
        return f"{self.tag}.service_point"

    def sources(self) -> tuple[PowerSource, ...]:
        """The utility itself."""
        return (PowerSource(id=self.tag, tag=self.tag, name=self.name, kind="utility", node=f"{self.tag}.service_point"),)
