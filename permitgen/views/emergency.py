"""What a person must know to make the house dead: steps in order, what stays live, where batteries stand, and the map.

The placard and the first screen of the record are drawn from this one view. Steps come from walks on the graph; a house whose
steps do not make every load conductor dead says so in the first line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.facing import facing_on_page
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.system.walks.batteries import units_together
from permitgen.system.walks.isolation import Shutdown, busbars_ahead_of_service, load_nodes, service_handles, shutdown_steps
from permitgen.system.walks.live_sources import LiveStretch, live_stretches, sources_reaching, stopped_by
from permitgen.system.walks.panels_cut_off import panels_cut_off
from permitgen.values.equation import sum_of
from permitgen.views.document_id import BESIDE
from permitgen.views.languages import LANGUAGES, Phrases, phrases_in, speaks_of_sides
from permitgen.views.site_map import MapStep, Point, SiteMap, point_of, site_map_of
from permitgen.views.source_names import grouped_sources, is_one_source, shown_count
from permitgen.views.wording import number_text, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class EmergencyStep:
    """One step: go to ``place``, take hold of ``object``, do ``action``. ``stops`` says what it stops, ``stop_tags`` by tag.

    ``failed`` says what it was meant to stop where a test showed that it does not; that is among what stays live.
    """

    number: int
    tag: str
    handle: str
    place: str
    object: str
    action: str
    stops: str
    stop_tags: tuple[str, ...]
    failed: str = ""


@dataclass(frozen=True, slots=True)
class StorageLine:
    """Storage units at one place: how many, their rated energy together, their chemistry."""

    place: str
    units: str
    energy: str
    chemistry: str
    energy_kwh: Value | None
    unit_count: int | None
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EmergencyText:
    """Everything in one language.

    ``alarm`` is what must be read before the steps; ``warning`` and ``wait`` stand below them. ``sides`` says from where right and left
    are seen, empty where no place speaks of them.
    """

    language: str
    phrases: Phrases
    sources: tuple[str, ...]
    alarm: str
    steps: tuple[EmergencyStep, ...]
    warning: str
    wait: str
    stays_live: tuple[str, ...]
    storage: tuple[StorageLine, ...]
    contact: str
    sides: str = field(default="", metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class Emergency:
    """The emergency view. ``address`` is what the placard's QR symbol holds, with the revision it was printed for.

    ``makes_dead`` False: some load conductor stays possibly live after the last step, and no placard may be printed.
    """

    texts: Mapping[str, EmergencyText]
    map: SiteMap
    makes_dead: bool
    status: str
    address: str
    shutdown: Shutdown

    @property
    def english(self) -> EmergencyText:
        """The English text, whose wording the code knows."""
        return self.texts["en"]


def emergency_of(evaluation: Evaluation, *, names_streets: bool = True, denied: frozenset[tuple[str, str]] = frozenset()) -> Emergency:
    """Return the emergency view of an evaluation; ``names_streets`` False leaves the names of streets off the map.

    ``denied`` are switches with what tests showed that they do not stop (``Standing.denied``): known to the record, never on a plate.
    """
    system = evaluation.system
    shutdown = shutdown_steps(system)
    own = system.record.translations if system.record is not None else ()
    texts = {language: _text(evaluation, shutdown, phrases_in(language, own), denied) for language in LANGUAGES}
    return Emergency(
        texts=texts,
        map=site_map_of(system, _map_steps(system, shutdown), _service_point(system), names_streets=names_streets),
        makes_dead=bool(shutdown.steps) and not shutdown.still_live,
        status=system.record.status if system.record is not None else "in service",
        address=placard_address(system),
        shutdown=shutdown,
    )


def placard_address(system: System) -> str:
    """Return the record's address with the newest revision as its last part, so that an old placard can be told from a new one."""
    if system.record is None or not system.record.address:
        return ""
    newest = system.project.revision
    return f"{system.record.address.rstrip('/')}/{newest.number if newest else 0}"


def _text(evaluation: Evaluation, shutdown: Shutdown, phrases: Phrases, denied: frozenset[tuple[str, str]]) -> EmergencyText:
    system = evaluation.system
    steps = _steps(system, shutdown, phrases, denied)
    record = system.record
    return EmergencyText(
        language=phrases.language,
        phrases=phrases,
        sources=tuple(grouped_sources(system, tuple(system.sources.values()), phrases)),
        alarm=_alarm(system, shutdown, phrases),
        steps=steps,
        warning=_warning(system, phrases),
        wait=_wait(evaluation, shutdown, phrases),
        stays_live=(*_failed_to_stop(steps, phrases), *_stays_live(system, shutdown, phrases)),
        storage=storage_lines(system, phrases),
        contact=record.emergency_contact if record is not None else "",
        sides=phrases.say("as_seen_from_the_street") if _speaks_of_sides(system) else "",
    )


def _speaks_of_sides(system: System) -> bool:
    return any(item.place is not None and speaks_of_sides(item.place.description) for item in system.equipment.values())


def _alarm(system: System, shutdown: Shutdown, phrases: Phrases) -> str:
    status = system.record.status if system.record is not None else ""
    if status == "do not energize":
        return phrases.say("do_not_energize_why")
    if status == "removed":
        return phrases.say("removed")
    if not shutdown.steps:
        return phrases.say("no_steps")
    if shutdown.still_live:
        tags = dict.fromkeys(node.partition(".")[0] for node in shutdown.still_live)
        names = dict.fromkeys(_named(system, tag) for tag in tags)
        return phrases.say("steps_do_not_make_dead", tags=phrases.listed(tuple(names)))
    return ""


def _named(system: System, tag: str) -> str:
    """Return the name of a load or piece of equipment; its tag where it has no name."""
    load, item = system.loads.get(tag), system.equipment.get(tag)
    return (load.name if load is not None else "") or (item.name if item is not None else "") or tag


def _steps(
    system: System, shutdown: Shutdown, phrases: Phrases, denied: frozenset[tuple[str, str]] = frozenset()
) -> tuple[EmergencyStep, ...]:
    loads, services = load_nodes(system), service_handles(system)
    found: list[EmergencyStep] = []
    opened: list[str] = []
    for number, handle in enumerate(shutdown.steps, start=1):
        before = sources_reaching(system, opened, loads)
        opened.append(handle.id)
        after = {source.id for source in sources_reaching(system, opened, loads)}
        meant = tuple(s for s in before if s.id not in after)
        failed = tuple(s for s in meant if {(handle.tag, ""), (handle.tag, s.tag)} & denied)
        stopped = tuple(s for s in meant if s not in failed)
        proven = not {(handle.tag, ""), *((handle.tag, s.tag) for s in system.sources.values() if s.kind == "utility")} & denied
        of_services = [each for each in opened if each in services]
        panels = panels_cut_off(system, of_services) if proven and handle.id in services else ()
        found.append(
            EmergencyStep(
                number=number,
                tag=handle.tag,
                handle=handle.id,
                place=_place(handle, phrases),
                object=object_text(system, handle, phrases),
                action=phrases.choose(f"action.{handle.action}", "action.default"),
                stops=_stops(system, handle, stopped, phrases, panels),
                stop_tags=tuple(dict.fromkeys(s.tag for s in stopped)),
                failed=_stops(system, handle, failed, phrases),
            )
        )
    return tuple(found)


def _stops(system: System, handle: Handle, stopped: tuple[PowerSource, ...], phrases: Phrases, panels: tuple[str, ...] = ()) -> str:
    """Say what a step stops; utility power and a generator behind a breaker are cut off, they do not stop.

    Of several service disconnects each is said to cut off the utility from the panels that lose it by it.
    """
    if panels:
        utility = tuple(source for source in system.sources.values() if source.kind == "utility")
        others = tuple(source for source in stopped if source.kind != "utility")
        names = tuple(phrases.own.get(_named(system, tag), _named(system, tag)) for tag in panels)
        power = phrases.listed(tuple(grouped_sources(system, utility, phrases)))
        cut = phrases.say("stops.utility.to", sources=power, panels=phrases.listed(names))
        return f"{_stops(system, handle, others, phrases, ())}, {cut}" if others else cut
    if not stopped:
        return ""
    runs_on = ("utility",) if handle.kind in ("generator stop", "generator plug") else ("utility", "generator")
    key = "stops.utility" if any(source.kind in runs_on for source in stopped) else "stops"
    return phrases.say(key, sources=phrases.listed(tuple(grouped_sources(system, stopped, phrases))))


def _failed_to_stop(steps: tuple[EmergencyStep, ...], phrases: Phrases) -> tuple[str, ...]:
    return tuple(phrases.say("live.test_failed", number=step.number, stops=step.failed) for step in steps if step.failed)


def object_text(system: System, handle: Handle, phrases: Phrases) -> str:
    """Return what a handle is called by a person who stands before it, with the words on its label."""
    label = f' "{handle.label}"' if handle.label else ""
    service = ".service" if handle.id in service_handles(system) else ""
    if handle.kind == "rapid shutdown initiator" and handle.stops and not _stops_photovoltaics(system, handle):
        return phrases.say("object.storage stop") + label
    return phrases.choose(f"object.{handle.kind}{service}", f"object.{handle.kind}", "object.disconnect") + label


def _stops_photovoltaics(system: System, handle: Handle) -> bool:
    return any(source.kind == "photovoltaic" for source in system.sources.values() if source.tag in handle.stops)


def _place(handle: Handle, phrases: Phrases) -> str:
    return (
        phrases.place(handle.place.description) if handle.place is not None and handle.place.description else phrases.say("place.unknown")
    )


def _warning(system: System, phrases: Phrases) -> str:
    """Say that the utility alone is not enough, where it is not: found by opening only the service disconnects."""
    still = sources_reaching(system, service_handles(system), load_nodes(system))
    others = tuple(s for s in still if s.kind != "utility")
    if not others:
        return ""
    named = tuple(grouped_sources(system, others, phrases))
    if not any(source.forms_island for source in others):
        # They stop with the utility, as they are listed to; what leads to them does not die with it.
        return phrases.say("utility_alone_is_not_enough.wires", sources=phrases.listed(named))
    is_one = len(named) == 1 and others[0].kind != "photovoltaic" and is_one_source(system, {source.tag for source in others})
    return phrases.say(f"utility_alone_is_not_enough{'.one' if is_one else ''}", sources=phrases.listed(named))


def _wait(evaluation: Evaluation, shutdown: Shutdown, phrases: Phrases) -> str:
    """Say how long rapid shutdown may take, where the edition in force states it."""
    steps = enumerate(shutdown.steps, start=1)
    initiators = (n for n, handle in steps if handle.kind == "rapid shutdown initiator" and _stops_photovoltaics(evaluation.system, handle))
    initiator = next(initiators, None)
    provision = evaluation.given.code.provision("rapid_shutdown_outside_array")
    if initiator is None or not provision.is_in_force:
        return ""
    seconds = number_text(provision.value("within_s").number, "s")
    return phrases.say("wait_after_shutdown", number=initiator, seconds=seconds)


def _stays_live(system: System, shutdown: Shutdown, phrases: Phrases) -> tuple[str, ...]:
    opened = [handle.id for handle in shutdown.steps]
    stretches = live_stretches(system, opened)
    lines: dict[str, None] = {}
    for stretch in stretches:
        for line in _live_lines(system, stretch, opened, phrases):
            lines[line] = None
    for tag in busbars_ahead_of_service(system):
        lines[phrases.say("live.utility.ahead", name=system.equipment[tag].name)] = None
    kinds = {source.kind for source in system.sources.values()}
    for kind in ("photovoltaic", "energy storage"):
        if kind in kinds:
            lines[phrases.say(f"live.{kind}{_beside_the_house(system, kind)}")] = None
    stopped = stopped_by(system, opened)
    if any(s.kind == "vehicle" and s.tag not in stopped for s in system.sources.values()):
        lines[phrases.say("live.vehicle.to")] = None
    return tuple(lines)


def _live_lines(system: System, stretch: LiveStretch, opened: list[str], phrases: Phrases) -> list[str]:
    kind = stretch.source.kind
    key = "live.utility" if kind == "utility" else f"live.{kind}.to{_beside_the_house(system, kind)}"
    if kind == "vehicle":
        return []
    if not stretch.ends_at:
        return [phrases.say("live.utility.no_handle")] if kind == "utility" else []
    return [phrases.say(key, number=opened.index(handle) + 1) for handle in stretch.ends_at]


def _beside_the_house(system: System, kind: str) -> str:
    """Return the ending of a phrase about solar wires where no array is on a roof, or nobody says that one is."""
    arrays = [item for item in system.equipment.values() if isinstance(item, PVArray)]
    return ".beside" if kind == "photovoltaic" and not any(is_array_on_building(array) for array in arrays) else ""


def storage_lines(system: System, phrases: Phrases) -> tuple[StorageLine, ...]:
    """Return the storage units by place (a room or an outside wall), with their rated energy together."""
    groups: dict[tuple[str, str], list[EnergyStorageSystem]] = {}
    for item in system.equipment.values():
        if isinstance(item, EnergyStorageSystem):
            groups.setdefault((_room(item), item.chemistry), []).append(item)
    return tuple(_storage_line(place, chemistry, units, phrases) for (place, chemistry), units in groups.items())


def _room(item: EnergyStorageSystem) -> str:
    if item.place is None:
        return ""
    parts = item.place.description.split(",")
    return ",".join(parts[:2]).strip() or item.place.space


def _storage_line(place: str, chemistry: str, units: list[EnergyStorageSystem], phrases: Phrases) -> StorageLine:
    count = units_together(units)
    stated = [unit.energy_kwh for unit in units if unit.energy_kwh is not None]
    whole = len(stated) == len(units)
    energy = sum_of(stated, symbol="E", title=f"rated energy of {', '.join(unit.tag for unit in units)}") if whole else None
    return StorageLine(
        place=phrases.place(place) if place else phrases.say("place.unknown"),
        units=phrases.choose(*(["storage.units.one"] if count == 1 else []), "storage.units", count=shown_count(count)),
        energy=value_text(energy) if energy is not None else "? kWh",
        chemistry=_chemistry(chemistry, phrases),
        energy_kwh=energy,
        unit_count=count,
        tags=tuple(unit.tag for unit in units),
    )


def _chemistry(chemistry: str, phrases: Phrases) -> str:
    key = f"chemistry.{chemistry}"
    return phrases.say(key) if key in phrases.lines else chemistry or phrases.say("chemistry.unknown")


def _map_steps(system: System, shutdown: Shutdown) -> tuple[MapStep, ...]:
    found = []
    for number, handle in enumerate(shutdown.steps, start=1):
        at = point_of(handle.place)
        if at is not None:
            found.append(MapStep(number, handle.tag, at, facing_on_page(system.site.plan, handle.place)))
    return tuple(found)


def _service_point(system: System) -> Point | None:
    """Return where the reader of the placard stands: at the service disconnect, else at the meter."""
    places = [system.handles[handle].place for handle in service_handles(system) if handle in system.handles]
    places += [item.place for item in system.equipment.values() if item.is_metering]
    return next((point for point in map(point_of, places) if point is not None), None)
