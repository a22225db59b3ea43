"""Beyond the service disconnect the neutral grounds nothing: a conductor or raceway of its own does.

Existing circuits of ranges and dryers, and existing feeders of three wires to another building, may stay as they are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.siting_buildings import keeps_three_wires
from permitgen.rules.rule import rule
from permitgen.system.equipment.utilization import Appliance
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit

# Appliances whose existing circuits may be grounded by the neutral.
KEPT = frozenset({"cooking", "dryer"})


@rule(
    "grounded-conductor-for-grounding",
    title="Beyond the service disconnect the neutral grounds nothing: a conductor or raceway of its own does",
    provision="grounded_conductor_for_grounding",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge whether a circuit beyond the service disconnect brings an equipment grounding conductor.

    Requires: a wire, raceway or shared conductor as equipment grounding conductor.
    Why: metal grounded by the neutral carries its current, and becomes live when the neutral breaks.
    Applies to: circuits on the load side of the service disconnect that have a neutral, or no grounding conductor.
    Example that fails: new subpanel on two phase wires and a neutral.
    Example that passes: the same with a grounding conductor.
    """
    conductors = circuit.conductors
    if role(given, circuit) is CircuitRole.SERVICE:
        return does_not_apply(f"{circuit.tag}: ahead of the service disconnect the neutral may ground enclosures")
    if not conductors.has_no_egc:
        if not conductors.has_neutral:
            return does_not_apply(f"{circuit.tag}: no neutral")
        return require(fact=True, message=f"{circuit.tag}: an equipment grounding conductor beside the neutral")
    if keeps_three_wires(given, circuit):
        return does_not_apply(f"{circuit.tag}: an existing feeder of three wires to another building (see outside-grounding)")
    used = [given.system.equipment[end.tag] for end in circuit.ends]
    kept = circuit.existing and any(isinstance(item, Appliance) and item.category in KEPT for item in used)
    if kept:
        message = (
            f"{circuit.tag}: existing range or dryer circuit grounded by its neutral; kept only where it comes from the service equipment"
        )
        judgement = require(fact=False, message=message, otherwise=Verdict.CAUTION)
        return judgement.under(given.provision("existing_range_and_dryer_grounding"))
    return require(fact=False, message=f"{circuit.tag}: no equipment grounding conductor beyond the service disconnect")
