"""An interconnect device read as a part of a feeder: what lies beyond the sources carries everything or is protected there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import supply_and_sources_a
from permitgen.rules.busbars.protected_from_utility import protected_from_utility
from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require_at_least, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.busbar_feeds import protecting_rating, source_current
from permitgen.rules.quantities.busbar_loads import device_beyond, loads_together, ways_to_loads
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.system.walks.dc_circuits import circuit_at

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.circuit import Circuit
    from permitgen.system.link import Link
    from permitgen.values.value import Value


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge every way from the busbar to loads by the feeder rule.

    Each is protected by a device on the load side of the sources, at the busbar or at the far end of the feeder, within the rating of
    busbar and feeder, and where there are several those devices together within the busbar; or busbar and conductors beyond carry the
    protecting device and 125 percent of the sources. What lies toward the utility is protected by the device ahead of it either way: a
    device beyond the sources does nothing for it.
    """
    provision = given.provision("feeder_with_source")
    parts = parts_for(ways_to_loads(given, busbar), lambda link: _way(busbar, link, given))
    if not parts:
        return does_not_apply("no load conductors leave this busbar").under(provision)
    parts += parts_of(lambda: _together(busbar, given), lambda: protected_from_utility(busbar, given))
    return replace(all_of("feeder with sources", parts), method="feeder").under(provision)


def loads_within(busbar: Busbar, given: Given) -> Judgement | None:
    """Judge what the loads on several ways can take together: each device by itself says nothing of the busbar ahead of them all."""
    total = loads_together(given, busbar)
    if total is None:
        return None
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    message = f"devices let the loads take {total.figure} A together from a busbar of {rating.figure} A"
    return require_at_most(message, computed=total, limit=rating)


def _together(busbar: Busbar, given: Given) -> Judgement | None:
    loads = parts_of(lambda: loads_within(busbar, given))
    if not loads:
        return None
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    total = _total(busbar, given)
    message = f"busbar of {rating.figure} A, device and sources together {total.figure} A"
    return any_of("busbar ahead of several ways to loads", [*loads, require_at_least(message, computed=rating, limit=total)])


def _total(busbar: Busbar, given: Given) -> Value:
    provision = given.provision("feeder_with_source")
    return supply_and_sources_a.derive(
        protecting_a=protecting_rating(given, busbar),
        source_factor=provision.value("source_factor"),
        sources_a=source_current(given, busbar),
        provision=provision,
    )


def _way(busbar: Busbar, link: Link, given: Given) -> Judgement:
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    methods = []
    if link.device is not None:
        device = given.need(link.device.rating_a, f"rating of the breaker or fuse at {link.part}").named("OCPD")
        message = f"{link.part}: a breaker or fuse of {device.figure} A at the busbar of {rating.figure} A protects what is beyond"
        methods.append(require_at_most(message, computed=device, limit=rating))
    else:
        methods += _device_beyond(busbar, link, rating, given)
    methods += parts_of(lambda: _enough(busbar, link, rating, given))
    return any_of(link.part, methods)


def _enough(busbar: Busbar, link: Link, rating: Value, given: Given) -> Judgement:
    total = _total(busbar, given)
    message = f"busbar of {rating.figure} A, device and sources together {total.figure} A"
    circuits = _circuits_on(busbar, link, given)
    parts = [
        require_at_least(message, computed=rating, limit=total),
        *parts_for(circuits, lambda circuit: _carries(circuit, total, "device and sources together", given)),
    ]
    return all_of(f"busbar and conductors carry {total.figure} A", parts)


def _circuits_on(busbar: Busbar, link: Link, given: Given) -> list[Circuit]:
    circuit = circuit_at(given.system, busbar.tag, link.other(busbar.node).rpartition(".")[2])
    return [circuit] if circuit is not None else []


def _carries(circuit: Circuit, current: Value, what: str, given: Given) -> Judgement:
    if circuit.conductors.size is None:
        return not_judged(f"conductor size of {circuit.tag}")
    ampacity = conductor_ampacity(given, circuit).final_a
    message = f"{circuit.tag} carries {ampacity.number:.4g} A, {what} {current.figure} A"
    return require_at_least(message, computed=ampacity, limit=current)


def _device_beyond(busbar: Busbar, link: Link, rating: Value, given: Given) -> list[Judgement]:
    """Judge the one device through which all current beyond the busbar must pass, such as the main of the panel it feeds."""
    beyond = device_beyond(given, busbar, link)
    if beyond is None or beyond.device is None:
        return []
    device = given.need(beyond.device.rating_a, f"rating of the breaker or fuse at {beyond.part}").named("OCPD")
    message = f"{beyond.part} of {device.figure} A limits what busbar and feeder carry to the loads"
    parts = [require_at_most(message, computed=device, limit=rating)]
    parts += [_carries(circuit, device, "the device at its load end is", given) for circuit in _circuits_on(busbar, link, given)]
    return [all_of(message, parts)]
