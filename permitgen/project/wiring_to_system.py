"""Raceways, circuits, control circuits and loads from their models."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from permitgen.project import quantities
from permitgen.project.cursor import Cursor
from permitgen.project.hardware_to_system import USUAL_POLES, device_of
from permitgen.project.measured import Measured
from permitgen.project.run_place import run_place_of
from permitgen.system.circuit import Circuit, End, Way, one_way
from permitgen.system.conductors import Conductors
from permitgen.system.control_circuit import ControlCircuit
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.interlock import Interlock
from permitgen.system.known_load import KnownLoad, LoadRecord
from permitgen.system.load import Load
from permitgen.system.overcurrent_device import OvercurrentDevice
from permitgen.system.power_control import PowerControl
from permitgen.system.raceway import Entry, Raceway
from permitgen.values.conductor_size import ConductorSize


def raceway_of(at: Cursor, tag: str) -> Raceway:
    """Build a run."""
    at.owner = tag
    given: Any = at.model
    used = frozenset({"length", "ambient", "above_roof", "cover", "other_current_carrying"})
    place = run_place_of(given)
    settled = {"wet": place.wet, "buried": place.buried, "inside_building": place.inside_building}
    answers = dict(at.answers()) | {name: answer for name, answer in settled.items() if answer is not None}
    return Raceway(
        tag=tag,
        kind=given.kind,
        trade_size=given.trade_size,
        is_size_unknown="trade_size" in given.unknown,
        length_ft=at.value("length", f"length of {tag}", f"L_{tag}"),
        location=given.location,
        wet=place.wet,
        ambient_c=at.value("ambient", f"ambient temperature along {tag}", "T_a"),
        above_roof_in=at.value("above_roof", f"distance of {tag} above the roof"),
        underground=place.buried,
        cover_in=at.value("cover", f"cover of {tag}"),
        contains_other_current_carrying=at.value("other_current_carrying", f"conductors of other wiring in {tag}", "n"),
        on_building=given.building,
        inside=place.inside_building,
        on_roof=place.on_roof,
        in_open_air=place.in_open_air,
        in_attic=place.in_attic,
        exposed=given.exposed,
        bonding=given.bonding,
        surface=given.surface,
        riser=given.riser,
        below=given.below,
        roof_below=given.roof_below,
        bonding_jumper_size=at.size("bonding_jumper")[0],
        route=tuple((x, y) for x, y in given.route),
        entries={name: _entry(at.child("entries", name, model=entry)) for name, entry in given.entries.items()},
        facts=at.facts(used),
        answers=tuple(answers.items()),
        trade_size_at=at.line("trade_size") if given.trade_size else None,
        at=at.line(),
    )


def _entry(at: Cursor) -> Entry:
    given: Any = at.model
    return Entry(wall=given.wall, from_left_in=at.value("from_left"), from_back_in=at.value("from_back"), at=at.line())


def _end(at: Cursor, key: str, text: str) -> End:
    tag, _, terminal = text.partition(".")
    if terminal.isdecimal():
        return End(tag, "", int(terminal), at.line(key))
    return End(tag, terminal, None, at.line(key))


def circuit_of(at: Cursor, tag: str, equipment: Mapping[str, Equipment]) -> Circuit:
    """Build a circuit. It is dc when one of its ends is a dc terminal."""
    at.owner = tag
    given: Any = at.model
    start, finish = _end(at, "from", given.from_), _end(at, "to", given.to)
    is_dc = any(_is_dc_end(equipment.get(end.tag), end) for end in (start, finish))
    both_legs = is_dc or all(item is not None and item.carries_loads for item in (equipment.get(end.tag) for end in (start, finish)))
    ungrounded = _ungrounded_count(given, both_legs=both_legs)
    return Circuit(
        tag=tag,
        name=given.name,
        start=start,
        finish=finish,
        conductors=_conductors(at.child("conductors"), ungrounded, len(given.parallel), is_dc=is_dc),
        start_device=_device(at.child("overcurrent"), "from_end", start, ungrounded),
        finish_device=_device(at.child("overcurrent"), "to_end", finish, ungrounded),
        ways=tuple(Way(name=name, runs=runs) for name, runs in given.parallel.items()) or one_way(given.runs),
        is_dc=is_dc,
        volts=at.value("voltage", f"voltage of {tag}", "E"),
        current_a=at.value("current", f"current of {tag}"),
        continuous=given.continuous,
        power_factor=at.value("power_factor", f"power factor of {tag}"),
        tap_of=given.tap_of,
        reason_for_increase=given.reason_for_increase,
        existing=bool(given.existing),
        facts=at.facts(frozenset({"voltage", "current", "power_factor"})),
        answers=at.answers(),
        at=at.line(),
    )


def _ungrounded_count(given: Any, *, both_legs: bool) -> int:
    """Return the number of ungrounded conductors: as stated, else as many as a device of the circuit has poles, else two."""
    stated: int | None = given.conductors.ungrounded
    devices = (given.overcurrent.from_end, given.overcurrent.to_end)
    poles = [device.poles for device in devices if device is not None and device.poles is not None]
    return stated if stated is not None else USUAL_POLES if both_legs else min(poles, default=USUAL_POLES)


def _device(at: Cursor, key: str, end: End, ungrounded: int) -> OvercurrentDevice | None:
    return device_of(at.child(key), end.position, ungrounded) if getattr(at.model, key) is not None else None


def _is_dc_end(item: Equipment | None, end: End) -> bool:
    if isinstance(item, PVArray):
        return end.terminal in item.strings
    if isinstance(item, Inverter):
        return item.is_dc_at(end.terminal)
    return isinstance(item, DCCombiner) or (isinstance(item, EnergyStorageSystem) and item.coupling == "dc")


def _neutral(text: str, ungrounded: int, *, is_dc: bool) -> tuple[bool | None, ConductorSize | None]:
    """Read ``yes``, ``no`` or a size; where the file does not say, a single ungrounded conductor has a neutral, and dc has none."""
    if text.casefold() == "unknown":
        return (False if is_dc else True if ungrounded == 1 else None), None
    if text.casefold() in ("yes", "no"):
        return text.casefold() == "yes", None
    return True, quantities.parse_conductor_size(text)


def _conductors(at: Cursor, ungrounded: int, named_sets: int, *, is_dc: bool) -> Conductors:
    """Build the conductors; sets that the circuit names are counted there, else as many as are stated, else one."""
    given: Any = at.model
    size, size_at = at.size("size")
    egc, egc_at = at.size("equipment_ground")
    neutral, neutral_size = _neutral(given.neutral, ungrounded, is_dc=is_dc)
    return Conductors(
        circuit=at.owner,
        size=size,
        material=given.material,
        insulation=given.insulation,
        ungrounded_count=ungrounded,
        is_count_stated=given.ungrounded is not None,
        neutral=neutral,
        neutral_size=neutral_size,
        neutral_senses_voltage_only=bool(given.neutral_senses_voltage_only),
        egc_size=egc,
        egc_material=given.equipment_ground_material,
        has_wire_egc=not given.equipment_ground_by_raceway and not given.without_equipment_ground,
        egc_shared_with=given.equipment_ground_shared_with,
        sets=named_sets or given.sets or 1,
        fine_stranded=bool(given.fine_stranded),
        stranding=given.stranding,
        is_compact=given.compact,
        has_bare_egc=bool(given.equipment_ground_bare),
        has_no_egc=bool(given.without_equipment_ground),
        sets_are_alike=given.sets_alike,
        outside_diameter_in=at.value("outside_diameter"),
        cable_diameter_in=at.value("cable_diameter"),
        insulation_v=at.value("insulation_voltage", f"insulation voltage of the conductors of {at.owner}"),
        size_at=size_at,
        egc_at=egc_at,
        unknown=given.unknown,
        at=at.line(),
    )


def control_of(at: Cursor, tag: str) -> ControlCircuit:
    """Build a control circuit."""
    at.owner = tag
    given: Any = at.model
    size, _ = at.size("size")
    tail, _ = at.size("tail_size")
    return ControlCircuit(
        tag=tag,
        name=given.name or given.purpose,
        purpose=given.purpose,
        source=given.source,
        device=given.device,
        source_class=None if given.source_class == "unknown" else given.source_class,
        supply_overcurrent_a=at.value("supply_overcurrent", f"overcurrent device that supplies {tag}"),
        volts=at.value("voltage", f"voltage of {tag}"),
        current_a=at.value("current", f"current of {tag}"),
        size=size,
        insulation=given.insulation,
        tail_size=tail,
        splice=given.splice,
        length_ft=at.value("length", f"length of {tag}", "L"),
        runs=given.runs,
        is_reclassified=given.reclassified,
        associated_with=given.associated_with,
        has_barrier=given.barrier,
        tail_insulation=given.tail_insulation,
        insulation_v=at.value("insulation_voltage", f"insulation voltage of {tag}"),
        cable_diameter_in=at.value("cable_diameter", f"diameter of the cable of {tag}"),
        smallest_v=at.value("smallest_voltage", f"voltage that the device of {tag} needs"),
        fails_to_shutdown=given.fails_to_shutdown,
        opens=given.opens,
        contact_v=at.value("contact_voltage", f"rated voltage of the contact of {tag}", "V_R"),
        contact_a=at.value("contact_current", f"rated current of the contact of {tag}", "I_R"),
        contact_kind=_kind_of_current(given.contact_voltage),
        current_kind=_kind_of_current(given.voltage),
        at=at.line(),
    )


def _kind_of_current(volts: Measured | None) -> str:
    """Return ``ac`` or ``dc`` as the writer put it behind the volts, empty where he did not."""
    last = volts.spelled.casefold().split()[-1:] if volts is not None else []
    return next((word for word in last if word in ("ac", "dc")), "")


def load_of(at: Cursor, tag: str) -> Load:
    """Build a load."""
    at.owner = tag
    given: Any = at.model
    return Load(
        tag=tag,
        name=given.name or tag,
        panel=given.panel,
        stated_category=given.category,
        room=given.room,
        stated_leg=given.leg,
        power_va=at.value("power", f"power of {tag}"),
        current_a=at.value("current", f"current of {tag}"),
        locked_rotor_a=at.value("locked_rotor_current"),
        continuous=given.continuous,
        simultaneous=given.simultaneous is not False,
        is_new=given.new,
        shed=given.shed,
        is_moved=given.moved,
        added_length_ft=at.value("added_length", f"wiring added to {tag} outside of enclosures"),
        has_new_outlets=given.new_outlets,
        has_arc_fault_protection=given.arc_fault_protection,
        disconnected_by=given.disconnected_by,
        is_life_safety=given.life_safety,
        at=at.line(),
    )


def known_load_of(at: Cursor, tag: str) -> KnownLoad:
    """Build the load that is known behind equipment as one figure."""
    at.owner = tag
    given: Any = at.model
    is_measured = any(getattr(given, name) is not None for name in ("measured", "measured_power", "over"))
    kind = "measured" if is_measured else "calculated"
    return KnownLoad(
        tag=tag,
        is_measured=is_measured,
        current_a=at.value(kind, f"{kind} load of {tag}", "I_known"),
        power_va=at.value(f"{kind}_power", f"{kind} load of {tag}", "S_known"),
        method=given.method,
        record=LoadRecord(
            days_count=at.value("over", f"days of the record of the load of {tag}", "n"),
            sources_connected=given.sources_connected,
            seasonal_loads_included=given.seasonal_loads_included,
        ),
        by=given.by,
        at=at.line(),
    )


def power_control_of(at: Cursor, tag: str) -> PowerControl:
    """Build a power control system."""
    at.owner = tag
    given: Any = at.model
    setting = at.value("setting", f"setting of {tag}", f"I_{tag}")
    return PowerControl(tag=tag, name=given.name or tag, setting_a=setting, sources=given.sources, limits=given.limits, at=at.line())


def interlock_of(at: Cursor) -> Interlock:
    """Build an interlock."""
    given: Any = at.model
    return Interlock(
        not_both_closed=given.not_both_closed,
        when=given.when,
        first_opens=given.first_opens,
        by=given.by,
        is_listed=given.listed,
        at=at.line(),
    )
