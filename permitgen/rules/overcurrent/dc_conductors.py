"""Conductors on direct current are protected by their own devices, and battery circuits from each end that can feed them.

A battery circuit between two sources, as on a dc bus, needs a device at both of its ends: what the far battery and the charging inverter
drive into a fault never passes the fuse at the near one. An inverter alone holds what it charges with; together with batteries it adds.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.feeding import place_of, rating_of
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_feeds import DcFeeds, dc_feeds
from permitgen.system.walks.in_series import devices_in_series, links_in_series
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value

Protects = Callable[["Circuit", "Given", "Value", str], Judgement]
_WORD = {"start": "from", "finish": "to"}


def judge(circuit: Circuit, given: Given, protects: Protects) -> Judgement:
    """Judge the devices of a dc circuit, and for battery circuits what feeds an end that has none of its own."""
    own = {"start": circuit.start_device, "finish": circuit.finish_device}
    is_battery = role(given, circuit) is CircuitRole.STORAGE_DC
    ends = [end for end, device in own.items() if device is not None or is_battery]

    def at(end: str) -> list[Judgement]:
        device = own[end]
        return [_own(circuit, given, end, device, protects)] if device is not None else _fed(circuit, given, end, protects)

    parts = parts_for(ends, at)
    if not parts:
        return does_not_apply(f"{circuit.tag}: a dc circuit without an overcurrent device of its own")
    return all_of(f"{circuit.tag}: its breakers or fuses protect its conductors", parts)


def _own(circuit: Circuit, given: Given, end: str, device: OvercurrentDevice, protects: Protects) -> Judgement:
    rating = given.need(device.rating_a, f"rating of the breaker or fuse of {circuit.tag}")
    return protects(circuit, given, rating, f"device at its {_WORD[end]} end")


def _fed(circuit: Circuit, given: Given, end: str, protects: Protects) -> list[Judgement]:
    """Judge an end without a device of the circuit by all that feeds it from there.

    Nothing is judged of an inverter alone: the conductors carry what it charges with (conductor-ampacity).
    """
    feeds = dc_feeds(given.system, circuit.tag, end)
    own, others = _in_series_or_not(circuit, given, end, feeds)
    if others:
        message = f"{circuit.tag}: {' and '.join(others)} feeds its conductors from the {_WORD[end]} end, and no breaker or fuse is between"
        return [require(fact=False, message=message)]
    found = [_through(circuit, given, feeds, end, protects)] if feeds.devices else []
    return found + (_beyond(circuit, given, protects) if own else [])


def _in_series_or_not(circuit: Circuit, given: Given, end: str, feeds: DcFeeds) -> tuple[list[str], list[str]]:
    """Return the batteries without a device ahead: those on the way of this circuit alone, and the others.

    A string gives no more than it is made for; that one on a battery circuit has a device is the matter of the rule for strings.
    """
    conductors = given.system.graph.conductors_of(circuit.tag)
    way = links_in_series(given.system, conductors, f"{circuit.tag}.{end}", OperatingMode.WITH_UTILITY)
    nodes = {f"{circuit.tag}.{end}"} | {node for link in way for node in (link.first, link.second)}
    batteries = [source for source in feeds.sources if source.kind == "energy storage"]
    own = [source.id for source in batteries if source.node in nodes]
    return own, [source.id for source in batteries if source.node not in nodes]


def _beyond(circuit: Circuit, given: Given, protects: Protects) -> list[Judgement]:
    """The battery of this circuit itself: the devices on its way. That there is one is the matter of the rule for battery circuits."""
    devices = devices_in_series(given.system, circuit)

    def one(tag: str, device: OvercurrentDevice) -> Judgement:
        return protects(circuit, given, given.need(device.rating_a, f"rating of the breaker or fuse at {tag}"), f"device {tag}")

    return [one(each.tag, each.device) for each in devices if each.device not in (circuit.start_device, circuit.finish_device)]


def _through(circuit: Circuit, given: Given, feeds: DcFeeds, end: str, protects: Protects) -> Judgement:
    """The nearest devices on other circuits, together with inverters that charge without one."""
    ratings = [rating_of(given, feed).named(f"OCPD_{number}") for number, feed in enumerate(feeds.devices, start=1)]
    places = " and ".join(place_of(feed.link) for feed in feeds.devices)
    known = protects(circuit, given, _sum(circuit, ratings), f"nothing at its {_WORD[end]} end, device {places}")
    if not known.holds or not feeds.inputs:
        return known
    total = _sum(circuit, [*ratings, *(_charging(*each) for each in feeds.inputs)])
    return protects(circuit, given, total, f"nothing at its {_WORD[end]} end, device {places} and what is charged with")


def _sum(circuit: Circuit, parts: list[Value]) -> Value:
    return one_or_sum_of(parts, symbol="ΣOCPD", title=f"devices that feed {circuit.tag} together")


def _charging(inverter: Inverter, name: str) -> Value:
    """Return what an inverter drives into its battery input, A; none at all is said of inputs for strings and answers nothing here."""
    port = inverter.ports.get(name)
    stated = port.largest_output_a if port is not None and port.largest_output_a is not None else inverter.dc_backfeed_a
    if stated is None or stated.number == 0:
        raise MissingFactError(f"current that {inverter.tag} charges with")
    return stated.named(f"I_{inverter.tag}", f"current that {inverter.tag} charges with")
