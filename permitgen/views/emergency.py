"""What a person must know to make the house dead: steps in order, what stays live, where batteries stand, and the map.

The placard and the first screen of the record are drawn from this one view. Steps come from walks on the graph; a house whose
steps do not make every load conductor dead says so in the first line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.site.facing import facing_on_page
from permitgen.system.walks.batteries import units_together
from permitgen.system.walks.isolation import Shutdown, shutdown_steps
from permitgen.values.equation import sum_of
from permitgen.views.document_id import BESIDE
from permitgen.views.handle_names import handle_names, handle_place
from permitgen.views.languages import LANGUAGES, Phrases, phrases_in, speaks_of_sides
from permitgen.views.shutdown_sentences import (
    Done,
    done_by_steps,
    done_text,
    failed_text,
    stays_live_lines,
    unproven_line,
    unproven_text,
    wait_text,
    warning_text,
)
from permitgen.views.site_map import MapStep, SiteMap, point_of, site_map_of
from permitgen.views.source_names import grouped_sources, shown_count
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class EmergencyStep:
    """One step: go to ``place``, take hold of ``object``, do ``action``. ``stops`` says what it stops, ``stop_tags`` by tag.

    ``failed`` says what it was meant to stop where a test showed that it does not, ``unproven`` what it is meant to stop where a rule that
    this rests on is violated or not judged; both are among what stays live.
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
    unproven: str = ""


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

    ``makes_dead`` False: after the last step some load conductor stays possibly live or a source on the utility, and no placard may be
    printed.
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
        map=site_map_of(system, _map_steps(system, shutdown), len(shutdown.steps), names_streets=names_streets),
        makes_dead=shutdown.suffices,
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
    done_by_each = done_by_steps(evaluation, shutdown, denied)
    steps = _steps(evaluation, shutdown, done_by_each, phrases)
    record = system.record
    return EmergencyText(
        language=phrases.language,
        phrases=phrases,
        sources=tuple(grouped_sources(system, tuple(system.sources.values()), phrases)),
        alarm=_alarm(system, shutdown, phrases),
        steps=steps,
        warning=warning_text(system, shutdown, phrases),
        wait=wait_text(evaluation, shutdown, phrases),
        stays_live=(*_treated_as_live(system, steps, done_by_each, phrases), *stays_live_lines(system, shutdown, phrases)),
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
    if not shutdown.suffices:
        left = (*(node.partition(".")[0] for node in shutdown.still_live), *(source.tag for source in shutdown.still_on_utility))
        names = dict.fromkeys(_named(system, tag) for tag in dict.fromkeys(left))
        return phrases.say("steps_do_not_make_dead", tags=phrases.listed(tuple(names)))
    return ""


def _named(system: System, tag: str) -> str:
    """Return the name of a load or piece of equipment; its tag where it has no name."""
    load, item = system.loads.get(tag), system.equipment.get(tag)
    return (load.name if load is not None else "") or (item.name if item is not None else "") or tag


def _steps(evaluation: Evaluation, shutdown: Shutdown, done_by_each: tuple[Done, ...], phrases: Phrases) -> tuple[EmergencyStep, ...]:
    found: list[EmergencyStep] = []
    names = handle_names(evaluation, shutdown.steps, phrases)
    for number, (handle, name, done) in enumerate(zip(shutdown.steps, names, done_by_each, strict=True), start=1):
        found.append(
            EmergencyStep(
                number=number,
                tag=handle.tag,
                handle=handle.id,
                place=handle_place(handle, phrases),
                object=name,
                action=phrases.choose(f"action.{handle.action}", "action.default"),
                stops=done_text(evaluation.system, done, phrases),
                stop_tags=tuple(dict.fromkeys(source.tag for source in (*done.stopped, *done.cut_off))),
                failed=failed_text(evaluation.system, done, phrases),
                unproven=unproven_text(evaluation.system, done, phrases),
            )
        )
    return tuple(found)


def _treated_as_live(system: System, steps: tuple[EmergencyStep, ...], done_by_each: tuple[Done, ...], phrases: Phrases) -> Iterator[str]:
    """Yield what a test showed not to stop, and what is only meant to: first of all that stays live."""
    yield from (phrases.say("live.test_failed", number=step.number, stops=step.failed) for step in steps if step.failed)
    for step, done in zip(steps, done_by_each, strict=True):
        if done.unproven:
            yield unproven_line(system, done, step.number, phrases)


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
