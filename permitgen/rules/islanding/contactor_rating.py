"""The contactor of an interconnect device carries what the device ahead of it lets through."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require_at_least
from permitgen.rules.quantities.busbar_feeds import protecting_rating
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice


@rule(
    "contactor-rating",
    title="The contactor of an interconnect device carries what the device ahead of it lets through",
    provision="microgrid_interconnect_device",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Judge the rated current of the contactor.

    Requires: contactor rating ≥ the overcurrent device between it and the utility.
    Why: a contactor that welds shut does not island.
    Applies to: microgrid interconnect devices.
    Example that fails: a 100 A contactor behind a 200 A main.
    Example that passes: a 200 A contactor there.
    """
    rating = given.need(device.contactor_rating_a, f"rating of the contactor of {device.tag}").named(
        "I_K", f"rating of the contactor of {device.tag}"
    )
    ahead = protecting_rating(given, given.system.busbars[device.tag])
    message = f"{device.tag}: contactor of {rating.number:g} A behind a breaker or fuse of {ahead.number:g} A"
    return require_at_least(message, computed=rating, limit=ahead)
