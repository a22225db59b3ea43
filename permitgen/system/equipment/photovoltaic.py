"""Modules, arrays, inverters, dc combiners."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.branch_current import branch_output_a
from permitgen.system.equipment.equipment import DrawnAs, Equipment
from permitgen.system.power_source import PowerSource
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """A PV module. Coefficients: give ``voc_percent_per_c`` (negative) or ``voc_v_per_c`` (V per °C, negative)."""

    name: str
    power_w: Value | None = None
    voc_v: Value | None = None
    isc_a: Value | None = None
    highest_isc_a: Value | None = None
    is_bifacial: bool | None = None
    vmp_v: Value | None = None
    imp_a: Value | None = None
    voc_percent_per_c: Value | None = None
    voc_v_per_c: Value | None = None
    largest_series_fuse_a: Value | None = None
    system_voltage_v: Value | None = None
    is_crystalline_silicon: bool | None = None
    length_in: Value | None = None
    width_in: Value | None = None
    weight_lb: Value | None = None
    at: ProjectLine | None = None

    @property
    def counted_isc_a(self) -> Value | None:
        """The short-circuit current that circuits are computed with: the highest that is marked, else the only one."""
        return self.highest_isc_a or self.isc_a


@dataclass(frozen=True, slots=True, kw_only=True)
class ModuleInverter:
    """A microinverter, or with ``is_ac_module`` the inverter of an ac module; ``output_a`` at the system voltage."""

    name: str
    output_a: Value | None = None
    output_va: Value | None = None
    output_v: Value | None = None
    largest_dc_input_v: Value | None = None
    largest_branch_device_a: Value | None = None
    largest_units_per_branch: Value | None = None
    fault_current_a: Value | None = None
    is_ac_module: bool | None = None
    is_listed_interactive: bool | None = None
    has_arc_fault_protection: bool | None = None
    has_ground_fault_protection: bool | None = None
    trip_hz: Value | None = None
    droop_percent: Value | None = None
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Converter:
    """A dc-to-dc converter at a module: rated maximum output voltage and current, input limit."""

    name: str
    output_v: Value | None = None
    output_a: Value | None = None
    largest_input_v: Value | None = None
    shutdown_v: Value | None = None
    string_voltage_v: Value | None = None
    has_arc_fault_protection: bool | None = None
    at: ProjectLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PVArray(Equipment):
    """An array. ``branches`` (name to units) where inverters sit at the modules, else ``strings`` (name to modules in series).

    Each branch or string is a terminal of that name. ``module_count`` is the number that somebody states, which must agree with them;
    who asks how many modules there are asks ``all_modules``.
    ``module_order`` is the order in which branches or strings take the modules, from the eave up and left to right.
    ``shutdown_v`` is what remains of each shutdown unit after rapid shutdown; ``modules_per_shutdown_unit`` how many share one.
    """

    kind: ClassVar[str] = "pv_array"
    circuits_stay_apart: ClassVar[bool] = True
    has_marked_terminals: ClassVar[bool] = False
    output_can_be_held: ClassVar[bool] = True
    is_of_a_building: ClassVar[bool] = False
    may_stand_before_others: ClassVar[bool] = False
    scope_order: ClassVar[int | None] = 1
    drawn_as: ClassVar[DrawnAs] = "array"

    module: Module | None = None
    module_inverter: ModuleInverter | None = None
    converter: Converter | None = None
    branches: Mapping[str, Value] = field(default_factory=dict)
    strings: Mapping[str, Value] = field(default_factory=dict)
    module_order: tuple[str, ...] = ()
    module_count: Value | None = None
    on_building: str = ""
    modules_per_shutdown_unit: Value | None = None
    shutdown_v: Value | None = None
    is_hazard_control_listed: bool | None = None
    roof_planes: tuple[str, ...] = ()

    @property
    def all_modules(self) -> Value | None:
        """How many modules the array has: the stated number, else those of its strings, else one for each unit of its branches."""
        if self.module_count is not None:
            return self.module_count
        groups = list((self.strings or self.branches).values())
        return one_or_sum_of(groups, symbol="n", title=f"modules of {self.tag}") if groups else None

    def node_of(self, end: End) -> str:
        """Each branch or string is a node."""
        return f"{self.tag}.{end.terminal or 'output'}"

    def sources(self) -> tuple[PowerSource, ...]:
        """One ac source per branch of microinverters, one dc source per string."""
        found = []
        for name in self.branches:
            output = branch_output(self, name)
            fault = branch_fault_current(self, name)
            found.append(
                PowerSource(
                    id=f"{self.tag}.{name}",
                    tag=self.tag,
                    name=f"{self.name}, branch {name}",
                    kind="photovoltaic",
                    node=f"{self.tag}.{name}",
                    output_a=output,
                    output_v=self.module_inverter.output_v if self.module_inverter is not None else None,
                    fault_current_a=fault,
                )
            )
        found.extend(
            PowerSource(
                id=f"{self.tag}.{name}",
                tag=self.tag,
                name=f"{self.name}, string {name}",
                kind="photovoltaic",
                node=f"{self.tag}.{name}",
                is_ac=False,
            )
            for name in self.strings
        )
        return tuple(found)


def has_module_electronics(array: PVArray) -> bool:
    """Whether electronics stand at the modules: converters, microinverters, or devices that shut some modules down together."""
    shuts_down = array.modules_per_shutdown_unit is not None or array.shutdown_v is not None
    return array.converter is not None or array.module_inverter is not None or shuts_down


def branch_output(array: PVArray, name: str) -> Value | None:
    """Return the sum of unit output currents of a branch, A, as a derived value; None where a fact is missing."""
    unit = array.module_inverter.output_a if array.module_inverter is not None else None
    units = array.branches.get(name)
    if unit is None or units is None:
        return None
    return branch_output_a.derive(units_count=units, unit_output_a=unit, title=f"output current of {array.tag} branch {name}")


def branch_fault_current(array: PVArray, name: str) -> Value | None:
    """Return the sum of the units' marked fault currents on a branch, A, as a derived value; None where none is marked."""
    unit = array.module_inverter.fault_current_a if array.module_inverter is not None else None
    units = array.branches.get(name)
    if unit is None or units is None:
        return None
    title = f"fault current of {array.tag} branch {name}"
    return branch_output_a.derive(units_count=units, unit_output_a=unit, symbol="I_f,branch", title=title)
