"""An overcurrent device is not larger than the equipment it protects, or the place it sits in, is listed for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.rule import rule
from permitgen.system.circuit import End
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.feeds import border_devices
from permitgen.system.walks.in_series import circuits_in_series, first_device

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule(
    "listed-overcurrent-maximum",
    title="An overcurrent device is not larger than the equipment it protects, or the place it sits in, is listed for",
    provision="listed_and_instructed",
    judges="device",
    sizes=("overcurrent device",),
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one device against what its terminal, its panel and the equipment behind it are listed for.

    Requires: rating ≤ largest device stated for the terminal, for the panel's breakers, for the source, for the appliance.
    Why: equipment is tested behind a largest device; behind a larger one it can burn before the device opens.
    Applies to: every device, also the fuse in a switch; the limit of a source or an appliance binds the first device it meets.
    Example that fails: a 40 A device on storage that is listed for 30 A at most.
    Example that passes: a 30 A device on the same storage.
    """
    stated = (*_of_equipment(given, device), *_of_sources(given, device), *_of_ports(given, device))
    ends = list(_ends_at(given, device))
    parts = [
        *parts_for(ends, lambda end: _within(given, device, _of_terminal(given, end))),
        *parts_for(ends, lambda end: _within(given, device, _of_space(given, end))),
        *parts_for(stated, lambda limit: _within(given, device, limit)),
    ]
    if not parts:
        return does_not_apply(f"{device.tag}: nothing states a largest device here")
    return all_of(f"{device.tag}: within what the equipment is listed for", parts)


def _within(given: Given, device: InstalledDevice, limit: Value | None) -> Judgement | None:
    if limit is None:
        return None
    rating = given.need(device.device.rating_a, f"rating of the device at {device.tag}").named("OCPD")
    return require_at_most(
        f"{device.tag}: a {rating.figure} A breaker or fuse; {limit.title} is {limit.figure} A",
        computed=rating,
        limit=limit.named("OCPD_max"),
        places=(device.at,) if device.at is not None else (),
    )


def _of_terminal(given: Given, end: End) -> Value | None:
    terminal = given.system.terminal_at(end)
    limit = terminal.largest_device_a if terminal is not None else None
    return limit.named("", f"the largest device at terminal {end}") if limit is not None else None


def _of_space(given: Given, end: End) -> Value | None:
    """Return the limit of the breaker space at which a device sits; of a panel it has to be known."""
    item = given.system.equipment[end.tag]
    if end.terminal or not item.is_cabinet_with_bus:
        return None
    name = f"largest breaker of {item.tag}"
    return given.need(given.system.busbars[item.tag].largest_breaker_a, name).named("", f"the {name}")


def _ends_at(given: Given, device: InstalledDevice) -> Iterator[End]:
    """Yield the ends of circuits that land on the device itself: its own end, or the terminal ahead of the relay it belongs to."""
    for circuit in given.system.circuits.values():
        for end, side in ((circuit.start, "start"), (circuit.finish, "finish")):
            item = given.system.equipment[end.tag]
            terminal = item.terminals.get(end.terminal) if end.terminal else None
            ahead_of_relay = terminal is not None and bool(terminal.accepts) and item.node_of(end) in device.nodes
            if ahead_of_relay or f"{circuit.tag}.{side}" in device.nodes:
                yield end
    if not device.circuit and device.device.position is not None:
        yield End(device.enclosure, position=device.device.position)


def _of_equipment(given: Given, device: InstalledDevice) -> Iterator[Value]:
    """Yield the marked maximum of each appliance that meets this device first."""
    for circuit in circuits_in_series(given.system, device):
        for end, other in ((circuit.start, "finish"), (circuit.finish, "start")):
            item = given.system.equipment[end.tag]
            limit: Value | None = getattr(item, "largest_device_a", None)
            if limit is None or not item.is_utilization_equipment:
                continue
            own = "start" if other == "finish" else "finish"
            met = first_device(given.system, circuit, own) or first_device(given.system, circuit, other)
            if met is not None and met.device is device.device:
                yield limit.named("", f"the maximum device marked on {item.tag}")


def _of_sources(given: Given, device: InstalledDevice) -> Iterator[Value]:
    for source in given.system.sources.values():
        limit = _of_source(given, source)
        if limit is not None and any(each.link is device.link for each in border_devices(given.system, source.node)[1]):
            yield limit


def _of_ports(given: Given, device: InstalledDevice) -> Iterator[Value]:
    """Yield the largest device that an inverter permits ahead of one of its ports; it binds the first device that the port meets."""
    for item in given.system.equipment.values():
        for port in item.ports.values() if isinstance(item, Inverter) else ():
            if port.largest_device_a is None:
                continue
            _, border = border_devices(given.system, f"{item.tag}.{port.name}")
            if any(each.link is device.link for each in border):
                yield port.largest_device_a.named("", f"the largest device ahead of port {port.name} of {item.tag}")


def _of_source(given: Given, source: PowerSource) -> Value | None:
    item = given.system.equipment[source.tag]
    unit = item.module_inverter if isinstance(item, PVArray) else item
    limit: Value | None = getattr(unit, "largest_branch_device_a" if isinstance(item, PVArray) else "largest_device_a", None)
    return limit.named("", f"the largest device stated for {source.id}") if limit is not None else None
