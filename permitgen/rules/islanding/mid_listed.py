"""The device that islands the house is listed for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule
from permitgen.system.islanding_switch import INTERCONNECT_LISTING

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.islanding_switch import IslandingSwitch


@rule(
    "mid-listed",
    title="The device that islands the house is listed for it",
    provision="microgrid_interconnect_device",
    judges="islanding switch",
)
def judge(switch: IslandingSwitch, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge the listing of what islands the house.

    Requires: listed, or field labeled, as a microgrid interconnect device; it then also reconnects in synchronism.
    Why: it alone stands between a live house and a dead line.
    Applies to: microgrid interconnect devices, and inverters that hold the function inside.
    Example that fails: a contactor in an enclosure, listed as an industrial control panel.
    Example that passes: a device listed for the purpose.
    """
    listed = switch.is_listed
    message = f"{switch.tag} is {'' if listed else 'not '}listed as a {INTERCONNECT_LISTING}"
    return require(listed, message, missing=f"what {switch.tag} is listed as")
