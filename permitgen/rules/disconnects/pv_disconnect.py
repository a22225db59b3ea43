"""Each PV system has a disconnect that separates it from all other wiring, readily accessible, at most six handles together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.protection import poles_of
from permitgen.rules.quantities.siting_buildings import building_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.pv_disconnects import ac_sources_of, inverters_of, pv_disconnects
from permitgen.system.walks.source_switches import link_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.handle import Handle


@rule(
    "pv-disconnect",
    title="Each PV system has a disconnect that separates it from all other wiring, readily accessible, at most six handles together",
    provision="pv_disconnect",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the PV system disconnect of one array.

    Requires: handles that separate the array from all other wiring, readily accessible, opening both legs, at most six, grouped.
    Why: firefighter, utility and electrician must be able to part the PV from the house at one place.
    Applies to: every array; for microinverters the ac breaker or switch is the disconnect.
    Example that fails: an inverter whose only disconnect is a breaker in an attic that nobody reaches.
    Example that passes: a switch of 60 A beside the meter.
    """
    if not ac_sources_of(given.system, array):
        return does_not_apply(f"{array.tag} reaches no inverter")
    chosen = pv_disconnects(given.system, array)
    if not chosen:
        return _inside_inverter(array, given)
    parts = [_reached(handle) for handle in chosen] + parts_for(chosen, lambda handle: _opens(handle, given))
    count = Value(float(len(chosen)), "count", FromSystem("handles that part the array from the rest"), "n", f"disconnects of {array.tag}")
    limit = given.provision("pv_disconnect").value("largest_group_count").named("n_max")
    names = " and ".join(handle.id for handle in chosen)
    parts.append(require_at_most(f"{array.tag}: {count.figure} handles part it from the rest", computed=count, limit=limit))
    parts += parts_of(lambda: _grouped(array, chosen, given))
    return all_of(f"{array.tag}: {names} isolates it from all other wiring, readily accessible", parts)


def _inside_inverter(array: PVArray, given: Given) -> Judgement:
    inverters = inverters_of(given.system, array)
    answers = [inverter.answer("dc_disconnect") for inverter in inverters]
    parts_it = None if None in answers else bool(answers) and all(answers)
    names = " and ".join(inverter.tag for inverter in inverters) or array.tag
    message = f"{array.tag}: {'the dc switch in ' + names + ' isolates it' if parts_it else 'no handle isolates it'} from all other wiring"
    return require(parts_it, message, missing=f"whether {names} has a load-break dc switch")


def _reached(handle: Handle) -> Judgement:
    access = handle.place.readily_accessible if handle.place is not None else None
    text = f"{handle.id} is {'' if access else 'not '}readily accessible"
    return require(access, text, missing=f"whether {handle.tag} is readily accessible")


def _opens(handle: Handle, given: Given) -> Judgement:
    item, link = given.system.equipment.get(handle.tag), link_of(given.system, handle.id)
    if isinstance(item, Disconnect):
        poles = given.need(item.poles, f"poles of {item.tag}")
    else:
        device = given.need(link.device if link is not None else None, f"poles of {handle.id}")
        poles = poles_of(given, device, handle.id)
    return require(poles >= 2, f"{handle.id} opens {'all ungrounded conductors at once' if poles >= 2 else 'one leg only'}")


def _grouped(array: PVArray, chosen: tuple[Handle, ...], given: Given) -> Judgement:
    places = {(building_of(given, h.tag), h.place.space) if h.place is not None else ("", h.tag) for h in chosen}
    return require(len(places) == 1, f"{array.tag}: its disconnects are {'together' if len(places) == 1 else 'in different places'}")
