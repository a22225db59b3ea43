"""The device that islands the house is listed for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice

_LISTING = "microgrid interconnect device"


@rule("mid-listed", provision="microgrid_interconnect_device", judges="microgrid_interconnect_device")
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge the listing of an interconnect device.

    Requires: listed, or field labeled, as a microgrid interconnect device; it then also reconnects in synchronism.
    Why: it alone stands between a live house and a dead line.
    Applies to: microgrid interconnect devices.
    Example that fails: a contactor in an enclosure, listed as an industrial control panel.
    Example that passes: a device listed for the purpose.
    """
    listed = _LISTING in device.listed_as if device.listed_as else None
    message = f"{device.tag} is {'' if listed else 'not '}listed as a {_LISTING}"
    return require(listed, message, missing=f"what {device.tag} is listed as")
