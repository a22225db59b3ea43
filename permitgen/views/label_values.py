"""Values printed into labels, each taken from the evaluation: nothing on a label is typed twice."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import circuit_current, line_to_line
from permitgen.views.circuit_text import device_text
from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.label_facts.subject import LabelSubject
    from permitgen.system.place import Place
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
    items = [item for item in about.context.evaluation.system.equipment.values() if item.kind == "rapid_shutdown_initiator"]
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
    item = about.context.evaluation.system.equipment.get(about.subject.tag.partition(".")[0])
    words = {
        "generator": "GENERATOR",
        "energy_storage_system": "ENERGY STORAGE SYSTEM",
        "pv_array": "SOLAR PV SYSTEM",
        "inverter": "SOLAR PV SYSTEM",
    }
    return words.get(item.kind, _capitals(about.subject.name)) if item is not None else _capitals(about.subject.name)


def _circuit_current(about: AboutLabel) -> str:
    given = about.context.evaluation.given
    for circuit in given.system.circuits.values():
        ends = {str(end) for end in circuit.ends}
        if about.subject.tag in ends or about.subject.tag == circuit.tag:
            return _bare(circuit_current(given, circuit).maximum_a)
    return ""


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
    item = about.context.evaluation.system.equipment.get(about.subject.tag)
    main = getattr(item, "main", None) or getattr(item, "device", None)
    return _capitals(f"{main.kind} {device_text(main)}") if main is not None else ""


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
    loads = about.context.evaluation.system.loads.values()
    return tuple(_capitals(f"{load.tag} {load.name}, {load.panel}") for load in loads if load.shed != "none")


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
    found = [
        f.judgement.computed
        for f in about.context.evaluation.findings
        if f.rule == "pv-maximum-voltage" and f.judgement.computed is not None
    ]
    return _bare(max(found, key=lambda value: value.number)) if found else ""


def _largest_dc_current(about: AboutLabel) -> str:
    given = about.context.evaluation.given
    found = [circuit_current(given, circuit).maximum_a for circuit in given.system.circuits.values() if circuit.is_dc]
    return _bare(max(found, key=lambda value: value.number)) if found else ""


def _chemistry(about: AboutLabel) -> str:
    return _capitals("; ".join(dict.fromkeys(line.chemistry for line in about.context.emergency.english.storage)))


def _energy(about: AboutLabel) -> str:
    return "; ".join(line.energy for line in about.context.emergency.english.storage)


def _setting(about: AboutLabel) -> str:
    item = about.context.evaluation.system.equipment.get(about.subject.tag)
    setting = getattr(item, "limit_a", None) or getattr(item, "setting_a", None)
    return _bare(setting) if setting is not None else ""


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
    "i_ac": _circuit_current,
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
    "limited_list": lambda about: (_capitals(about.subject.name),),
    "nominal_voltage": _line_voltage,
}
