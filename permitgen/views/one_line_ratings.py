"""Ratings printed beside each symbol of the one-line diagram.

In the same order each time: volts, amperes or kilowatts, interrupting rating.
"""

from __future__ import annotations

from functools import singledispatch
from typing import TYPE_CHECKING

from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.disconnect import Disconnect, RapidShutdownInitiator, TransferSwitch
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.equipment.generator import Generator, PowerInlet
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.system.equipment.utilization import Appliance, EVSupplyEquipment
from permitgen.values.origin import ProjectLine
from permitgen.views.one_line_stated import interlock_mark
from permitgen.views.one_line_text import device_text
from permitgen.views.wording import number_text, value_text

if TYPE_CHECKING:
    from permitgen.system.system import System
    from permitgen.values.value import Value


def rating_lines(item: Equipment) -> tuple[str, ...]:
    """Return the ratings of a piece of equipment, one a line; a fact that the project does not state leaves no line."""
    return tuple(line for line in (item.model, *_ratings(item), *_known_fault_current(item), _surge_device(item)) if line)


def control_lines(item: Equipment, system: System) -> tuple[str, ...]:
    """Return the power control systems that hold a source or a busbar, each with its one setting and all that it holds together."""
    return tuple(
        joined(f"{control.name}: {_value(control.setting_a) or 'setting not stated'}", f"{' and '.join(control.sources)} together")
        for control in system.power_controls.values()
        if item.tag in (*control.sources, *control.limits)
    )


def interlock_lines(item: Equipment, system: System) -> tuple[str, ...]:
    """Return the interlocks of the switches in a piece of equipment."""
    numbered = enumerate(system.interlocks, start=1)
    found = [(number, each) for number, each in numbered if item.tag in {name.partition(".")[0] for name in each.switches}]
    return tuple(f"{interlock_mark(number)}: {each}" for number, each in found)


def joined(*parts: str) -> str:
    """Return the parts that say something, with commas."""
    return ", ".join(part for part in parts if part)


def _value(value: Value | None, before: str = "", after: str = "") -> str:
    return f"{before}{value_text(value)}{after}" if value is not None else ""


def _own(value: Value | None, before: str = "", after: str = "") -> str:
    """Return a value as the project file spells it: ``9.2 kA`` rather than ``9200 A``."""
    if value is None:
        return ""
    spelled = value.origin.spelled if isinstance(value.origin, ProjectLine) else ""
    return f"{before}{spelled or value_text(value)}{after}"


def _source(value: Value | None) -> str:
    """Return who states a value, where the file says so beside it."""
    return value.origin.source if value is not None and isinstance(value.origin, ProjectLine) else ""


def _enclosure(item: Equipment) -> str:
    return f"type {item.enclosure_type}" if item.enclosure_type else ""


def _known_fault_current(item: Equipment) -> list[str]:
    """What a letter or study says of this very place; the service point has lines of its own."""
    if isinstance(item, UtilityService):
        return []
    current = item.fact("available_fault_current")
    return [_own(current, after=" available"), item.word("fault_current_source") or _source(current)]


def _surge_device(item: Equipment) -> str:
    """Return type and ratings of the surge-protective device at this equipment; that there is none where the file says so."""
    kind = item.word("surge_protection")
    if kind in ("", "none"):
        return "no surge device" if kind else ""
    discharge, withstands = item.fact("surge_discharge"), item.fact("surge_short_circuit_rating")
    return joined(f"surge device {kind}", _own(discharge, "nominal "), _own(withstands, after=" SCCR"))


@singledispatch
def _ratings(item: Equipment) -> list[str]:
    del item
    return []


@_ratings.register
def _utility(item: UtilityService) -> list[str]:
    volts = [number_text(v.number, v.unit) for v in (item.line_to_neutral_v, item.line_to_line_v) if v is not None]
    return [
        f"{'/'.join(volts)} V, 1-ph, 3-wire" if volts else "",
        _own(item.available_fault_current_a, after=" available"),
        item.fault_current_source or _source(item.available_fault_current_a),
        joined(_value(item.transformer_kva), _value(item.transformer_impedance_percent, after=" Z")),
    ]


@_ratings.register
def _panelboard(item: Panelboard) -> list[str]:
    main = "main lugs only" if item.main is None else ""
    return [
        joined(_value(item.busbar_rating_a, after=" busbar"), main),
        joined(_value(item.short_circuit_rating_ka, after=" SCCR"), _enclosure(item)),
    ]


@_ratings.register
def _interconnect(item: MicrogridInterconnectDevice) -> list[str]:
    return [joined(_value(item.busbar_rating_a, after=" busbar"), _value(item.short_circuit_rating_ka, after=" SCCR"), _enclosure(item))]


@_ratings.register
def _array(item: PVArray) -> list[str]:
    count = number_text(item.all_modules.number, "count") if item.all_modules is not None else "?"
    power = _value(item.module.power_w, "× ", " ") if item.module is not None else ""
    lines = [f"{count} {power}module{'' if count == '1' else 's'}"]
    if item.module_inverter is not None:
        lines.append(joined(item.module_inverter.name, _value(item.module_inverter.output_a)))
    if item.converter is not None:
        lines.append(item.converter.name)
    return lines


@_ratings.register
def _inverter(item: Inverter) -> list[str]:
    return [
        joined(_own(item.output_va), _value(item.output_a)),
        joined(*sorted(item.functions)),
        _value(item.largest_dc_input_v, "dc input up to "),
        _value(item.limit_a, "held to "),
    ]


@_ratings.register
def _storage(item: EnergyStorageSystem) -> list[str]:
    units = _value(item.unit_energy_kwh, f"{item.unit_count or '?'} × ") if item.unit_count != 1 else ""
    return [joined(_value(item.energy_kwh), f"{_value(item.output_a)} {item.coupling}".strip()), units, item.chemistry]


@_ratings.register
def _dc_combiner(item: DCCombiner) -> list[str]:
    return [
        _value(item.busbar_rating_a, after=" dc busbar"),
        joined(_value(item.marked_v, after=" dc"), _value(item.short_circuit_rating_ka, after=" SCCR")),
        _enclosure(item),
    ]


@_ratings.register
def _generator(item: Generator) -> list[str]:
    return [joined(_own(item.output_va), _value(item.output_a))]


@_ratings.register
def _inlet(item: PowerInlet) -> list[str]:
    contacts = {True: "male contacts", False: "female contacts"}.get(item.answer("male_contacts"), "")  # type: ignore[arg-type]
    return [joined(_value(item.rating_a), contacts, _enclosure(item)), f"takes {item.generator}" if item.generator else ""]


@_ratings.register
def _disconnect(item: Disconnect) -> list[str]:
    kind = "fused" if item.device is not None and item.device.kind == "fuse" else "breaker"
    device = f"{kind} {device_text(item.device)}" if item.device is not None else "unfused"
    return [joined(_value(item.rating_a), device), joined(item.purpose, "lockable" if item.lockable else "")]


@_ratings.register
def _transfer(item: TransferSwitch) -> list[str]:
    neutral = (
        {True: "switches neutral", False: "neutral solid"}[item.switches_neutral]
        if item.switches_neutral is not None
        else "neutral not stated"
    )
    return [joined(_value(item.rating_a), f"{item.poles}P" if item.poles is not None else "", neutral)]


@_ratings.register
def _initiator(item: RapidShutdownInitiator) -> list[str]:
    stops = item.shuts_down + item.also_stops
    return [f"shuts down {', '.join(stops)}" if stops else ""]


@_ratings.register
def _vehicle(item: EVSupplyEquipment) -> list[str]:
    return [joined(_value(item.current_a), _value(item.setting_a, "set to "), "bidirectional" if item.exports else "")]


@_ratings.register
def _appliance(item: Appliance) -> list[str]:
    return [joined(_own(item.power_va), _value(item.current_a))]
