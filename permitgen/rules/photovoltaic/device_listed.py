"""Overcurrent devices of PV dc circuits are listed for PV."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import circuits_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "pv-device-listed",
    title="Overcurrent devices of PV dc circuits are listed for PV",
    provision="pv_device_listed",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the listing of one device of a PV dc circuit.

    Requires: a fuse or breaker listed for PV.
    Why: a string's fault current is hardly more than its working current; an ordinary fuse may sit in it glowing and not open.
    Applies to: devices in series with PV dc circuits.
    Example that fails: a general-purpose dc fuse in a string.
    Example that passes: a fuse listed for PV.
    """
    if not any(role(given, circuit) is CircuitRole.PV_DC for circuit in circuits_in_series(given.system, device)):
        return does_not_apply(f"{device.tag} is in no PV dc circuit")
    listed = device.device.answer("listed_for_pv")
    return require(
        listed,
        f"{device.tag}: device of a PV dc circuit, {'' if listed else 'not '}listed for PV",
        missing=f"whether the device at {device.tag} is listed for PV",
        places=(device.at,) if device.at is not None else (),
    )
