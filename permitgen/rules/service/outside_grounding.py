"""A second building has electrodes of its own, a grounding conductor with its supply, and no neutral bond.

One branch circuit with a grounding conductor needs no electrode. An existing feeder without a grounding conductor may keep the old
way, the neutral bonded at the second building, where no metal joins the two buildings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_least
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_electrodes import conductor_stated, required_conductor
from permitgen.rules.quantities.grounding_service_area import area_of, electrode_conductor_for
from permitgen.rules.quantities.siting_buildings import keeps_three_wires, supply_of_second_building
from permitgen.rules.rule import rule
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "outside-grounding",
    title="A second building has electrodes of its own, a grounding conductor with its supply, and no neutral bond",
    provision="outside_grounding",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge grounding at the building that a circuit supplies.

    Requires: an equipment grounding conductor with the supply; no neutral bond there, unless an existing feeder of three wires is kept
        and no metal joins the buildings; a conductor to electrodes at the building, sized by the supply conductors, unless one branch
        circuit supplies it.
    Why: a neutral bonded twice sends its current through the ground and everything metal in between.
    Applies to: circuits to a detached building.
    Example that fails: feeder with neutral and grounding conductor, bonding screw left in the garage panel.
    Example that passes: neutral isolated there, 8 AWG copper to a rod for a feeder of 6 AWG copper.
    """
    supply = supply_of_second_building(given, circuit)
    if supply is None:
        return does_not_apply(f"{circuit.tag}: supplies no second building")
    item = supply.equipment
    building = supply.building
    parts = parts_of(
        lambda: (
            _three_wire(given, circuit, item)
            if keeps_three_wires(given, circuit)
            else [_grounding_conductor(circuit), *_bond(circuit, item)]
        )
    )
    if role(given, circuit) is not CircuitRole.BRANCH:
        parts += _electrode_conductors(given, circuit, item, building)
    return all_of(f"{circuit.tag}: {supply.building} grounded by electrodes of its own and by the supply, neutral isolated", parts)


def _grounding_conductor(circuit: Circuit) -> Judgement:
    """Whether one comes with the supply; where neither a conductor nor a raceway nor its absence is stated, nobody knows."""
    conductors = circuit.conductors
    stated = not conductors.has_wire_egc or bool(conductors.egc_shared_with) or conductors.egc_size is not None
    there = False if conductors.has_no_egc else True if stated else None
    message = (
        f"{circuit.tag}: {'equipment grounding conductor with the supply' if there else 'no equipment grounding conductor with the supply'}"
    )
    return require(there, message, missing=f"equipment grounding conductor size of {circuit.tag}")


def _three_wire(given: Given, circuit: Circuit, item: Equipment) -> list[Judgement]:
    """An existing feeder of three wires: the neutral is the fault path, so it is bonded there, and nothing else joins the buildings."""
    provision = given.provision("outside_grounding_existing_feeder")
    bonded = item.neutral_bond.state.is_bonded if item.neutral_bond is not None else None
    paths = circuit.answer("metallic_paths_between_buildings")
    joined = "metal joins the buildings, so that a feeder with a grounding conductor is needed"
    parts = [
        require(
            bonded,
            f"{item.tag}: neutral {'bonded' if bonded else 'not bonded'} where the existing feeder {circuit.tag} brings no"
            " grounding conductor",
            missing=f"neutral bond of {item.tag}",
        ),
        require(
            None if paths is None else not paths,
            f"{circuit.tag}: {joined if paths else 'no metal joins the buildings'}",
            missing=f"whether pipes, shields or other metal join the buildings ({circuit.tag})",
        ),
    ]
    return [part.under(provision) for part in parts]


def _bond(circuit: Circuit, item: Equipment) -> list[Judgement]:
    if not circuit.conductors.has_neutral:
        return []
    bonded = item.neutral_bond.state.is_bonded if item.neutral_bond is not None else None
    message = f"{item.tag}: neutral {'bonded' if bonded else 'isolated'}"
    at = (item.neutral_bond.at,) if bonded and item.neutral_bond is not None and item.neutral_bond.at is not None else ()
    return [require(None if bonded is None else not bonded, message, missing=f"neutral bond of {item.tag}", places=at)]


def _electrode_conductors(given: Given, circuit: Circuit, item: Equipment, building: str) -> list[Judgement]:
    """The conductor may be told with the electrodes that it comes from or at the equipment where it lands; both count."""
    told = [each for each in given.system.equipment.values() if isinstance(each, GroundingElectrodeSystem) and item.tag in each.lands_at]
    parts = parts_for(told, lambda electrodes: _from_electrodes(given, circuit, electrodes))
    if not told or item.electrode_conductor_size is not None:
        parts += parts_of(lambda: _at_equipment(given, circuit, item, building))
    return parts


def _from_electrodes(given: Given, circuit: Circuit, electrodes: GroundingElectrodeSystem) -> Judgement:
    if "conductor" in electrodes.absent:
        return require(fact=False, message=f"{electrodes.tag}: there is no grounding electrode conductor")
    size = given.need(electrodes.conductor_size, f"grounding electrode conductor size of {electrodes.tag}")
    material = electrodes.conductor_material
    required = required_conductor(given, electrodes, area_of(given, [circuit])).size
    return require_at_least(
        f"{electrodes.tag}: {size} {material} grounding electrode conductor; {required} is required",
        computed=area_of_size(given, size, "A", f"area of the grounding electrode conductor of {electrodes.tag}, {size}"),
        limit=area_of_size(given, required, "A_GEC", f"grounding electrode conductor for {circuit.tag}, {required}"),
        places=(electrodes.size_at,) if electrodes.size_at else (),
    )


def _at_equipment(given: Given, circuit: Circuit, item: Equipment, building: str) -> Judgement:
    size = item.electrode_conductor_size
    if size is None:
        message = f"{item.tag}: no grounding electrode conductor at {building}"
        return require(conductor_stated([item]), message, missing=f"grounding electrode conductor of {item.tag} in {building}")
    required = electrode_conductor_for(given, area_of(given, [circuit]), "copper")
    return require_at_least(
        f"{item.tag}: {size} copper grounding electrode conductor; {required} is required",
        computed=area_of_size(given, size, "A", f"area of the grounding electrode conductor of {item.tag}, {size}"),
        limit=area_of_size(given, required, "A_GEC", f"grounding electrode conductor for {circuit.tag}, {required}"),
    )
