"""Devices in battery circuits can interrupt the fault current that reaches them from either side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.battery_fault import fault_current_together
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.dc_circuits import inverters_beyond, storage_beyond
from permitgen.system.walks.in_series import circuits_in_series
from permitgen.values.equation import selected
from permitgen.values.figure import figure

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.inverter import Inverter
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule(
    "ess-dc-interrupting-rating",
    title="Devices in battery circuits can interrupt the fault current that reaches them from either side",
    provision="ess_dc_interrupting_rating",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one device in series with a battery circuit against what batteries and inverters can give into a fault.

    Requires: dc interrupting rating ≥ sum of the declared fault currents of the batteries on one side of the device, and ≥ that of those
        on the other: a fault beside one of several batteries is fed through its device by all others and by what comes back through
        the inverter.
    Why: a battery gives thousands of amperes with nothing to limit them, and a dc arc does not pass through zero.
    Applies to: devices of dc circuits of storage, at their ends or in a switch.
    Example that fails: a 10 kA breaker on a battery that declares 20 kA; a 10 kA fuse on one of three batteries of 6 kA.
    Example that passes: a 20 kA fuse there.
    """
    circuits = [circuit for circuit in circuits_in_series(given.system, device) if role(given, circuit) is CircuitRole.STORAGE_DC]
    if not circuits:
        return does_not_apply(f"{device.tag} is in series with no battery circuit")
    parts = parts_for(_fed_from(device, given), lambda side: _one(device, fault_current_together(given, *side, device.tag), given))
    return all_of(f"{device.tag}: it can interrupt the fault current of either side", parts)


def _fed_from(device: InstalledDevice, given: Given) -> Iterator[tuple[tuple[PowerSource, ...], tuple[Inverter, ...]]]:
    """Yield what feeds a fault through the device from each side; an inverter counts beside a battery, or where it states what comes back.

    Beside batteries that are judged for what is known of them alone, the inverter is asked for: a rating that they exceed is exceeded.
    """
    for node in device.nodes:
        units, inverters = storage_beyond(given.system, device.link, node), inverters_beyond(given.system, device.link, node)
        returning = tuple(item for item in inverters if units or item.dc_backfeed_a is not None)
        if units and returning:
            yield units, ()
        if units or returning:
            yield units, returning


def _one(device: InstalledDevice, available: Value, given: Given) -> Judgement:
    stated = given.need(device.device.interrupting_rating_ka, f"dc interrupting rating of the device at {device.tag}")
    rating = selected(
        stated.number * 1000, "a", by="in amperes", inputs=(stated,), symbol="IR", title=f"dc interrupting rating at {device.tag}"
    )
    message = f"{device.tag}: interrupting rating {stated.figure} kA, {figure(available.number / 1000)} kA available"
    return require_at_least(message, computed=rating, limit=available)
