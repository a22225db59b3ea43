"""Values of labels that are currents, voltages and ratings, and what is connected where: sources, busbars, transfer equipment."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.photovoltaic import dc_marking_places
from permitgen.evaluation.label_facts.sources import source_disconnect_of
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.quantities.circuit_current import circuit_current, line_to_line
from permitgen.rules.quantities.pv_voltage import string_maximum_voltage
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.source_output import controls_at
from permitgen.rules.subjects import SUBJECTS
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.generator import PowerInlet
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.system.walks.batteries import batteries_among
from permitgen.system.walks.dc_circuits import inverters_fed, storage_joined
from permitgen.system.walks.pv_disconnects import ac_sources_of, interconnection_points
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators
from permitgen.system.walks.service_path import device_toward_utility
from permitgen.system.walks.source_switches import separating_handles
from permitgen.values.equation import sum_of
from permitgen.views.label_context import AboutLabel, Provider, bare, capitals, in_a_row, where
from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.values.value import Value

_AMPERES_PER_KA = 1000
_KIND_WORDS = {
    "generator": "GENERATOR",
    "energy storage": "ENERGY STORAGE SYSTEM",
    "photovoltaic": "SOLAR PV SYSTEM",
    "vehicle": "ELECTRIC VEHICLE",
}


def _initiators(about: AboutLabel) -> str:
    items = [initiator.item for initiator in initiators(about.system) if initiator.arrays]
    places = [where(item.place) for item in items if item.place is not None]
    return places[0] if len(places) == 1 else "; ".join(f"({number}) {place}" for number, place in enumerate(places, start=1))


def _nominal_voltage(about: AboutLabel) -> str:
    stated = getattr(_item(about), "nominal_v", None)
    if stated is None and _current(about) == "DC":
        return ""
    return bare(stated if stated is not None else line_to_line(about.context.evaluation.given))


def _ess_voltage(about: AboutLabel) -> str:
    """The nominal ac voltage, or the maximum dc voltage, with these words; nothing where nobody states it."""
    item = _item(about)
    if _current(about) == "AC":
        return f"NOMINAL AC VOLTAGE {voltage}" if (voltage := _nominal_voltage(about)) else ""
    stated = item.fact("maximum_voltage") if item is not None else None
    return f"MAXIMUM DC VOLTAGE {bare(stated)}" if stated is not None else ""


def _current(about: AboutLabel) -> str:
    return "DC" if getattr(_item(about), "coupling", "ac") == "dc" else "AC"


def _item(about: AboutLabel) -> Equipment | None:
    return about.system.equipment.get(about.subject.equipment)


def _source_word(about: AboutLabel) -> str:
    """The generator, or what the labeled switch parts from the rest; else the name of the switch."""
    system = about.system
    item = system.equipment.get(about.subject.equipment)
    if item is not None and item.kind == "generator":
        return _KIND_WORDS["generator"]
    behind = [s for s in system.sources.values() if s.is_ac and _joins_at(about, s)]
    names = dict.fromkeys(_KIND_WORDS[s.kind] if s.kind == "vehicle" else _without_rating(system.equipment[s.tag].name) for s in behind)
    return " AND ".join(names) or capitals(about.subject.name)


def _without_rating(name: str) -> str:
    return capitals(name.partition(",")[0])


def _source_on_breaker(about: AboutLabel) -> str:
    """The kinds of source behind a back-fed breaker."""
    system = about.system
    links = [link for link in system.graph.links if link.handle == about.subject.tag]
    busbar = {bus.node for bus in system.busbars.values() if bus.tag == about.subject.equipment}
    starts = [link.other(node) for link in links for node in (link.first, link.second) if node in busbar]
    behind = system.graph.reach(starts, lambda link: link.handle != about.subject.tag)
    kinds = dict.fromkeys(_KIND_WORDS[s.kind] for s in system.sources.values() if s.node in behind and s.kind in _KIND_WORDS)
    return in_a_row(kinds)


def _pv_output(about: AboutLabel) -> str:
    """The rated output current of the PV sources that join other sources at the label's handle."""
    system = about.system
    arrays = [array for array in arrays_of(system) if about.subject.tag in {h.id for h in interconnection_points(system, array)}]
    sources = [source for array in arrays for source in ac_sources_of(system, array) if _joins_at(about, source)]
    outputs = [source.output_a for source in sources]
    if not outputs or None in outputs:
        return ""
    return bare(sum_of([output for output in outputs if output is not None], symbol="I_ac", title="rated ac output current", unit="a"))


def _joins_at(about: AboutLabel, source: PowerSource) -> bool:
    handles = separating_handles(about.system, (source,))
    return about.subject.tag in {handle.id for handle in handles}


def _line_voltage(about: AboutLabel) -> str:
    return bare(line_to_line(about.context.evaluation.given))


def _short_circuit_rating(about: AboutLabel) -> str:
    item = about.system.equipment.get(about.subject.tag)
    rating = item.short_circuit_rating_ka if item is not None else None
    return f"{rating.number * _AMPERES_PER_KA:,.0f}" if rating is not None else ""


def _protecting_device(about: AboutLabel) -> str:
    """The device within the transfer equipment, else the first one from its supply terminals toward the utility."""
    system = about.system
    item = system.equipment.get(about.subject.tag)
    device = getattr(item, "main", None) or getattr(item, "device", None)
    if device is None and item is not None:
        terminal = "normal" if item.kind == "transfer_switch" else "supply"
        device, _ = device_toward_utility(system, f"{item.tag}.{terminal}")
    if device is None:
        return ""
    poles = f", {device.poles}-pole" if device.poles else ""
    return capitals(f"{number_text(device.rating_a.number, 'a')} A{poles} {device.kind}") if device.rating_a is not None else ""


def _busbar_rating(about: AboutLabel) -> str:
    bus = about.system.busbars.get(about.subject.tag)
    return bare(bus.rating_a) if bus is not None and bus.rating_a is not None else ""


def _sum_of_breakers(about: AboutLabel) -> str:
    finding = about.context.evaluation.by_id.get(f"busbar-sources:{about.subject.tag}")
    computed = finding.judgement.computed if finding is not None else None
    return bare(computed) if computed is not None and _all_stand_here(about, computed) else ""


def _all_stand_here(about: AboutLabel, total: Value) -> bool:
    """Whether a sum is that of the devices in this enclosure; one beyond lugs counts with the busbar and is installed elsewhere."""
    tag = about.subject.tag
    bus = about.system.busbars[tag].node
    here = (each for each in about.system.devices.values() if each.enclosure == tag and bus in each.nodes and each.tag != f"{tag}.main")
    ratings = [each.device.rating_a for each in here]
    return all(rating is not None for rating in ratings) and sum(r.number for r in ratings if r is not None) == total.number


def _largest_dc_voltage(about: AboutLabel) -> str:
    """The highest dc voltage in the cold of what ends at the labeled equipment: of its strings, and of modules on electronics of their own.

    Strings of dc-to-dc converters stand at the voltage that their instructions fix, else at the sum of their outputs. Nothing where one
    of the voltages is not known.
    """
    found = [*_voltages_of_strings(about), *_voltages_at_modules(about)]
    known = [voltage for voltage in found if voltage is not None]
    return bare(max(known, key=lambda value: value.number)) if known and len(known) == len(found) else ""


def _voltages_of_strings(about: AboutLabel) -> list[Value | None]:
    strings = [string for string in SUBJECTS["PV string"](about.system) if about.subject.equipment in _ends_of(about.system, string)]
    return [_string_voltage(about, string) for string in strings]


def _ends_of(system: System, string: ArrayCircuit) -> set[str]:
    """Return the tags of the inverters that a string feeds; of its array where it feeds none."""
    return {inverter.tag for inverter in inverters_fed(system, string.tag)} or {string.array.tag}


def _string_voltage(about: AboutLabel, string: ArrayCircuit) -> Value | None:
    evaluation = about.context.evaluation
    if string.array.converter is not None:
        return string_maximum_voltage(evaluation.given, string)
    finding = evaluation.by_id.get(f"pv-maximum-voltage:{string.tag}")
    return finding.judgement.computed if finding is not None else None


def _voltages_at_modules(about: AboutLabel) -> list[Value | None]:
    """The voltages at the inputs of microinverters whose arrays are marked at the labeled equipment."""
    marked = [array for array in arrays_of(about.system) if about.subject.equipment in dc_marking_places(about.system, array)]
    tags = [array.tag for array in marked if array.module_inverter is not None]
    found = [about.context.evaluation.by_id.get(f"pv-module-input-voltage:{tag}") for tag in tags]
    return [finding.judgement.computed if finding is not None else None for finding in found]


def _largest_dc_current(about: AboutLabel) -> str:
    given = about.context.evaluation.given
    found = [circuit_current(given, circuit).maximum_a for circuit in given.system.circuits.values() if circuit.is_dc]
    return bare(max(found, key=lambda value: value.number)) if found else ""


def _setting(about: AboutLabel) -> str:
    """The setting of the load management, else what the sources on the busbar are held to, each or together, in all."""
    system = about.system
    item, bus = system.equipment.get(about.subject.tag), system.busbars.get(about.subject.tag)
    setting = item.fact("load_management_setting") if item is not None else None
    if setting is None and bus is not None:
        given = about.context.evaluation.given
        controls = controls_at(given, bus.tag)
        together = {tag for control in controls for tag in control.sources}
        limits = [control.setting_a for control in controls if control.setting_a is not None]
        limits += [s.limit_a for s in feeds_of(given, bus).sources if s.limit_a is not None and s.tag not in together]
        setting = sum_of(limits, symbol="I_set", title="set current of the sources", unit="a") if limits else None
    return bare(setting) if setting is not None else ""


def _managed(about: AboutLabel) -> str:
    """What the setting holds: loads under management, else the sources on the busbar."""
    system = about.system
    bus = system.busbars.get(about.subject.tag)
    sources = feeds_of(about.context.evaluation.given, bus).sources if bus is not None else ()
    together = {tag for control in system.power_controls.values() if about.subject.tag in control.limits for tag in control.sources}
    held = dict.fromkeys(system.equipment[s.tag].name for s in sources if s.limit_a is not None or s.tag in together)
    loads = [load.name for load in system.loads.values() if load.shed == "always"]
    return "; ".join(capitals(name) for name in (*held, *loads)) or capitals(about.subject.name)


def _source_ahead(about: AboutLabel) -> str:
    """The sources that are connected ahead of the service disconnect, or those behind the labeled disconnect."""
    side = service_side(about.context.evaluation.given)
    own = [found for found in side.of_sources if about.subject.tag in (found.enclosure, found.handle)]
    kinds = dict.fromkeys(source.kind for found in own or side.of_sources for source in found.sources)
    return in_a_row(f"THE {_KIND_WORDS.get(kind, capitals(kind))}" for kind in kinds)


def _other_disconnect(about: AboutLabel) -> str:
    """Where the source's disconnect stands; on that disconnect, where the service disconnect stands."""
    system, side = about.system, service_side(about.context.evaluation.given)
    is_source = any(about.subject.tag in (found.enclosure, found.handle) for found in side.of_sources)
    others = side.of_loads if is_source else side.of_sources
    return "; ".join(dict.fromkeys(where(system.equipment[found.enclosure].place) for found in others))


def _isolating_switch(about: AboutLabel) -> str:
    """The switch or breaker that parts the labeled source from all others."""
    handles = [source_disconnect_of(about.system, source) for source in about.system.sources.values() if source.tag == about.subject.tag]
    return capitals("; ".join(f"{_called(about.system, handle)} ({where(handle.place)})" for handle in handles if handle is not None))


def _called(system: System, handle: Handle) -> str:
    """A breaker by its enclosure and position, a switch by its name and tag."""
    enclosure = system.equipment.get(handle.tag)
    if handle.kind == "breaker" and enclosure is not None:
        label = f' "{handle.label}"' if handle.label else ""
        return f"breaker {handle.id.partition('.')[2]}{label} in the {enclosure.name} {enclosure.tag}"
    return f"the {handle.name} {handle.id}"


def _inlet_ratings(about: AboutLabel) -> str:
    """Volts and amperes of a power inlet, as the plug that fits it is marked; nothing where the project does not state the amperes."""
    item = about.system.equipment.get(about.subject.tag)
    if not isinstance(item, PowerInlet) or item.rating_a is None:
        return ""
    utility = next((found for found in about.system.equipment.values() if isinstance(found, UtilityService)), None)
    legs = f"{bare(utility.line_to_neutral_v)}/" if utility is not None and utility.line_to_neutral_v is not None else ""
    return f"{legs}{_line_voltage(about)} V, {bare(item.rating_a)} A"


def _series_rating(about: AboutLabel) -> str:
    """The interrupting rating of the series combination, in amperes, as the enclosure is marked."""
    item = about.system.equipment.get(about.subject.equipment)
    rating = item.fact("series_rating") if item is not None else None
    return f"{rating.number * _AMPERES_PER_KA:,.0f}" if rating is not None else ""


def _operating_dc_voltage(about: AboutLabel) -> str:
    """The highest working voltage on an inverter or a combiner: strings at their maximum-power voltage, batteries at their nominal one."""
    fed = [
        array.module.vmp_v.number * count.number
        for array in arrays_of(about.system)
        for name, count in array.strings.items()
        if array.module is not None and array.module.vmp_v is not None
        if about.subject.tag in {inverter.tag for inverter in inverters_fed(about.system, f"{array.tag}.{name}")}
    ]
    fed += [unit.nominal_v.number for unit in _batteries_on(about) if unit.nominal_v is not None]
    return number_text(max(fed), "v", decimals=0) if fed else ""


def _batteries_on(about: AboutLabel) -> tuple[EnergyStorageSystem, ...]:
    system, item = about.system, _item(about)
    starts = [item.bus_node] if isinstance(item, DCCombiner) else []
    starts += [f"{item.tag}.{name}" for name in item.dc_inputs] if isinstance(item, Inverter) else []
    return batteries_among(system, [source.tag for start in starts for source in storage_joined(system, start)])


def _behind_switch(about: AboutLabel) -> tuple[str, ...]:
    """The names of the sources that a switch parts from the rest."""
    system = about.system
    found = [source for source in system.sources.values() if source.is_ac and _joins_at(about, source)]
    return tuple(dict.fromkeys(_without_rating(system.equipment[source.tag].name) for source in found))


ELECTRICAL: Mapping[str, Provider] = {
    "series-rating.amperes": _series_rating,
    "ungrounded-dc.volts": _operating_dc_voltage,
    "utility-ac-disconnect.sources": _behind_switch,
    "initiator_locations": _initiators,
    "v_nominal": _nominal_voltage,
    "current": _current,
    "ess_voltage": _ess_voltage,
    "source": _source_word,
    "source_tag": _source_on_breaker,
    "i_ac": _pv_output,
    "v_ac": _line_voltage,
    "nominal_voltage": _line_voltage,
    "generator-inlet.ratings": _inlet_ratings,
    "sccr": _short_circuit_rating,
    "ocpd": _protecting_device,
    "busbar_rating": _busbar_rating,
    "sum_now": _sum_of_breakers,
    "v_max": _largest_dc_voltage,
    "i_max": _largest_dc_current,
    "current_setting": _setting,
    "limited_list": _managed,
    "supply-side-connection.source": _source_ahead,
    "supply-side-connection.location": _other_disconnect,
    "bidirectional-equipment.disconnect": _isolating_switch,
}
