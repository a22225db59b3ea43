"""The safety tests of this house, each found on the graph with the fault that it must be able to find.

A trial is kept only where it is a proof: the meter saw a source before, sees none in a sound house, and would see one with the fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.dc_circuits import dc_nodes
from permitgen.system.walks.isolation import service_handles
from permitgen.system.walks.meter_sees import Situation, running, seen_at
from permitgen.system.walks.rapid_shutdown import Initiator, arrays_of, initiators

if TYPE_CHECKING:
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.link import Link
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One test. ``before`` and ``after`` are how the house stands, ``faulty`` is ``after`` with the fault that the test looks for.

    ``meters`` are the nodes measured at, each with the handle whose terminals it is (empty: none). ``handle`` is what is operated between
    before and after, empty where the mode alone changes. ``watched`` are tags of sources whose output is watched with a clamp, where a
    voltage there tells nothing because another source keeps it; empty where the voltage tells.
    """

    before: Situation
    after: Situation
    faulty: Situation
    meters: tuple[tuple[str, str], ...]
    handle: str = ""
    watched: tuple[str, ...] = ()

    @property
    def mode(self) -> OperatingMode:
        """The mode in which the test is made."""
        return self.after.mode


def readings(system: System, trial: Trial, situation: Situation) -> tuple[tuple[PowerSource, ...], ...]:
    """Return what each meter of a trial sees in a situation: sources whose voltage is there, or whose output is watched."""
    if trial.watched:
        return (tuple(source for source in running(system, situation) if source.tag in trial.watched),)
    return tuple(seen_at(system, node, situation) for node, _ in trial.meters)


def is_proof(system: System, trial: Trial) -> bool:
    """Whether a trial can fail, and does so only with its fault: each meter saw something, sees nothing, and would see the fault."""
    return (
        all(readings(system, trial, trial.before))
        and not any(readings(system, trial, trial.after))
        and all(readings(system, trial, trial.faulty))
    )


def shutdown_trials(system: System) -> Iterator[tuple[Initiator, PVArray, Trial]]:
    """Yield the rapid shutdown tests: each initiator with each of its arrays, in each mode in which the array runs."""
    for initiator in initiators(system):
        for array in arrays_of(system):
            if array.tag in initiator.arrays and initiator.handle in system.handles:
                for mode in _modes(system):
                    trial = _stopping(system, mode, initiator.handle, array.tag, array_meters(system, array))
                    if trial is not None:
                        yield initiator, array, trial


def emergency_stop_trial(system: System, handle: str, tag: str) -> Trial | None:
    """Return the test that a switch stops a storage unit or an inverter: in backup mode, where nothing else keeps its terminals live."""
    for mode in reversed(_modes(system)):
        nodes = [(source.node, "") for source in system.sources.values() if source.tag == tag]
        found = _stopping(system, mode, handle, tag, nodes)
        if found is not None:
            return found
    return None


def generator_stop_trial(system: System, handle: str, tag: str) -> Trial | None:
    """Return the test of a generator's emergency stop: the machine runs and carries the house before."""
    nodes = [(source.node, "") for source in system.sources.values() if source.tag == tag]
    return _stopping(system, OperatingMode.ON_GENERATOR, handle, tag, nodes)


def parting_trials(system: System, mode: OperatingMode) -> Iterator[tuple[str, Trial]]:
    """Yield, for each switch that parts the house from the utility in ``mode``, the test that nothing comes back through it.

    The same meter sees the utility before; then the service is opened, or the utility parted ahead of every handle, and only what runs
    in the house could still be seen. Each trial comes with the id of its switch.
    """
    utility = [source for source in system.sources.values() if source.kind == "utility"]
    for link in system.graph.links:
        if not link.switch or mode in link.closed_in:
            continue
        for node in (link.first, link.second):
            trial = _parting(system, mode, link, node)
            before = readings(system, trial, trial.before)[0]
            if is_proof(system, trial) and any(source in utility for source in before) and _is_utility_side(system, link, node):
                yield link.switch, trial


def island_start(system: System) -> tuple[str, ...]:
    """Return the service handles with which the utility is taken away for a test; none where no handle does it."""
    handles = service_handles(system)
    with_all_open = Situation(mode=OperatingMode.WITH_UTILITY, opened=frozenset(handles))
    utilities = [source for source in system.sources.values() if source.kind == "utility"]
    lines = [switch.line_node for switch in system.islanding_switches]
    reached = [source for node in lines for source in seen_at(system, node, with_all_open)]
    return () if any(source in utilities for source in reached) else handles


def array_meters(system: System, array: PVArray) -> list[tuple[str, str]]:
    """Return where the conductors of an array are measured outside of its boundary, best first: node, and handle whose terminals it is.

    Module inverters: the array's side of the first breaker or switch. Strings: the dc input of the inverter.
    """
    found: list[tuple[str, str]] = []
    for name in array.strings:
        nodes = dc_nodes(system, f"{array.tag}.{name}")
        inputs = sorted(node for node in nodes if _is_converter_input(system, node))
        found += [(node, "") for node in inputs or [f"{array.tag}.{name}"]]
    for name in array.branches:
        reached = system.graph.reach([f"{array.tag}.{name}"], lambda link: not link.handle and not link.is_converter)
        ends = [(node, link.handle) for node in reached for link in system.graph.at_node[node] if link.handle]
        found += ends[:1] or [(f"{array.tag}.{name}", "")]
    return list(dict.fromkeys(found))


def closed_between(system: System, trial: Trial, start: str) -> tuple[str, ...]:
    """Return the handles that stay closed on the way from ``start`` to what gives the voltage before the test, nearest first.

    That is the utility where it is there, else every source that forms the island; what is opened by the test itself is left out.
    """
    before = trial.before
    reached = system.graph.reach([start], lambda link: before.mode in link.closed_in and link.handle not in before.opened)
    grid = [source for source in running(system, before) if source.node in reached and source.is_ac]
    giving = [source for source in grid if source.kind == "utility"] or [source for source in grid if source.forms_island]
    found: dict[str, None] = {}
    for source in giving:
        found |= dict.fromkeys(link.handle for link in reversed(system.graph.path_back(reached, source.node)) if link.handle)
    return tuple(handle for handle in found if handle in system.handles and handle not in trial.after.opened)


def _modes(system: System) -> tuple[OperatingMode, ...]:
    return tuple(mode for mode in system.modes if mode is not OperatingMode.ON_GENERATOR)


def _start(system: System, mode: OperatingMode, opened: Iterable[str] = ()) -> Situation:
    """Return how a mode is entered for a test: without the utility by the service handles, or by parting the utility ahead of them."""
    if mode is OperatingMode.WITH_UTILITY:
        return Situation(mode=mode, opened=frozenset(opened))
    handles = island_start(system)
    return Situation(mode=mode, opened=frozenset((*opened, *handles)), utility_away=not handles)


def _stopping(system: System, mode: OperatingMode, handle: str, tag: str, meters: Sequence[tuple[str, str]]) -> Trial | None:
    """Return a test that opening ``handle`` stops a source; other sources that would hide the answer are opened first."""
    first = _start(system, mode)
    if handle in first.opened:
        return None
    trial = _clear(system, _opening(system, first, handle, tag, tuple(meters)), tag)
    for found in (trial, _unwired(system, trial)):
        if is_proof(system, found):
            return found
    watching = replace(_opening(system, first, handle, tag, tuple(meters[:1])), watched=(tag,))
    return watching if is_proof(system, watching) else None


def _opening(system: System, before: Situation, handle: str, tag: str, meters: tuple[tuple[str, str], ...]) -> Trial:
    """Return the trial of a handle; its fault: a source that does not hear what it is told, or that gives on when its ac is taken away."""
    after = replace(before, opened=before.opened | {handle})
    fault = frozenset({tag})
    faulty = replace(after, deaf=fault) if tag in system.handles[handle].stops else replace(after, runs_on=fault)
    return Trial(before=before, after=after, faulty=faulty, meters=meters, handle=handle)


def _unwired(system: System, trial: Trial) -> Trial:
    """Return the trial with the coarser fault that a switch reaches nothing at all.

    A switch that also stops what forms the island takes the ac from the array by that: its own loop alone shows only with the utility.
    """
    return replace(trial, faulty=replace(trial.after, deaf=frozenset(system.handles[trial.handle].stops)))


def _clear(system: System, trial: Trial, tag: str) -> Trial:
    """Return the trial with those handles opened beforehand by which other sources than the one tested would still be seen."""
    while others := [source for seen in readings(system, trial, trial.after) for source in seen]:
        handles = [found for source in others if source.tag != tag and (found := _own_handle(system, trial, source))]
        if not handles:
            return trial
        before = replace(trial.before, opened=trial.before.opened | {handles[0]})
        trial = _opening(system, before, trial.handle, tag, trial.meters)
        if not all(readings(system, trial, trial.before)):
            return trial
    return trial


def _own_handle(system: System, trial: Trial, source: PowerSource) -> str:
    """Return the handle next to a source on its way to the meter; empty for the utility."""
    if source.kind == "utility":
        return ""
    reached = system.graph.reach([source.node], lambda link: trial.mode in link.closed_in and link.handle not in trial.after.opened)
    meter = next((node for node, _ in trial.meters if node in reached), None)
    way = reversed(system.graph.path_back(reached, meter)) if meter is not None else ()
    return next((link.handle for link in way if link.handle in system.handles and link.handle != trial.handle), "")


def _parting(system: System, mode: OperatingMode, link: Link, node: str) -> Trial:
    after = _start(system, mode)
    return Trial(
        before=Situation(mode=OperatingMode.WITH_UTILITY),
        after=after,
        faulty=replace(after, stuck=frozenset({link.switch})),
        meters=((node, ""),),
    )


def _is_utility_side(system: System, link: Link, node: str) -> bool:
    reached = system.graph.reach([node], lambda other: other is not link and not other.is_converter)
    return any(utility in reached for utility in system.utility_nodes)


def _is_converter_input(system: System, node: str) -> bool:
    return any(link.is_converter and link.first == node for link in system.graph.at_node.get(node, ()))
