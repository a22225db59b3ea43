"""The sentences of a shutdown: what each step stops or cuts off, what is not enough, how long to wait, what stays live.

Each is what a walk found. *Cuts off* stands where an open switch parts a source from every load and from the utility, *stops* where a
handle stops it by control or takes from its inverters the ac they need (``isolation``, ``stopped_sources``); *stays live* and *not
enough* stand where something that runs by itself still reaches the place, interactive sources stopping with their grid (``energized``).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.array_place import is_array_on_roof
from permitgen.system.walks.energized import energized_stretches, inverters_kept_live, left_by_the_service
from permitgen.system.walks.generator_start import starts_by_itself
from permitgen.system.walks.isolation import Shutdown, busbars_ahead_of_service, left_running, service_handles
from permitgen.system.walks.live_sources import LiveStretch
from permitgen.system.walks.panels_cut_off import machines_cut_off, panels_cut_off
from permitgen.system.walks.rapid_shutdown import initiators
from permitgen.system.walks.stopped_sources import inverter_sources, stopped_tags
from permitgen.views.sentence_grounds import how_it_stands
from permitgen.views.source_names import is_one_source, sources_by_name
from permitgen.views.wording import number_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System
    from permitgen.views.languages import Phrases

Sources = tuple["PowerSource", ...]


@dataclass(frozen=True, slots=True)
class Done:
    """What one step does: sources that it stops, others that it cuts off, and those that a test showed it does not.

    ``unproven`` are those that it is meant to stop while a rule that this rests on is violated or not judged.

    ``panels`` are those that lose the utility by this one of several service disconnects; of one that does nothing else, the machines.
    """

    stopped: Sources
    cut_off: Sources
    failed: Sources
    panels: tuple[str, ...] = ()
    unproven: Sources = ()


def done_by_steps(evaluation: Evaluation, shutdown: Shutdown, denied: frozenset[tuple[str, str]] = frozenset()) -> tuple[Done, ...]:
    """Return what each step does, walked with the handles of the steps before it open."""
    system = evaluation.system
    services, doubtful = service_handles(system), _not_proven_to_stop(evaluation)
    found: list[Done] = []
    opened: list[str] = []
    for handle in shutdown.steps:
        before, stopped_before = left_running(system, opened), stopped_tags(system, opened)
        opened.append(handle.id)
        after, stopped = {source.id for source in left_running(system, opened)}, stopped_tags(system, opened)
        meant = tuple(source for source in before if source.id not in after)
        failed = tuple(source for source in meant if {(handle.tag, ""), (handle.tag, source.tag)} & denied)
        newly = stopped - stopped_before
        told = tuple(source for source in meant if source not in failed)
        unproven = tuple(source for source in told if source.tag in newly & doubtful)
        proven = tuple(source for source in told if source not in unproven)
        utility_denied = {(handle.tag, ""), *((handle.tag, s.tag) for s in system.sources.values() if s.kind == "utility")} & denied
        of_services = [each for each in opened if each in services]
        lose_utility = handle.id in services and not utility_denied
        panels = panels_cut_off(system, of_services) if lose_utility else ()
        if lose_utility and not meant and not panels:
            panels = machines_cut_off(system, of_services)
        found.append(
            Done(
                stopped=tuple(source for source in proven if source.tag in newly),
                cut_off=tuple(source for source in proven if source.tag not in newly),
                failed=failed,
                panels=panels,
                unproven=unproven or _of_a_doubtful_initiator(system, handle.id, doubtful, (*failed, *proven)),
            )
        )
    return tuple(found)


def _not_proven_to_stop(evaluation: Evaluation) -> frozenset[str]:
    """Return the arrays of which no passing rule says that their rapid shutdown works, and the inverters that stop with them only."""
    if how_it_stands(evaluation, "stops") == "proven":
        return frozenset()
    system = evaluation.system
    arrays = frozenset(tag for each in initiators(system) for tag in each.arrays)
    inverters = (item for item in system.equipment.values() if isinstance(item, Inverter))
    return arrays | {item.tag for item in inverters if inverter_sources(system, item) & arrays}


def _of_a_doubtful_initiator(system: System, handle: str, doubtful: frozenset[str], said: Sources) -> Sources:
    """Return the arrays whose rapid shutdown a switch is to start and that a step before it cut off: its label promises it all the same."""
    tags = {tag for each in initiators(system) if each.handle == handle for tag in each.arrays} & doubtful
    return tuple(source for source in system.sources.values() if source.tag in tags - {each.tag for each in said})


def done_text(system: System, done: Done, phrases: Phrases) -> str:
    """Say what a step does: *cuts off utility power to Service panel 1, stops solar panels*."""
    cut_off = tuple(source for source in done.cut_off if not (done.panels and source.kind == "utility"))
    parts = [_said("stops.utility", system, cut_off, phrases)]
    if done.panels:
        utility = tuple(source for source in system.sources.values() if source.kind == "utility")
        names = tuple(_named(system, tag, phrases) for tag in done.panels)
        power = phrases.listed(tuple(sources_by_name(system, utility, phrases)))
        parts.append(phrases.say("stops.utility.to", sources=power, panels=phrases.listed(names)))
    parts.append(_said("stops", system, done.stopped, phrases))
    return ", ".join(part for part in parts if part)


def failed_text(system: System, done: Done, phrases: Phrases) -> str:
    """Say what a step was meant to stop and, as a test showed, does not."""
    return _said("stops", system, done.failed, phrases)


def unproven_text(system: System, done: Done, phrases: Phrases) -> str:
    """Say what a step is meant to stop where that is not proven."""
    return _said("stops.unproven", system, done.unproven, phrases)


def unproven_line(system: System, done: Done, number: int, phrases: Phrases) -> str:
    """Say the same among what stays live, of a step with something in doubt."""
    return phrases.say("live.unproven", number=number, sources=phrases.listed(tuple(sources_by_name(system, done.unproven, phrases))))


def _said(key: str, system: System, sources: Sources, phrases: Phrases) -> str:
    return phrases.say(key, sources=phrases.listed(tuple(sources_by_name(system, sources, phrases)))) if sources else ""


def _named(system: System, tag: str, phrases: Phrases) -> str:
    name = system.equipment[tag].name or tag
    return phrases.own.get(name, name)


def warning_text(system: System, shutdown: Shutdown, phrases: Phrases) -> str:
    """Say that the utility alone is not enough, where it is not: found by opening only the service disconnects.

    Of generators alone that start when the utility fails it says so: they do not keep feeding, they begin to.
    """
    feeding, wires = left_by_the_service(system, [handle.id for handle in shutdown.steps])
    sources = feeding or wires
    if not sources:
        return ""
    named = tuple(sources_by_name(system, sources, phrases))
    if not feeding:
        return phrases.say("utility_alone_is_not_enough.wires", sources=phrases.listed(named))
    if all(source.kind == "generator" for source in feeding) and starts_by_itself(system):
        is_one = len({source.tag for source in feeding}) == 1
        return phrases.say(f"utility_alone_is_not_enough.starts{'.one' if is_one else ''}", sources=phrases.listed(named))
    is_one = len(named) == 1 and sources[0].kind != "photovoltaic" and is_one_source(system, {source.tag for source in sources})
    return phrases.say(f"utility_alone_is_not_enough{'.one' if is_one else ''}", sources=phrases.listed(named))


def wait_text(evaluation: Evaluation, shutdown: Shutdown, phrases: Phrases) -> str:
    """Say after which step rapid shutdown needs its time, where the edition in force states it."""
    system = evaluation.system
    provision = evaluation.given.code.provision("rapid_shutdown_outside_array")
    arrays = {tag for each in initiators(system) for tag in each.arrays if isinstance(system.equipment.get(tag), PVArray)}
    opened: list[str] = []
    numbers: list[str] = []
    for number, handle in enumerate(shutdown.steps, start=1):
        before = stopped_tags(system, opened)
        opened.append(handle.id)
        if arrays & (stopped_tags(system, opened) - before):
            numbers.append(str(number))
    if not numbers or not provision.is_in_force:
        return ""
    seconds = number_text(provision.value("within_s").number, "s")
    return phrases.say(
        f"wait_after_shutdown{_beside_the_house(system, 'photovoltaic')}", switches=_switches(numbers, phrases), seconds=seconds
    )


def _switches(numbers: list[str], phrases: Phrases) -> str:
    each = tuple(dict.fromkeys(numbers))
    return phrases.choose(*(["switches.one"] if len(each) == 1 else []), "switches", numbers=phrases.listed(each))


def stays_live_lines(system: System, shutdown: Shutdown, phrases: Phrases) -> tuple[str, ...]:
    """Say what stays live after the last step: conductors up to open handles or inverters, and what nothing makes otherwise.

    Panels and the wires from them are one line: they are live for the same reason, and at the same time.
    """
    opened = [handle.id for handle in shutdown.steps]
    lines: dict[str, None] = {}
    ends: dict[str, dict[str, None]] = {}
    inverters: dict[str, dict[str, None]] = {}
    for stretch in energized_stretches(system, opened):
        kind = stretch.source.kind
        if stretch.ends_at and kind != "vehicle":
            ends.setdefault(kind, {}).update(dict.fromkeys(str(opened.index(handle) + 1) for handle in stretch.ends_at))
        elif kind == "utility":
            lines[phrases.say("live.utility.no_handle")] = None
        else:
            inverters.setdefault(kind, {}).update(dict.fromkeys(_up_to_inverters(system, stretch, phrases)))
    lines |= dict.fromkeys(phrases.say("live.energy storage.to_inverter", name=name) for name in inverters.get("energy storage", ()))
    up_to = {kind: _switches(sorted(numbers, key=int), phrases) for kind, numbers in ends.items()}
    for kind, switches in up_to.items():
        if kind != "photovoltaic":
            lines[phrases.say("live.utility" if kind == "utility" else f"live.{kind}.to", switches=switches)] = None
    solar = (*((up_to["photovoltaic"],) if "photovoltaic" in up_to else ()), *inverters.get("photovoltaic", ()))
    return (*lines, *_always_live(system, opened, solar, phrases))


def _always_live(system: System, opened: list[str], solar_ends: tuple[str, ...], phrases: Phrases) -> tuple[str, ...]:
    """Say what no handle of the house makes otherwise; ``solar_ends`` is up to where the wires of the panels stay live, too."""
    lines = dict.fromkeys(phrases.say("live.utility.ahead", name=system.equipment[tag].name) for tag in busbars_ahead_of_service(system))
    kinds = {source.kind for source in system.sources.values()}
    if "photovoltaic" in kinds:
        beside = _beside_the_house(system, "photovoltaic")
        said = phrases.say(f"live.photovoltaic{beside}")
        lines[phrases.say(f"live.photovoltaic.to{beside}", ends=phrases.listed(solar_ends)) if solar_ends else said] = None
    if "energy storage" in kinds:
        lines[phrases.say("live.energy storage")] = None
    stopped = stopped_tags(system, opened)
    if any(s.kind == "vehicle" and s.tag not in stopped for s in system.sources.values()):
        lines[phrases.say("live.vehicle.to")] = None
    return tuple(lines)


def _up_to_inverters(system: System, stretch: LiveStretch, phrases: Phrases) -> list[str]:
    kind = stretch.source.kind
    items = inverters_kept_live(system, stretch) if kind in ("photovoltaic", "energy storage") and not stretch.source.is_ac else ()
    return [_named(system, item.tag, phrases) for item in items]


def _beside_the_house(system: System, kind: str) -> str:
    """Return the ending of a phrase about solar wires where no array is on a roof, or nobody says that one is."""
    arrays = [item for item in system.equipment.values() if isinstance(item, PVArray)]
    return ".beside" if kind == "photovoltaic" and not any(is_array_on_roof(array) for array in arrays) else ""
