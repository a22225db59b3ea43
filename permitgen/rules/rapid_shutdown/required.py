"""Arrays with circuits on or in a building have rapid shutdown."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_on_or_in_building
from permitgen.system.walks.rapid_shutdown import initiators

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "rapid-shutdown-required",
    title="Arrays with circuits on or in a building have rapid shutdown",
    provision="rapid_shutdown_required",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge whether an array needs rapid shutdown and something starts it.

    Requires: a device that starts rapid shutdown, for every array whose circuits are on or in a building.
    Why: firefighters must be able to make the conductors they cut and climb over harmless.
    Applies to: all but ground-mounted circuits into a building that only houses PV equipment and, from 2023, open structures.
    Example that fails: a roof array without an initiator.
    Example that passes: a roof array with a rapid shutdown switch beside the meter.
    """
    exempt = exemption(array, given)
    if exempt is not None:
        return exempt
    found = [initiator.item.tag for initiator in initiators(given.system) if array.tag in initiator.arrays]
    by = f"is shut down by {' and '.join(found)}" if found else "has circuits on or in a building and nothing starts its rapid shutdown"
    judgement = require(bool(found), f"{array.tag} {by}")
    return replace(judgement, doubt=_doubt(array, given))


def exemption(array: PVArray, given: Given) -> Judgement | None:
    """Return why an array needs no rapid shutdown (or why that cannot be judged), None where it needs one."""
    on_building = is_on_or_in_building(given.system, array)
    if on_building is None:
        return not_judged(f"whether {array.tag} is on a building")
    if not on_building:
        return does_not_apply(f"{array.tag} and its circuits touch no building")
    if array.answer("pv_equipment_building"):
        provision = given.provision("rapid_shutdown_pv_equipment_building")
        return does_not_apply(f"{array.tag}: its circuits enter a building that only houses PV equipment").under(provision)
    if array.answer("unenclosed_structure") and given.in_force("rapid_shutdown_unenclosed_structure"):
        provision = given.provision("rapid_shutdown_unenclosed_structure")
        return does_not_apply(f"{array.tag} is on a detached structure that is not enclosed").under(provision)
    return None


def _doubt(array: PVArray, given: Given) -> str:
    if array.strings and given.provision("rapid_shutdown_controlled_conductors").flag("every_inverter_output"):
        return "this edition speaks of all PV system circuits; read literally, the ac output of the inverter is a controlled circuit too"
    return ""
