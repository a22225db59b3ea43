"""The equipment grounding conductor is large enough for the overcurrent device ahead of the circuit.

The table is read by "not exceeding": a 45 A device takes the 60 A row. A conductor larger than the circuit's own is never
required. One conductor may serve several circuits in a raceway, by the largest device. Parallel sets, and the
raceways of ways side by side, have a full-size one each.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_least
from permitgen.rules.larger_conductor import with_grounding
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_conductor_device import PV_ROLES, governing_device_rating
from permitgen.rules.quantities.grounding_conductor_size import by_device, grounding_conductor_owner
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "equipment-grounding-conductor-size",
    title="The equipment grounding conductor is large enough for the overcurrent device ahead of the circuit",
    provision="equipment_grounding_conductor_size",
    judges="circuit",
    sizes=("equipment grounding conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the area of the grounding conductor against the table's, both in circular mils.

    Requires: area of the equipment grounding conductor ≥ area of the table's size for the device ahead, or of the circuit conductors.
    Why: it must carry a ground fault long enough for the device to open.
    Applies to: circuits with a wire as grounding conductor; not to service conductors, which are grounded through the neutral.
    Example that fails: 14 AWG copper with a 20 A device; 12 AWG is required.
    Example that passes: 10 AWG copper with a 45 A device, which takes the 60 A row.
    """
    if role(given, circuit) is CircuitRole.SERVICE:
        return does_not_apply(f"{circuit.tag}: service conductors are grounded through the grounded conductor")
    if circuit.conductors.has_no_egc:
        return does_not_apply(f"{circuit.tag}: no equipment grounding conductor (see grounded-conductor-for-grounding)")
    if not circuit.conductors.has_wire_egc:
        return does_not_apply(f"{circuit.tag}: a metal raceway is the equipment grounding conductor")
    owner = grounding_conductor_owner(given, circuit)
    if owner is not circuit and not (circuit.ways and all(set(owner.runs) & set(way.runs) for way in circuit.ways)):
        return require(fact=False, message=f"{circuit.tag} shares the grounding conductor of {owner.tag} but is in another raceway")
    if owner.conductors.has_no_egc:
        return require(fact=False, message=f"{circuit.tag} shares the grounding conductor of {owner.tag}, which has none")
    size = given.need(owner.conductors.egc_size, f"equipment grounding conductor size of {owner.tag}")
    required = by_device(given, circuit)
    judgement = require_at_least(
        f"{circuit.tag}: {size} {owner.conductors.egc_material} grounding conductor; {required.rating_a.figure} A needs {required.size}",
        computed=area_of_size(given, size, "A_EGC", f"area of the grounding conductor, {size}"),
        limit=required.area_cmil,
        remedies=(with_grounding(owner, required.size),),
        places=(owner.conductors.egc_at,) if owner.conductors.egc_at else (),
    )
    if role(given, circuit) in PV_ROLES:
        judgement = judgement.under(given.provision("pv_equipment_grounding_conductor_size"))
    elif circuit.conductors.sets > 1:
        judgement = judgement.under(given.provision("equipment_grounding_conductor_parallel"))
    return replace(judgement, values=(governing_device_rating(given, circuit),))
