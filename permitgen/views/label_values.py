"""Values printed into labels, each taken from the evaluation: nothing on a label is typed twice."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.quantities.circuit_current import circuit_current, line_to_line
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.siting_buildings import outside_supplies
from permitgen.system.walks.pv_disconnects import ac_sources_of, interconnection_points
from permitgen.system.walks.rapid_shutdown import arrays_of, initiators
from permitgen.system.walks.service_path import device_toward_utility
from permitgen.system.walks.source_switches import separating_handles
from permitgen.values.equation import sum_of
from permitgen.views.circuit_text import device_text
from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.label_facts.subject import LabelSubject
    from permitgen.system.place import Place
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value
    from permitgen.views.emergency import Emergency
    from permitgen.views.placard import Placard

_AMPERES_PER_KA = 1000
LabelValue = str | tuple[str, ...]
Values = Mapping[str, LabelValue]


@dataclass(frozen=True, slots=True)
class LabelContext:
    """What the values of labels are taken from; ``directory`` is the placard, None where no service location is known."""

    evaluation: Evaluation
    emergency: Emergency
    directory: Placard | None


@dataclass(frozen=True, slots=True)
class AboutLabel:
    """One label on one object: what a value is taken from."""

    context: LabelContext
    subject: LabelSubject


Provider = Callable[[AboutLabel], LabelValue]
_KIND_WORDS = {
    "generator": "GENERATOR",
    "energy storage": "ENERGY STORAGE SYSTEM",
    "photovoltaic": "SOLAR PV SYSTEM",
    "vehicle": "ELECTRIC VEHICLE",
}


def values_for(names: Mapping[str, object], context: LabelContext, subject: LabelSubject, label_id: str) -> dict[str, LabelValue]:
    """Return a value for each variable of a label; a variable that has none here is left out (the label then says so)."""
    found: dict[str, LabelValue] = {}
    for name in names:
        provider = PROVIDERS.get(f"{label_id}.{name}") or PROVIDERS.get(name)
        if provider is None:
            continue
        try:
            value = provider(AboutLabel(context, subject))
        except MissingFactError:
            continue
        if value:
            found[name] = value
    return found


def _bare(value: Value) -> str:
    """Return the number alone: the wording of the label names the unit."""
    return number_text(value.number, value.unit)


def _capitals(text: str) -> str:
    return text.upper()


def _where(place: Place | None) -> str:
    return _capitals(place.description) if place is not None else ""


def _tag(about: AboutLabel) -> str:
    return about.subject.tag


def _disconnect_list(about: AboutLabel) -> tuple[str, ...]:
    if about.context.directory is None:
        return ()
    return tuple(_capitals(f"{row.source}: {row.disconnect}, {row.place}") for row in about.context.directory.rows)


def _isolation_list(about: AboutLabel) -> tuple[str, ...]:
    if about.context.directory is None:
        return ()
    rows = (row for row in about.context.directory.rows if row.place != (about.subject.place.description if about.subject.place else ""))
    return tuple(_capitals(f"{row.source}: {row.disconnect}, {row.place}") for row in rows)


def _contact(about: AboutLabel) -> str:
    return _capitals(about.context.emergency.english.contact)


def _contact_name(about: AboutLabel) -> str:
    name, _, phone = about.context.emergency.english.contact.rpartition(",")
    return _capitals(name if any(c.isdigit() for c in phone) else about.context.emergency.english.contact)


def _contact_phone(about: AboutLabel) -> str:
    phone = about.context.emergency.english.contact.rpartition(",")[2].strip()
    return phone if any(character.isdigit() for character in phone) else ""


def _initiators(about: AboutLabel) -> str:
    items = [initiator.item for initiator in initiators(about.context.evaluation.system) if initiator.arrays]
    return "; ".join(_where(item.place) for item in items if item.place is not None)


def _sources(about: AboutLabel) -> str:
    return _capitals(", ".join(_plain(source) for source in about.context.emergency.english.sources))


def _island_sources(about: AboutLabel) -> str:
    return _capitals(", ".join(_plain(source) for source in about.context.emergency.english.sources if "utility" not in source))


def _plain(source: str) -> str:
    for article in ("the ", "a ", "an "):
        source = source.removeprefix(article)
    return source


def _nominal_voltage(about: AboutLabel) -> str:
    item = about.context.evaluation.system.equipment.get(about.subject.tag)
    stated = getattr(item, "nominal_v", None)
    return _bare(stated if stated is not None else line_to_line(about.context.evaluation.given))


def _address(about: AboutLabel) -> str:
    return about.context.emergency.address


def _record_number(about: AboutLabel) -> str:
    record = about.context.evaluation.system.record
    return record.record_id if record is not None else ""


def _revision_date(about: AboutLabel) -> str:
    newest = about.context.evaluation.system.project.revision
    return newest.date if newest is not None else ""


def _steps(about: AboutLabel) -> str:
    steps = about.context.emergency.english.steps
    return _capitals("; ".join(f"{step.object}, {step.place}" for step in steps))


def _ess_location(about: AboutLabel) -> str:
    lines = about.context.emergency.english.storage
    return _capitals("; ".join(f"{line.units}, {line.place}" for line in lines))


def _source_word(about: AboutLabel) -> str:
    """The generator, or what the labelled switch parts from the rest; else the name of the switch."""
    system = about.context.evaluation.system
    item = system.equipment.get(about.subject.equipment)
    if item is not None and item.kind == "generator":
        return _KIND_WORDS["generator"]
    behind = [s for s in system.sources.values() if s.is_ac and _joins_at(about, s)]
    names = dict.fromkeys(_capitals(system.equipment[source.tag].name) for source in behind)
    return " AND ".join(names) or _capitals(about.subject.name)


def _pv_output(about: AboutLabel) -> str:
    """The rated output current of the PV sources that join other sources at the label's handle."""
    system = about.context.evaluation.system
    arrays = [array for array in arrays_of(system) if about.subject.tag in {h.id for h in interconnection_points(system, array)}]
    sources = [source for array in arrays for source in ac_sources_of(system, array) if _joins_at(about, source)]
    outputs = [source.output_a for source in sources]
    if not outputs or None in outputs:
        return ""
    return _bare(sum_of([output for output in outputs if output is not None], symbol="I_ac", title="rated ac output current", unit="a"))


def _joins_at(about: AboutLabel, source: PowerSource) -> bool:
    handles = separating_handles(about.context.evaluation.system, (source,))
    return about.subject.tag in {handle.id for handle in handles}


def _line_voltage(about: AboutLabel) -> str:
    return _bare(line_to_line(about.context.evaluation.given))


def _bond_place(about: AboutLabel) -> str:
    bonded = [
        item
        for item in about.context.evaluation.system.equipment.values()
        if item.neutral_bond is not None and item.neutral_bond.state.is_bonded
    ]
    return _capitals("; ".join(f"{item.tag}, {item.name}" for item in bonded))


def _circuit_list(about: AboutLabel) -> tuple[str, ...]:
    system = about.context.evaluation.system
    found = [
        (end.position, f"{end.position}  {circuit.tag}  {circuit.name}")
        for circuit in system.circuits.values()
        for end in circuit.ends
        if end.tag == about.subject.tag and end.position is not None
    ]
    lines = [_capitals(text) for _, text in sorted(found)]
    lines += [_capitals(f"–  {load.tag}  {load.name}") for load in system.loads.values() if load.panel == about.subject.tag]
    return tuple(lines)


def _short_circuit_rating(about: AboutLabel) -> str:
    item = about.context.evaluation.system.equipment.get(about.subject.tag)
    rating = item.short_circuit_rating_ka if item is not None else None
    return f"{rating.number * _AMPERES_PER_KA:,.0f}" if rating is not None else ""


def _protecting_device(about: AboutLabel) -> str:
    """The device within the transfer equipment, else the first one from its supply terminals toward the utility."""
    system = about.context.evaluation.system
    item = system.equipment.get(about.subject.tag)
    device = getattr(item, "main", None) or getattr(item, "device", None)
    if device is None and item is not None:
        terminal = "normal" if item.kind == "transfer_switch" else "supply"
        device, _ = device_toward_utility(system, f"{item.tag}.{terminal}")
    return _capitals(f"{device.kind} {device_text(device)}") if device is not None else ""


def _busbar_rating(about: AboutLabel) -> str:
    bus = about.context.evaluation.system.busbars.get(about.subject.tag)
    return _bare(bus.rating_a) if bus is not None and bus.rating_a is not None else ""


def _sum_of_breakers(about: AboutLabel) -> str:
    finding = about.context.evaluation.by_id.get(f"busbar-sources:{about.subject.tag}")
    computed = finding.judgement.computed if finding is not None else None
    return _bare(computed) if computed is not None else ""


def _generator_place(about: AboutLabel) -> str:
    items = [item for item in about.context.evaluation.system.equipment.values() if item.kind == "generator"]
    return "; ".join(_where(item.place) for item in items if item.place is not None)


def _standby_kind(about: AboutLabel) -> str:
    kinds = {source.kind for source in about.context.evaluation.system.sources.values()}
    return "GENERATOR" if "generator" in kinds else ""


def _generator_stop(about: AboutLabel) -> str:
    handles = [handle for handle in about.context.evaluation.system.handles.values() if handle.kind == "generator stop"]
    return "; ".join(f"{_capitals(handle.name)}, {_where(handle.place)}" for handle in handles)


def _shed_loads(about: AboutLabel) -> tuple[str, ...]:
    system = about.context.evaluation.system
    loads = [f"{load.tag} {load.name}, {load.panel}" for load in system.loads.values() if load.shed != "none"]
    items = [f"{item.tag} {item.name}" for item in system.equipment.values() if item.word("shed") not in ("", "none")]
    return tuple(_capitals(text) for text in (*loads, *items))


def _feeding_tag(about: AboutLabel) -> str:
    for circuit in about.context.evaluation.system.circuits.values():
        tags = [end.tag for end in circuit.ends]
        if about.subject.tag in tags and any(end.terminal == "main" and end.tag == about.subject.tag for end in circuit.ends):
            return next(tag for tag in tags if tag != about.subject.tag)
    return ""


def _feeding_place(about: AboutLabel) -> str:
    item = about.context.evaluation.system.equipment.get(_feeding_tag(about))
    return _where(item.place) if item is not None else ""


def _largest_dc_voltage(about: AboutLabel) -> str:
    """The highest dc voltage in the cold: of the strings, else of the modules on their module inverters."""
    findings = [finding for finding in about.context.evaluation.findings if finding.judgement.computed is not None]
    for rule in ("pv-maximum-voltage", "pv-module-input-voltage"):
        found = [f.judgement.computed for f in findings if f.rule == rule and f.judgement.computed is not None]
        if found:
            return _bare(max(found, key=lambda value: value.number))
    return ""


def _largest_dc_current(about: AboutLabel) -> str:
    given = about.context.evaluation.given
    found = [circuit_current(given, circuit).maximum_a for circuit in given.system.circuits.values() if circuit.is_dc]
    return _bare(max(found, key=lambda value: value.number)) if found else ""


def _chemistry(about: AboutLabel) -> str:
    return _capitals("; ".join(dict.fromkeys(line.chemistry for line in about.context.emergency.english.storage)))


def _energy(about: AboutLabel) -> str:
    return "; ".join(line.energy for line in about.context.emergency.english.storage)


def _setting(about: AboutLabel) -> str:
    """The setting of the load management, else the sum of what the sources on the busbar are held to."""
    system = about.context.evaluation.system
    item, bus = system.equipment.get(about.subject.tag), system.busbars.get(about.subject.tag)
    setting = item.fact("load_management_setting") if item is not None else None
    if setting is None and bus is not None:
        limits = [s.limit_a for s in feeds_of(about.context.evaluation.given, bus).sources if s.limit_a is not None]
        setting = sum_of(limits, symbol="I_set", title="set current of the sources", unit="a") if limits else None
    return _bare(setting) if setting is not None else ""


def _managed(about: AboutLabel) -> tuple[str, ...]:
    """What the setting holds: loads under management, else the sources on the busbar."""
    system = about.context.evaluation.system
    bus = system.busbars.get(about.subject.tag)
    sources = feeds_of(about.context.evaluation.given, bus).sources if bus is not None else ()
    held = dict.fromkeys(system.equipment[source.tag].name for source in sources if source.limit_a is not None)
    loads = [load.name for load in system.loads.values() if load.shed == "always"]
    return tuple(_capitals(name) for name in (*held, *loads)) or (_capitals(about.subject.name),)


def _source_ahead(about: AboutLabel) -> str:
    """The sources that are connected ahead of the service disconnect, or those behind the labelled disconnect."""
    side = service_side(about.context.evaluation.given)
    own = [found for found in side.of_sources if about.subject.tag in (found.enclosure, found.handle)]
    kinds = dict.fromkeys(source.kind for found in own or side.of_sources for source in found.sources)
    return " AND ".join(_KIND_WORDS.get(kind, _capitals(kind)) for kind in kinds)


def _other_disconnect(about: AboutLabel) -> str:
    """Where the source's disconnect stands; on that disconnect, where the service disconnect stands."""
    system, side = about.context.evaluation.system, service_side(about.context.evaluation.given)
    is_source = any(about.subject.tag in (found.enclosure, found.handle) for found in side.of_sources)
    others = side.of_loads if is_source else side.of_sources
    return "; ".join(dict.fromkeys(_where(system.equipment[found.enclosure].place) for found in others))


def _supplies(about: AboutLabel) -> tuple[str, ...]:
    """Every other service and circuit that supplies the building, with the place of its disconnect."""
    given = about.context.evaluation.given
    items = [given.system.equipment[found.enclosure] for found in service_side(given).of_loads]
    items += [supply.equipment for supply in outside_supplies(given)]
    others = {item.tag: item for item in items if item.tag != about.subject.equipment}
    return tuple(_capitals(f"{item.name}: {_where(item.place)}") for item in others.values())


def _contractor(about: AboutLabel) -> str:
    people = about.context.evaluation.system.project.people
    return _capitals(next((person.company for person in people if "contractor" in person.role), ""))


PROVIDERS: Mapping[str, Provider] = {
    "tag": _tag,
    "circuit_tag": _tag,
    "source_tag": _tag,
    "disconnect_list": _disconnect_list,
    "backup-panel.disconnect_list": _steps,
    "bidirectional-equipment.disconnect": _tag,
    "isolation_list": _isolation_list,
    "emergency_phone": _contact,
    "contact_name": _contact_name,
    "contact_phone": _contact_phone,
    "phone": _contact_phone,
    "contractor": _contractor,
    "initiator_locations": _initiators,
    "source_list": _sources,
    "sources": _island_sources,
    "backup-panel.source_list": _island_sources,
    "v_nominal": _nominal_voltage,
    "address": _address,
    "record_number": _record_number,
    "date": _revision_date,
    "ess_location": _ess_location,
    "source": _source_word,
    "purpose": lambda about: _capitals(about.subject.name),
    "i_ac": _pv_output,
    "v_ac": _line_voltage,
    "bond_tag": _bond_place,
    "circuit_list": _circuit_list,
    "sccr": _short_circuit_rating,
    "ocpd": _protecting_device,
    "busbar_rating": _busbar_rating,
    "sum_now": _sum_of_breakers,
    "source_type": _standby_kind,
    "standby-source-sign.location": _generator_place,
    "stop_location": _generator_stop,
    "controlled_list": _shed_loads,
    "panel-source.source_tag": _feeding_tag,
    "source_location": _feeding_place,
    "v_max": _largest_dc_voltage,
    "i_max": _largest_dc_current,
    "chemistry": _chemistry,
    "energy_kwh": _energy,
    "current_setting": _setting,
    "limited_list": _managed,
    "supply-side-connection.source": _source_ahead,
    "supply-side-connection.location": _other_disconnect,
    "supply_list": _supplies,
    "nominal_voltage": _line_voltage,
}
