"""One-pole overcurrent devices of PV dc circuits all sit in the same polarity."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.walks.dc_circuits import dc_circuits
from permitgen.system.walks.in_series import devices_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.overcurrent_device import OvercurrentDevice


@rule(
    "pv-overcurrent-one-pole",
    title="One-pole overcurrent devices of PV dc circuits all sit in the same polarity",
    provision="pv_overcurrent_one_pole",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge where the one-pole devices of an array's strings sit.

    Requires: all in the positive conductors, or all in the negative ones.
    Why: two strings in parallel, one fused in + and the other in −, leave a path without any fuse.
    Applies to: arrays with two and more one-pole devices on their dc circuits; a two-pole device opens both conductors.
    Example that fails: string A with its fuse in +, string B with its fuse in −.
    Example that passes: both fuses in +.
    """
    devices = _one_pole(array, given)
    if not devices:
        return does_not_apply(f"{array.tag}: no one-pole overcurrent device on its dc circuits")
    if len(devices) == 1:
        return require(fact=True, message=f"{array.tag}: a single one-pole device, at {next(iter(devices))}")
    open_ = [f"polarity of the one-pole device at {end}" for end, device in devices.items() if not device.polarity]
    if open_:
        return not_judged(*open_)
    found = sorted({device.polarity for device in devices.values()})
    where = ", ".join(devices)
    return require(len(found) == 1, f"{array.tag}: one-pole devices in the {' and the '.join(found)} conductors ({where})")


def _one_pole(array: PVArray, given: Given) -> dict[str, OvercurrentDevice]:
    """Return the one-pole devices on the dc circuits that the array's strings reach, by their id."""
    found: dict[str, OvercurrentDevice] = {}
    for name in array.strings:
        for circuit in dc_circuits(given.system, f"{array.tag}.{name}"):
            for installed in devices_in_series(given.system, circuit):
                if installed.device.poles == 1:
                    found[installed.tag] = installed.device
    return found
