"""Equipment that performs rapid shutdown is listed for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rapid_shutdown.required import exemption
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "rapid-shutdown-equipment",
    title="Equipment that performs rapid shutdown is listed for it",
    provision="rapid_shutdown_equipment",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the listing of what brings the voltage down.

    Requires: the inverters, converters or switches at the array that perform rapid shutdown are listed for it.
    Why: only a listing tells that the voltage is down in time and stays down.
    Applies to: arrays that need rapid shutdown; plain switches that only start it need no such listing.
    Example that fails: electronics at the modules without the listing.
    Example that passes: microinverters listed for rapid shutdown.
    """
    exempt = exemption(array, given)
    if exempt is not None:
        return exempt
    listed = array.answer("rapid_shutdown_listed")
    message = f"{array.tag}: its equipment is {'' if listed else 'not '}listed for rapid shutdown"
    return require(listed, message, missing=f"whether the equipment at {array.tag} is listed for rapid shutdown")
