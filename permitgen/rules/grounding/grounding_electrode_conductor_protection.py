"""A small grounding electrode conductor runs in a raceway or armor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "grounding-electrode-conductor-protection",
    title="A small grounding electrode conductor runs in a raceway or armor",
    provision="grounding_electrode_conductor_installation",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge whether a conductor of 8 AWG is protected.

    Requires: 8 AWG in a raceway or armor; 6 AWG and larger may follow the surface where nothing damages it.
    Why: a thin wire along a wall is torn off by the first ladder.
    Applies to: grounding electrode conductors.
    Example that fails: 8 AWG copper stapled along the wall.
    Example that passes: 6 AWG copper stapled along the wall.
    """
    size = given.need(item.conductor_size, f"grounding electrode conductor size of {item.tag}")
    smallest = ConductorSize(given.provision("grounding_electrode_conductor_installation").text("protected_size"))
    if size > smallest:
        return require(fact=True, message=f"{item.tag}: {size} may follow the surface of the building")
    where = "in a raceway" if item.in_raceway else "not in a raceway"
    return require(
        item.in_raceway,
        f"{item.tag}: {size} grounding electrode conductor {where}",
        missing=f"whether the conductor of {item.tag} is in a raceway",
    )
