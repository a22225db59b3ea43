"""Values printed into labels, each taken from the evaluation: nothing on a label is typed twice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.rules.given import MissingFactError, NotInForceError
from permitgen.rules.overcurrent.panel_directory import has_breakers_not_shown
from permitgen.rules.storage.disconnect import switches_of
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.panel_rows import PanelRow, loads_without_device, panel_rows
from permitgen.system.walks.isolation import steps_for
from permitgen.system.walks.live_sources import island_sources_reaching, sources_reaching
from permitgen.system.walks.portable_generators import portable_generators
from permitgen.views.label_context import AboutLabel, LabelContext, LabelValue, Provider, capitals, in_a_row, where
from permitgen.views.label_values_electrical import ELECTRICAL
from permitgen.views.label_values_service import SERVICE
from permitgen.views.source_names import grouped_sources
from permitgen.views.vocabulary import paper_word
from permitgen.views.wording import spaces_text

if TYPE_CHECKING:
    from permitgen.evaluation.label_facts.subject import LabelSubject
    from permitgen.system.power_source import PowerSource
    from permitgen.views.placard import DirectoryRow


def values_for(names: Mapping[str, object], context: LabelContext, subject: LabelSubject, label_id: str) -> dict[str, LabelValue]:
    """Return a value for each variable of a label; a variable that has none here is left out (the label then says so)."""
    found: dict[str, LabelValue] = {}
    for name in names:
        provider = PROVIDERS.get(f"{label_id}.{name}") or PROVIDERS.get(name)
        if provider is None:
            continue
        try:
            value = provider(AboutLabel(context, subject))
        except (MissingFactError, NotInForceError, NotInTableError):
            continue
        if value:
            found[name] = value
    return found


def _tag(about: AboutLabel) -> str:
    return about.subject.tag


def _disconnect_list(about: AboutLabel) -> tuple[str, ...]:
    if about.context.directory is None:
        return ()
    return _grouped_by_handle(about.context.directory.rows)


def _isolation_list(about: AboutLabel) -> tuple[str, ...]:
    """What isolates the sources other than the utility, but for equipment at the very place of the label."""
    if about.context.directory is None:
        return ()
    here = about.subject.place.description if about.subject.place else ""
    return _grouped_by_handle(row for row in about.context.directory.rows if row.place != here and not row.is_utility)


def _grouped_by_handle(rows: Iterable[DirectoryRow]) -> tuple[str, ...]:
    """One line a switch: what it is, where, and the sources it disconnects."""
    found: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        is_own = row.disconnect.startswith("its ")
        what = f"{row.source}, {row.disconnect}" if is_own else row.disconnect
        found.setdefault((what, row.place), []).extend([] if is_own else [row.source])
    lines = (f"{what}: {place}" + (f" ({in_a_row(sources)})" if sources else "") for (what, place), sources in found.items())
    return tuple(capitals(line) for line in lines)


def _contact(about: AboutLabel) -> str:
    return capitals(about.context.emergency.english.contact)


def _contact_name(about: AboutLabel) -> str:
    name, _, phone = about.context.emergency.english.contact.rpartition(",")
    return capitals(name if any(c.isdigit() for c in phone) else about.context.emergency.english.contact)


def _contact_phone(about: AboutLabel) -> str:
    phone = about.context.emergency.english.contact.rpartition(",")[2].strip()
    return phone if any(character.isdigit() for character in phone) else ""


def _nodes(about: AboutLabel) -> list[str]:
    """The busbar of the labeled enclosure, else all its terminals."""
    system, tag = about.system, about.subject.equipment
    if tag in system.busbars:
        return [system.busbars[tag].node]
    return [node for node in system.graph.at_node if node.startswith(f"{tag}.")]


def _named(about: AboutLabel, sources: tuple[PowerSource, ...]) -> str:
    phrases = about.context.emergency.english.phrases
    utility = phrases.say("source.utility")
    grouped = grouped_sources(about.system, sources, phrases)
    named = [paper_word("source.utility") if name == utility else name for name in grouped]
    return capitals(in_a_row(_plain(name) for name in named))


def _sources(about: AboutLabel) -> str:
    """The sources that can feed the labeled enclosure in some mode."""
    return _named(about, sources_reaching(about.system, (), _nodes(about)))


def _island_sources(about: AboutLabel) -> str:
    """The sources that feed the labeled enclosure while the utility is away; what comes by a cord only where nothing else does."""
    nodes = _nodes(about)
    by_themselves = island_sources_reaching(about.system, nodes, without=portable_generators(about.system))
    return _named(about, by_themselves or island_sources_reaching(about.system, nodes))


def _plain(source: str) -> str:
    for article in ("the ", "a ", "an "):
        source = source.removeprefix(article)
    return source


def _address(about: AboutLabel) -> str:
    return about.context.emergency.address


def _record_number(about: AboutLabel) -> str:
    record = about.system.record
    return record.record_id if record is not None else ""


def _revision_date(about: AboutLabel) -> str:
    newest = about.system.project.revision
    return newest.date if newest is not None else ""


def _of_that_day(about: AboutLabel) -> str:  # noqa: ARG001 - nobody knows it before
    """Return a line to write on: the day on which a setting is made is known on the site alone."""
    return "_" * 12


def _steps(about: AboutLabel) -> tuple[str, ...]:
    """The steps of the shutdown that make the labeled panel dead, in their order; none where they do not."""
    emergency = about.context.emergency
    needed = {handle.id for handle in steps_for(about.system, emergency.shutdown, _nodes(about))}
    steps = [step for step in emergency.english.steps if step.handle in needed]
    return tuple(capitals(f"{number}. {step.object}, {step.place}: {step.action}") for number, step in enumerate(steps, start=1))


def _ess_location(about: AboutLabel) -> str:
    lines = about.context.emergency.english.storage
    return capitals("; ".join(f"battery: {line.units}, {line.place}" for line in lines))


def _bond_place(about: AboutLabel) -> str:
    bonded = [item for item in about.system.equipment.values() if item.neutral_bond is not None and item.neutral_bond.state.is_bonded]
    return capitals(" and ".join(f"the {item.name} ({item.tag})" for item in bonded))


def _circuit_list(about: AboutLabel) -> tuple[str, ...]:
    """The directory on the door: each space with what it serves, then what has no space yet, then the blank spaces."""
    system, tag = about.system, about.subject.tag
    rows = panel_rows(system, tag)
    lines = [capitals(_directory_line(row)) for row in rows]
    named = {row.name.casefold() for row in rows}
    loads = [load for load in loads_without_device(system, tag) if load.name.casefold() not in named]
    lines += [capitals(f"___  {load.tag}  {load.name}") for load in loads]
    panel = system.equipment[tag]
    blank = panel.directory.blank if panel.directory is not None else ()
    lines += [f"{spaces_text(blank)}  BLANK"] if blank else []
    if isinstance(panel, Panelboard) and has_breakers_not_shown(panel):
        lines.append("ALL OTHERS: COPY FROM THE OLD LIST BEFORE IT COMES OFF")
    return tuple(lines)


def _directory_line(row: PanelRow) -> str:
    tag = row.circuit.tag if row.circuit is not None else row.load.tag if row.load is not None else ""
    words = "spare" if row.is_spare else row.name
    return "  ".join(part for part in (",".join(map(str, row.spaces)), tag, words) if part)


def _generator_place(about: AboutLabel) -> str:
    items = [item for item in about.system.equipment.values() if item.kind == "generator"]
    return "; ".join(where(item.place) for item in items if item.place is not None)


def _standby_kind(about: AboutLabel) -> str:
    kinds = {source.kind for source in about.system.sources.values()}
    return "GENERATOR" if "generator" in kinds else ""


def _generator_stop(about: AboutLabel) -> str:
    handles = [handle for handle in about.system.handles.values() if handle.kind == "generator stop"]
    return "; ".join(dict.fromkeys(where(handle.place) for handle in handles))


def _generator_disconnect(about: AboutLabel) -> str:
    """Where the generator's own switch stands, else the generator with its breaker."""
    items = about.system.equipment.values()
    switches = [item for item in items if item.kind == "disconnect" and getattr(item, "purpose", "") == "generator"]
    return "; ".join(where(item.place) for item in switches if item.place is not None) or _generator_place(about)


def _generator_bond(about: AboutLabel) -> str:
    """How the neutral bond of the generator stands now."""
    bond = about.system.equipment[about.subject.equipment].neutral_bond
    return "" if bond is None else "BONDED" if bond.state.is_bonded else "NOT BONDED"


def _storage_disconnect(about: AboutLabel) -> str:
    """What disconnects a storage unit and where it stands."""
    unit = about.system.equipment[about.subject.equipment]
    switches = switches_of(unit, about.context.evaluation.given) if isinstance(unit, EnergyStorageSystem) else []
    return capitals("; ".join(f"{switch.name}, {where(switch.place)}" for switch in switches if switch.place is not None))


def _shed_loads(about: AboutLabel) -> tuple[str, ...]:
    system = about.system
    loads = [f"{load.tag} {load.name} (panel {load.panel})" for load in system.loads.values() if load.shed != "none"]
    items = [f"{item.tag} {item.name}" for item in system.equipment.values() if item.word("shed") not in ("", "none")]
    return tuple(capitals(text) for text in (*loads, *items))


def _feeding_tag(about: AboutLabel) -> str:
    for circuit in about.system.circuits.values():
        tags = [end.tag for end in circuit.ends]
        if about.subject.tag in tags and any(end.terminal == "main" and end.tag == about.subject.tag for end in circuit.ends):
            return next(tag for tag in tags if tag != about.subject.tag)
    return ""


def _feeding_place(about: AboutLabel) -> str:
    item = about.system.equipment.get(_feeding_tag(about))
    return where(item.place) if item is not None else ""


def _chemistry(about: AboutLabel) -> str:
    return capitals("; ".join(dict.fromkeys(line.chemistry for line in about.context.emergency.english.storage)))


def _energy(about: AboutLabel) -> str:
    return "; ".join(line.energy for line in about.context.emergency.english.storage)


def _contractor(about: AboutLabel) -> str:
    people = about.system.project.people
    return capitals(next((person.company for person in people if "contractor" in person.role), ""))


PROVIDERS: Mapping[str, Provider] = {
    **ELECTRICAL,
    **SERVICE,
    "tag": _tag,
    "circuit_tag": _tag,
    "disconnect_list": _disconnect_list,
    "backup-panel.disconnect_list": _steps,
    "isolation_list": _isolation_list,
    "emergency_phone": _contact,
    "contact_name": _contact_name,
    "contact_phone": _contact_phone,
    "phone": _contact_phone,
    "contractor": _contractor,
    "source_list": _sources,
    "sources": _island_sources,
    "backup-panel.source_list": _island_sources,
    "address": _address,
    "record_number": _record_number,
    "date": _revision_date,
    "load-managed-panel.date": _of_that_day,
    "ess_location": _ess_location,
    "purpose": lambda about: capitals(about.subject.name),
    "bond_tag": _bond_place,
    "circuit_list": _circuit_list,
    "source_type": _standby_kind,
    "standby-source-sign.location": _generator_place,
    "stop_location": _generator_stop,
    "disconnect_location": _generator_disconnect,
    "generator-neutral-bond.bonded": _generator_bond,
    "ess-disconnect-remote.location": _storage_disconnect,
    "controlled_list": _shed_loads,
    "panel-source.source_tag": _feeding_tag,
    "source_location": _feeding_place,
    "chemistry": _chemistry,
    "energy_kwh": _energy,
}
