"""An array on a building shares the building's electrodes; a structure in the field has its own, unless one circuit serves it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.quantities.array_buildings import building_of_array
from permitgen.rules.quantities.array_structure import circuits_to_structure, is_one_with_grounding
from permitgen.rules.quantities.building_use import is_apart_from_house
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.electrode_place import electrodes_apart_at
from permitgen.rules.quantities.siting_buildings import outside_supplies
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_array_on_building

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray


@rule(
    "pv-grounding-electrode",
    title="An array on a building shares the building's electrodes; a structure in the field has its own, unless one circuit serves it",
    provision="pv_grounding_electrode",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the electrode of an array that stands on the ground or on a structure apart.

    Requires: an electrode at the structure, unless a single circuit with a grounding conductor serves it. Circuits that begin and end at
        the structure serve nothing from elsewhere.
    Why: steel in the field collects lightning and stray voltage of its own.
    Applies to: arrays on the ground, and on buildings apart from the house to which nothing but their circuits leads; on the house and
        on what a feeder supplies the grounding conductor of the circuits reaches the electrodes of the building.
    Example that fails: ground mount with three strings to an inverter at the house, no electrode.
    Example that passes: the same on driven piles that serve as electrode; the inverter on the frame, one ac circuit leads away.
    """
    on_building = given.need(is_array_on_building(array), f"whether {array.tag} is on a building")
    if on_building and _has_electrodes(given, building_of_array(given, array)):
        return does_not_apply(f"{array.tag}: on {array.on_building or 'a building'}, whose electrodes serve it")
    where = building_of_array(given, array) if on_building else "its structure"
    serving = circuits_to_structure(given, array)
    if is_one_with_grounding(serving.circuits) and not serving.asked:
        return require(fact=True, message=f"{array.tag}: one circuit with a grounding conductor ({serving.tags}), no electrode needed")
    there = True if electrodes_apart_at(given, array.tag) else array.answer("electrode_at_structure")
    if there is False and serving.asked:
        return not_judged(*serving.asked)
    return require(
        there,
        f"{array.tag}: {'an' if there else 'no'} electrode at {where}, which {len(serving.circuits)} circuits serve ({serving.tags})",
        missing=f"whether the structure of {array.tag} has an electrode",
    )


def _has_electrodes(given: Given, building: str) -> bool:
    """Whether a building has electrodes to be judged elsewhere: the house, what is not known to stand apart, what a circuit supplies."""
    if not is_apart_from_house(given, building):
        return True
    return any(each.building == building and not role(given, each.circuit).is_source_output for each in outside_supplies(given))
