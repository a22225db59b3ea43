"""Two overcurrent devices do not feed the same conductors side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.graph import closed_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.operating_mode import OperatingMode
    from permitgen.system.system import System


@rule(
    "devices-in-parallel",
    title="Two overcurrent devices do not feed the same conductors side by side",
    provision="devices_in_parallel",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge whether another device joins the same two places as this one.

    Requires: no second device between what lies on one side of it and what lies on the other, in any mode; sets of conductors in
        parallel have one device. Devices that a maker joined and listed as one are written as one.
    Why: two breakers on the same lugs let through both ratings, and opening one leaves everything live.
    Applies to: every device.
    Example that fails: two circuits on two 50 A breakers of one panel that end on the same lugs.
    Example that passes: one 100 A breaker with two sets of conductors.
    """
    beside = given.once_for_topology("devices in parallel", lambda: _side_by_side(given.system)).get(device.tag, ())
    if not beside and len(given.system.devices) == 1:
        return does_not_apply(f"{device.tag} is the only device")
    text = f"stands in parallel with {' and '.join(beside)}" if beside else "stands alone between what it joins"
    return require(not beside, f"{device.tag} {text}", places=(device.at,) if device.at is not None else ())


def _side_by_side(system: System) -> dict[str, tuple[str, ...]]:
    """Return by tag the devices that join the same two parts of the installation as the device called so."""
    found: dict[str, dict[str, None]] = {}
    for mode in system.modes:
        joined: dict[tuple[int, int], list[str]] = {}
        parts = _parts(system, mode)
        for device in system.devices.values():
            first, second = sorted(parts[node] for node in device.nodes)
            if first != second and mode in device.link.closed_in:
                joined.setdefault((first, second), []).append(device.tag)
        for tags in joined.values():
            for tag in tags:
                found.setdefault(tag, {}).update(dict.fromkeys(other for other in tags if other != tag))
    return {tag: tuple(others) for tag, others in found.items()}


def _parts(system: System, mode: OperatingMode) -> dict[str, int]:
    """Return by node the number of the part that hangs together in ``mode`` without a device and without a converter."""
    closed = closed_in(mode)
    parts: dict[str, int] = {}
    for node in system.graph.at_node:
        if node not in parts:
            reached = system.graph.reach([node], lambda link: link.device is None and not link.is_converter and closed(link))
            parts.update(dict.fromkeys(reached, len(parts)))
    return parts
