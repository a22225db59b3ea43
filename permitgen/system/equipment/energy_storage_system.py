"""Battery energy storage systems."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import DrawnAs
from permitgen.system.equipment.held_output import HeldOutput
from permitgen.system.handle import Handle
from permitgen.system.link import Link
from permitgen.system.power_source import PowerSource

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyStorageSystem(HeldOutput):
    """A storage unit with ``coupling`` ``ac`` or ``dc``; ``output_a`` is its rated output (ac) or discharge current (dc).

    ``functions`` without ``multimode`` is a unit that works with the utility only. ``has_disconnect`` says that a
    disconnecting means is part of the unit. ``units`` counts equal units (cabinets) behind the one output: ratings and ``energy_kwh``
    are those of all of them together, ``unit_energy_kwh`` that of one.
    """

    kind: ClassVar[str] = "energy_storage_system"
    is_enclosure: ClassVar[bool] = True
    needs_working_space: ClassVar[bool] = True
    scope_order: ClassVar[int | None] = 3
    drawn_as: ClassVar[DrawnAs] = "storage"
    has_serial_number: ClassVar[bool] = True
    has_firmware: ClassVar[bool] = True
    frame_bond_is_measured: ClassVar[bool] = True

    output_v: Value | None = None
    charge_a: Value | None = None
    energy_kwh: Value | None = None
    units: Value | None = None
    unit_energy_kwh: Value | None = None
    chemistry: str = ""
    coupling: str = "ac"
    functions: frozenset[str] = frozenset({"interactive", "multimode"})
    nominal_v: Value | None = None
    has_disconnect: bool | None = None
    largest_device_a: Value | None = None
    fault_current_a: Value | None = None
    is_listed_system: bool | None = None
    spacing_listed_in: Value | None = None

    @property
    def unit_count(self) -> int | None:
        """How many units it is: an entry that states none is one unit; None where nobody knows."""
        if self.units is not None:
            return int(self.units.number)
        return None if "units" in self.unknown else 1

    @property
    def energy_of_one_kwh(self) -> Value | None:
        """Rated energy of one unit, kWh."""
        return self.energy_kwh if self.unit_energy_kwh is None and self.unit_count == 1 else self.unit_energy_kwh

    @property
    def source_bond_node(self) -> str:
        """Its one output."""
        return f"{self.tag}.output"

    def node_of(self, end: End) -> str:
        """One output."""
        return f"{self.tag}.output"

    def links(self, landed: Mapping[str, OvercurrentDevice | None]) -> tuple[Link, ...]:
        """Cells to output through the unit's own disconnect."""
        handle = f"{self.tag}.disconnect" if self.has_disconnect else ""
        return (
            Link(
                first=f"{self.tag}.cells", second=f"{self.tag}.output", part=f"{self.tag} disconnect", handle=handle, carries_neutral=False
            ),
        )

    def sources(self) -> tuple[PowerSource, ...]:
        """The unit."""
        return (
            PowerSource(
                id=self.tag,
                tag=self.tag,
                name=self.name,
                kind="energy storage",
                node=f"{self.tag}.cells",
                output_a=self.output_a,
                output_v=self.output_v,
                forms_island=self.coupling == "ac" and "multimode" in self.functions,
                is_ac=self.coupling == "ac",
                fault_current_a=self.fault_current_a,
                limit_a=self.limit_a,
            ),
        )

    def handles(self) -> tuple[Handle, ...]:
        """The unit's own disconnect."""
        if not self.has_disconnect:
            return ()
        return (
            Handle(
                id=f"{self.tag}.disconnect",
                tag=self.tag,
                name=f"{self.name} switch",
                kind="energy storage disconnect",
                place=self.place,
                action="turn OFF",
            ),
        )
