"""What the directory placard says: every source, where it is switched off, in which order, and what stays live.

One variant for each place where it is posted; variants differ only in their number, in *you are here* and in how the map is
turned: up on the map is what the reader faces.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import TYPE_CHECKING, Literal

from permitgen.evaluation.label_facts.photovoltaic import is_pv_system_disconnect
from permitgen.evaluation.label_facts.services import service_locations
from permitgen.evaluation.label_facts.sources import (
    has_interconnected_power_source,
    is_ess_disconnect,
    is_interconnected_source_disconnect,
)
from permitgen.evaluation.label_facts.subject import one_a_location
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.facing import facing_deg
from permitgen.system.walks.isolation import serves_something, service_handles
from permitgen.system.walks.pv_disconnects import pv_disconnects
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.emergency import Emergency, EmergencyText, emergency_of
from permitgen.views.site_map import Point, SiteMap, point_of
from permitgen.views.title import DocumentTitle, title_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.label_facts.subject import LabelSubject
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.views.languages import Phrases

PLATE_SIZES = ("5 x 7 in", "8 x 10 in", "8.5 x 11 in", "11 x 14 in")
USUAL_PLATE = "11 x 14 in"
OFFLINE_LONGEST = 365
"""Capitals that a symbol of 81 modules holds at the highest level (ISO/IEC 18004, version 16-H); more would not be read at arm's length."""


OFFLINE_SHORTER = (227, 174)
"""What symbols of 65 and of 57 modules hold at the highest level (versions 12-H and 10-H), for a plate without room for the larger one."""


@dataclass(frozen=True, slots=True)
class DirectoryRow:
    """One source and one place where it is disconnected; ``step`` is the number of the step that does it, 0 for none."""

    source: str
    disconnect: str
    place: str
    step: int
    is_utility: bool = False


@dataclass(frozen=True, slots=True)
class DirectoryEntry:
    """A source on one line: ``disconnects`` names switches by the number of their step, others with their place.

    ``short`` are the numbers alone, empty for a source that no step disconnects.
    """

    source: str
    disconnects: str
    short: str = field(default="", metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class Placard:
    """One placard. ``heading_up_deg`` is the compass direction at the top of its map, None where the wall is not stated.

    ``offline`` is the plain text of the second symbol, ``offline_shorter`` what it says where the plate has less and less room.
    ``address`` is what the first symbol holds: the record's address with the revision that the placard was printed for.
    ``part`` says which of two plates this is, empty where one holds all.
    ``refusal`` is not empty when the steps do not make the house dead: then no placard may be posted.
    """

    number: int
    of: int
    place: str
    size: str
    project: str = field(metadata=BESIDE)
    permit_number: str
    jurisdiction: str
    revision: str = field(metadata=BESIDE)
    revision_date: str = field(metadata=BESIDE)
    signal: str
    heading: str
    section: str
    text: EmergencyText
    rows: tuple[DirectoryRow, ...] = field(metadata=BESIDE)
    directory: tuple[DirectoryEntry, ...]
    see_also: tuple[str, ...]
    map: SiteMap
    heading_up_deg: float | None
    record_address: str
    address: str = field(metadata=BESIDE)
    record_id: str = field(metadata=BESIDE)
    offline: str
    offline_shorter: tuple[str, ...] = field(metadata=BESIDE)
    refusal: str
    part: Literal["", "steps", "directory"] = field(default="", metadata=BESIDE)
    document_id: str = field(default="", metadata=BESIDE)


def placards_of(evaluation: Evaluation) -> tuple[Placard, ...]:
    """Return one placard for each service equipment location, and in the 2017 edition for each source disconnect, too."""
    emergency = emergency_of(evaluation)
    places = directory_locations(evaluation)
    title = title_of(evaluation)
    placards = (_placard(evaluation, emergency, title, places, index) for index in range(len(places)))
    return tuple(with_document_id("directory placard", placard) for placard in placards)


def directory_locations(evaluation: Evaluation) -> tuple[LabelSubject, ...]:
    """Return the equipment at which the directory is posted, one a location: the service, in the 2017 edition source disconnects, too."""
    wanted = list(service_locations(evaluation))
    provision = evaluation.given.code.provision("source_directory")
    if provision.has("at_each_source_disconnect"):
        for fact in (is_pv_system_disconnect, is_ess_disconnect, is_interconnected_source_disconnect):
            wanted += fact(evaluation) or ()
    return one_a_location(wanted)


def _placard(evaluation: Evaluation, emergency: Emergency, title: DocumentTitle, places: tuple[LabelSubject, ...], index: int) -> Placard:
    system = evaluation.system
    here = places[index]
    text = emergency.english
    # A standby source that never runs beside the utility is told by its sign; a directory is asked for of sources in parallel.
    asked_by = "source_directory" if has_interconnected_power_source(evaluation) else "standby_signs"
    provision = evaluation.given.code.provision(asked_by)
    rows = _rows(system, emergency)
    return Placard(
        number=index + 1,
        of=len(places),
        place=_place(here),
        size=system.settings.get("placard_size", USUAL_PLATE),
        project=title.project,
        permit_number=title.permit_number,
        jurisdiction=title.jurisdiction,
        revision=title.revision,
        revision_date=title.revision_date,
        signal="CAUTION:",
        heading="MULTIPLE SOURCES OF POWER",
        section=provision.citation,
        text=text,
        rows=rows,
        directory=_directory(rows),
        see_also=tuple(f"Placard {number}: {_place(other)}" for number, other in enumerate(places, start=1) if other is not here),
        map=replace(emergency.map, you_are_here=_point(here), says_where_it_hangs=True),
        heading_up_deg=_heading_up(system, here),
        record_address=system.record.address if system.record is not None else "",
        address=emergency.address,
        record_id=system.record.record_id if system.record is not None else "",
        offline=offline_text(text),
        offline_shorter=tuple(said for longest in OFFLINE_SHORTER if (said := offline_text(text, longest))),
        refusal="" if emergency.makes_dead else text.alarm or "These steps do not cut off power everywhere.",
    )


def _place(here: LabelSubject) -> str:
    return here.place.description if here.place is not None else "place not stated"


def _point(here: LabelSubject) -> Point | None:
    return point_of(here.place)


def _heading_up(system: System, here: LabelSubject) -> float | None:
    """A placard on a wall that faces a direction is read facing the opposite one."""
    faces = facing_deg(system.site.plan, here.place)
    return (faces + 180) % 360 if faces is not None else None


def _rows(system: System, emergency: Emergency) -> tuple[DirectoryRow, ...]:
    steps = {step.handle for step in emergency.english.steps}
    found: dict[tuple[str, str], tuple[PowerSource, dict[str, Handle]]] = {}
    for source in system.sources.values():
        for handle in (*_steps_for(system, emergency, source), *_disconnects_of(system, source)):
            key = (source.tag, handle.id if handle.id in steps else handle.tag)
            found.setdefault(key, (source, {}))[1][handle.id] = handle
    return tuple(_row(system, source, tuple(handles.values()), emergency) for source, handles in found.values())


def _steps_for(system: System, emergency: Emergency, source: PowerSource) -> list[Handle]:
    """Return the steps that stop a source or cut it off, as the walk found."""
    handles = (system.handles[step.handle] for step in emergency.english.steps if source.tag in step.stop_tags)
    return [] if source.kind == "utility" else list(handles)


def _row(system: System, source: PowerSource, handles: tuple[Handle, ...], emergency: Emergency) -> DirectoryRow:
    """Return the row of what disconnects a source in one enclosure: a step of the shutdown, or all of its breakers together."""
    first, text = handles[0], emergency.english
    return DirectoryRow(
        source=system.equipment[source.tag].name,
        disconnect=_object(system, source, handles, text.phrases),
        place=_handle_place(system, first),
        step=next((step.number for step in text.steps if step.handle == first.id), 0),
        is_utility=source.kind == "utility",
    )


def _directory(rows: tuple[DirectoryRow, ...]) -> tuple[DirectoryEntry, ...]:
    by_source: dict[str, list[str]] = {}
    steps: dict[str, list[str]] = {}
    for row in sorted(rows, key=lambda row: (row.step == 0, row.step)):
        words = f"switch {row.step}" if row.step else f"{row.disconnect} ({row.place})"
        by_source.setdefault(row.source, []).append(words)
        if row.step:
            steps.setdefault(row.source, []).append(words)
    order = dict.fromkeys(row.source for row in rows)
    return tuple(DirectoryEntry(source, "; ".join(by_source[source]), "; ".join(steps.get(source, ()))) for source in order)


def _enclosure(system: System, handle: Handle) -> Equipment | None:
    """Return the equipment that a handle belongs to: that of its tag, else the one on which its end of a circuit lands."""
    circuit = system.circuits.get(handle.tag)
    if circuit is None:
        return system.equipment.get(handle.tag)
    end = circuit.finish if handle.id.endswith(".finish") else circuit.start
    return system.equipment.get(end.tag)


def _handle_place(system: System, handle: Handle) -> str:
    enclosure = _enclosure(system, handle)
    place = handle.place or (enclosure.place if enclosure is not None else None)
    return place.description if place is not None else "place not stated"


def _object(system: System, source: PowerSource, handles: tuple[Handle, ...], phrases: Phrases) -> str:
    handle = handles[0]
    enclosure = _enclosure(system, handle)
    if handle.kind == "generator stop":
        return "generator emergency shutdown"
    if handle.kind == "breaker" and enclosure is not None and enclosure.tag != handle.id:
        word = _devices([each for each in handles if each.kind == "breaker"], phrases)
        return f"its {word}" if enclosure.tag == source.tag else f"{word} in {enclosure.name}"
    if handle.kind == "energy storage disconnect" and enclosure is not None and enclosure.sources():
        return "its own switch"
    return handle.name


def _devices(devices: list[Handle], phrases: Phrases) -> str:
    """Return breakers or sets of fuses by the words on their labels, or how many there are: a source is parted by all of them."""
    word = "fuses" if devices[0].is_fuse else "breaker"
    labels = tuple(f'"{device.label}"' for device in devices if device.label)
    if len(devices) == 1:
        return " ".join((word, *labels))
    several = "sets of fuses" if devices[0].is_fuse else "breakers"
    return f"{several} {phrases.listed(labels)}" if len(labels) == len(devices) else f"{len(devices)} {several}"


def _disconnects_of(system: System, source: PowerSource) -> list[Handle]:
    """Return what disconnects a source: what stops it by control, and the first handle on its conductors.

    Of an array it is what bears the words PV SYSTEM DISCONNECT, where a handle does, and no breaker of a branch ahead of that.
    """
    if source.kind == "utility":
        return [system.handles[handle] for handle in service_handles(system) if serves_something(system, handle)]
    found = [handle for handle in system.handles.values() if source.tag in handle.stops]
    item = system.equipment[source.tag]
    if isinstance(item, PVArray) and (own := pv_disconnects(system, item)):
        return list({handle.id: handle for handle in (*found, *own)}.values())
    # The switch of the strings before an inverter does not part its ac output from the house.
    reached = system.graph.reach([source.node], lambda link: not link.handle and not (source.is_ac and link.is_converter))
    for node in reached:
        found += [system.handles[link.handle] for link in system.graph.at_node.get(node, ()) if link.handle in system.handles]
    return list({handle.id: handle for handle in found if not _is_of_other_storage(system, source, handle)}.values())


def _is_of_other_storage(system: System, source: PowerSource, handle: Handle) -> bool:
    """Whether a switch stands on a storage unit that is not the source: behind a hybrid inverter it disconnects the unit alone.

    So do the devices of a dc combiner, which part an inverter from its batteries and not from the house.
    """
    enclosure = _enclosure(system, handle)
    if isinstance(enclosure, DCCombiner):
        return source.is_ac
    return isinstance(enclosure, EnergyStorageSystem) and enclosure.tag != source.tag and source.tag not in handle.stops


def offline_text(text: EmergencyText, longest: int = OFFLINE_LONGEST) -> str:
    """Return the steps as plain text in capitals, for a symbol that needs no network; empty where they are too long for one.

    Nothing is cut off in the middle: what is left out is left out whole, articles first, then what stays live, then what a switch
    is called, or where it is.
    """
    full = [f"{step.number} {step.object} - {step.place} - {step.action}" for step in text.steps]
    kinds = [step.object.partition(" (")[0].partition('"')[0].strip() for step in text.steps]
    short = _each_of_those_alike([(step.place, kind, step.action) for step, kind in zip(text.steps, kinds, strict=True)])
    bare = _each_of_those_alike([(kind, "", step.action) for step, kind in zip(text.steps, kinds, strict=True)])
    live = [f"Stays live: {text.stays_live[0]}", *text.stays_live[1:]] if text.stays_live else []
    for lines, is_terse in ((full + live, False), (full + live, True), (full, True), (short + live, True), (short, True), (bare, True)):
        plain = _plain(". ".join(lines))
        plain = _ARTICLE.sub("", plain) if is_terse else plain
        if len(plain) <= longest:
            return plain
    return ""


def _each_of_those_alike(steps: list[tuple[str, str, str]]) -> list[str]:
    """Return steps with their numbers: what they are called by, what tells more where several are called alike, what to do.

    Those that follow each other and are called alike stand once, with how many they are.
    """
    found, first = [], 1
    for (called, kind, action), alike in groupby(steps):
        last = first + len(list(alike)) - 1
        several = f"{first}-{last} EACH OF {last - first + 1}: {f'{kind}, ' if kind else ''}{called} - {action}"
        found.append(several if last > first else f"{first} {called} - {action}")
        first = last + 1
    return found


def _plain(text: str) -> str:
    """Return the text in the characters that a symbol stores most densely."""
    return " ".join("".join(character for character in text.upper() if character in _ALPHANUMERIC).split())


_ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
_ARTICLE = re.compile(r"\b(?:THE|A|AN) ")
