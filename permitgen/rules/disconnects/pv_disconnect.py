"""Each PV system has a disconnect that separates it from all other wiring, readily accessible, at most six handles together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.dc_circuits import inverters_fed
from permitgen.system.walks.rapid_shutdown import ac_nodes
from permitgen.system.walks.source_switches import link_of, separating_handles
from permitgen.system.walks.stopped_sources import inverter_sources
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.handle import Handle
    from permitgen.system.power_source import PowerSource


@rule("pv-disconnect", provision="pv_disconnect", judges="pv_array")
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the PV system disconnect of one array.

    Requires: handles that separate the array from all other wiring, readily accessible, opening both legs, at most six, grouped.
    Why: firefighter, utility and electrician must be able to part the PV from the house at one place.
    Applies to: every array; for module inverters the ac breaker or switch is the disconnect.
    Example that fails: an inverter whose only disconnect is a breaker in an attic that nobody reaches.
    Example that passes: a switch of 60 A beside the meter.
    """
    sources = _sources(array, given)
    if not sources:
        return does_not_apply(f"{array.tag} reaches no inverter")
    chosen = _handles(_strings(array, given) if _shares_inverter(array, given) else sources, given)
    if not chosen:
        return _inside_inverter(array, given)
    parts = [part for handle in chosen for part in _one(handle, given)]
    count = Value(float(len(chosen)), "count", FromSystem("handles that part the array from the rest"), "n", f"disconnects of {array.tag}")
    limit = given.provision("pv_disconnect").value("largest_group_count").named("n_max")
    names = " and ".join(handle.id for handle in chosen)
    parts.append(require_at_most(f"{array.tag}: {count.number:g} handles part it from the rest", computed=count, limit=limit))
    parts.append(_grouped(array, chosen))
    return all_of(f"{array.tag}: {names} parts it from all other wiring, readily accessible", parts)


def _sources(array: PVArray, given: Given) -> tuple[PowerSource, ...]:
    nodes = ac_nodes(given.system, array)
    return tuple(source for source in given.system.sources.values() if source.is_ac and source.node in nodes)


def _shares_inverter(array: PVArray, given: Given) -> bool:
    """Whether a battery feeds the same inverter, so that its ac disconnect does not part the PV from everything."""
    return any(
        given.system.equipment[tag].kind == "energy_storage_system"
        for name in array.strings
        for inverter in inverters_fed(given.system, f"{array.tag}.{name}")
        for tag in inverter_sources(given.system, inverter)
    )


def _strings(array: PVArray, given: Given) -> tuple[PowerSource, ...]:
    """The strings themselves: behind a hybrid inverter only a dc switch parts the PV from the battery."""
    return tuple(source for source in given.system.sources.values() if source.tag == array.tag and not source.is_ac)


def _inside_inverter(array: PVArray, given: Given) -> Judgement:
    inverters = {i.tag: i for name in array.strings for i in inverters_fed(given.system, f"{array.tag}.{name}")}
    answers = [inverter.answer("dc_disconnect") for inverter in inverters.values()]
    parts_it = None if None in answers else bool(answers) and all(answers)
    names = " and ".join(inverters) or array.tag
    message = f"{array.tag}: {'the dc switch in ' + names + ' parts it' if parts_it else 'no handle parts it'} from all other wiring"
    return require(parts_it, message, missing=f"whether {names} has a load-break dc switch")


def _handles(sources: tuple[PowerSource, ...], given: Given) -> list[Handle]:
    """Return one handle that parts the whole array where there is one (a switch made for it first), else one for each branch."""
    together = [handle for handle in separating_handles(given.system, sources) if link_of(given.system, handle.id) is not None]
    if together:
        return [max(together, key=lambda handle: (handle.kind == "source disconnect", _accessible(handle)))]
    each = [[h for h in separating_handles(given.system, (source,)) if link_of(given.system, h.id) is not None] for source in sources]
    if not all(each):
        return []
    return list({handle.id: handle for handle in (max(found, key=_accessible) for found in each)}.values())


def _accessible(handle: Handle) -> int:
    if handle.place is None or handle.place.readily_accessible is None:
        return 1
    return 2 if handle.place.readily_accessible else 0


def _one(handle: Handle, given: Given) -> Iterator[Judgement]:
    access = handle.place.readily_accessible if handle.place is not None else None
    text = f"{handle.id} is {'' if access else 'not '}readily accessible"
    yield require(access, text, missing=f"whether {handle.tag} is readily accessible")
    item, link = given.system.equipment.get(handle.tag), link_of(given.system, handle.id)
    poles = item.poles if isinstance(item, Disconnect) else link.device.poles if link is not None and link.device is not None else 2
    yield require(poles >= 2, f"{handle.id} opens {'all ungrounded conductors at once' if poles >= 2 else 'one leg only'}")


def _grouped(array: PVArray, chosen: list[Handle]) -> Judgement:
    places = {(h.place.building, h.place.space) if h.place is not None else ("", h.tag) for h in chosen}
    return require(len(places) == 1, f"{array.tag}: its disconnects stand {'together' if len(places) == 1 else 'in different places'}")
