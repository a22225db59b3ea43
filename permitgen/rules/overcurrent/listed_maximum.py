"""An overcurrent device is not larger than the equipment it protects, or the place it sits in, is listed for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.quantities.circuit_current import source_side
from permitgen.rules.rule import rule
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.feeds import border_devices

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule("listed-overcurrent-maximum", provision="listed_and_instructed", judges="circuit", sizes=("overcurrent device",))
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the devices at the ends of a circuit against what terminals, panels and equipment are listed for.

    Requires: rating ≤ largest device stated for the terminal, for the panel's breakers, for the source, for the appliance.
    Why: equipment is tested behind a largest device; behind a larger one it can burn before the device opens.
    Applies to: devices at the ends of circuits; a source's limit binds the first device it meets.
    Example that fails: a 40 A device on storage that is listed for 30 A at most.
    Example that passes: a 30 A device on the same storage.
    """
    parts = [
        require_at_most(
            f"{circuit.tag}: a {rating.number:g} A breaker or fuse; {limit.title} is {limit.number:g} A",
            computed=rating,
            limit=limit.named("OCPD_max"),
            places=(device.at,) if device.at is not None else (),
        )
        for device, limit in _limits(circuit, given)
        for rating in [given.need(device.rating_a, f"rating of the overcurrent device of {circuit.tag}").named("OCPD")]
    ]
    if not parts:
        return does_not_apply(f"{circuit.tag}: nothing at its ends states a largest device")
    return all_of(f"{circuit.tag}: its device is within what the equipment is listed for", parts)


def _limits(circuit: Circuit, given: Given) -> Iterator[tuple[OvercurrentDevice, Value]]:
    for end, device in ((circuit.start, circuit.start_device), (circuit.finish, circuit.finish_device)):
        if device is not None:
            yield from ((device, limit) for limit in _of_place(given, end))
    devices = [device for device in (circuit.start_device, circuit.finish_device) if device is not None]
    for device in devices:
        yield from ((device, limit) for limit in _of_equipment(given, circuit))
        for source in source_side(given, circuit).sources:
            limit = _of_source(given, source)
            if limit is not None and _is_first(given, source, device):
                yield device, limit


def _of_place(given: Given, end: End) -> Iterator[Value]:
    """Yield the limits of the terminal and of the breaker spaces in which a device sits."""
    terminal = given.system.terminal_at(end)
    if terminal is not None and terminal.largest_device_a is not None:
        yield terminal.largest_device_a.named("", f"the largest device at terminal {end}")
    item = given.system.equipment[end.tag]
    if end.position is not None and isinstance(item, Panelboard | MicrogridInterconnectDevice):
        name = f"largest breaker of {item.tag}"
        yield given.need(item.largest_breaker_a, name).named("", f"the {name}")


def _of_equipment(given: Given, circuit: Circuit) -> Iterator[Value]:
    for end in circuit.ends:
        item = given.system.equipment[end.tag]
        limit: Value | None = getattr(item, "largest_device_a", None)
        if limit is not None and item.is_utilization_equipment:
            yield limit.named("", f"the maximum device marked on {item.tag}")


def _of_source(given: Given, source: PowerSource) -> Value | None:
    item = given.system.equipment[source.tag]
    unit = item.module_inverter if isinstance(item, PVArray) else item
    limit: Value | None = getattr(unit, "largest_branch_device_a" if isinstance(item, PVArray) else "largest_device_a", None)
    return limit.named("", f"the largest device stated for {source.id}") if limit is not None else None


def _is_first(given: Given, source: PowerSource, device: OvercurrentDevice) -> bool:
    """Whether ``device`` is one of the first that the source meets."""
    _, border = border_devices(given.system, source.node)
    return any(each.device is device for each in border)
