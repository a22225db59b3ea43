"""The voltage of a bipolar array takes more facts than a project file holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "pv-bipolar-voltage",
    title="The voltage of a bipolar array takes more facts than a project file holds",
    provision="pv_bipolar_voltage",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the voltage that counts for a bipolar array.

    Requires: monopole to reference counts alone only where both parts are wired apart, functionally grounded, and isolated on a fault.
    Why: where the reference opens, both parts stand in series across whatever bridged them: twice the voltage.
    Applies to: arrays stated to be bipolar. A string is a two-wire circuit here; two monopoles on one reference cannot be described.
    Example that fails: none is computed; a bipolar array is not judged, and its maximum voltage with it.
    Example that passes: a two-wire array, to which this does not apply.
    """
    del given
    if not array.answer("bipolar"):
        return does_not_apply(f"{array.tag}: its strings are two-wire circuits")
    return not_judged(f"voltage of each monopole of {array.tag} to the reference, and how the two are wired, grounded and isolated")
