"""Equipment that uses energy, and equipment that only watches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.power_source import PowerSource
from permitgen.values.missing_fact import stated

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class EVSupplyEquipment(Equipment):
    """Electric vehicle supply equipment; ``setting_a`` an adjustable setting with restricted access. ``exports`` makes it a source."""

    kind: ClassVar[str] = "ev_supply_equipment"
    is_enclosure: ClassVar[bool] = True
    is_counted_load: ClassVar[bool] = True
    output_can_be_held: ClassVar[bool] = True
    scope_order: ClassVar[int | None] = 8
    drawn_as: ClassVar[DrawnAs] = "vehicle supply"
    has_serial_number: ClassVar[bool] = True

    current_a: Value | None = None
    setting_a: Value | None = None
    exports: bool = False
    output_a: Value | None = None
    output_v: Value | None = None

    def node_of(self, end: End) -> str:
        """One input."""
        return f"{self.tag}.input"

    def sources(self) -> tuple[PowerSource, ...]:
        """The vehicle, where it can give back."""
        if not self.exports:
            return ()
        return (
            PowerSource(
                id=self.tag,
                tag=self.tag,
                name=self.name,
                kind="vehicle",
                node=f"{self.tag}.input",
                output_a=self.output_a,
                output_v=self.output_v,
                forms_island=True,
            ),
        )

    @property
    def is_utilization_equipment(self) -> bool:
        """It draws current."""
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class Appliance(Equipment):
    """An appliance with a circuit of its own."""

    kind: ClassVar[str] = "appliance"
    is_counted_load: ClassVar[bool] = True
    drawn_as: ClassVar[DrawnAs] = "appliance"

    current_a: Value | None = None
    power_va: Value | None = None
    minimum_circuit_ampacity_a: Value | None = None
    largest_device_a: Value | None = None
    continuous: bool | None = None
    stated_category: str = ""

    def node_of(self, end: End) -> str:
        """One input."""
        return f"{self.tag}.input"

    @property
    def is_utilization_equipment(self) -> bool:
        """It draws current."""
        return True

    @property
    def category(self) -> str:
        """The kind of load.

        Raises:
            MissingFactError: the project does not state it.
        """
        return stated(self.stated_category or None, f"category of {self.tag}")


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyMonitor(Equipment):
    """Energy monitor: measures and talks, on its own small supply circuit."""

    kind: ClassVar[str] = "energy_monitor"
    drawn_as: ClassVar[DrawnAs] = "energy_monitor"
    has_serial_number: ClassVar[bool] = True
    has_firmware: ClassVar[bool] = True

    def node_of(self, end: End) -> str:
        """One supply input."""
        return f"{self.tag}.input"

    @property
    def is_utilization_equipment(self) -> bool:
        """It draws its own small supply."""
        return True
