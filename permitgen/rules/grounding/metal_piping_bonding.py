"""Metal water and gas piping of the building is bonded, and stays so when the service equipment moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.quantities.electrode_place import electrode_place
from permitgen.rules.rule import rule
from permitgen.system.equipment.grounding_electrode_system import NO_METAL

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "metal-piping-bonding",
    title="Metal water and gas piping of the building is bonded, and stays so when the service equipment moves",
    provision="metal_piping_bonding",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge whether metal piping is bonded; piping of plastic, and where there is none, has nothing to bond.

    Requires: metal water piping and metal gas piping bonded to the service.
    Why: a pipe that a fault makes live is touched all over the house.
    Applies to: buildings with a service.
    Example that fails: service moved to the interconnect device, bonding conductor of the water pipe cut.
    Example that passes: both pipings bonded.
    """
    place = electrode_place(given, item)
    if not place.is_at_building:
        return does_not_apply(f"{item.tag}: {place.value}")
    if not given.system.utility_nodes:
        return does_not_apply(f"{item.tag}: there is no service")
    parts = []
    for piping in ("water", "gas"):
        if item.word(f"{piping}_piping") in NO_METAL:
            parts.append(does_not_apply(f"{item.tag}: no metal {piping} piping"))
            continue
        bonded = item.answer(f"{piping}_piping_bonded")
        words = f"{item.tag}: metal {piping} piping {'bonded' if bonded else 'not bonded'}"
        parts.append(require(bonded, words, missing=f"whether metal {piping} piping is bonded ({item.tag})"))
    return all_of(f"{item.tag}: metal water and gas piping bonded", parts)
