"""The grounding electrode conductor is large enough for the service conductors.

A conductor that goes to rods only, to a concrete-encased electrode only, or to a ring only, need not exceed the size that the
code states for that electrode; where it goes on to a water pipe or building steel, it is sized by the service conductors.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, does_not_apply, require, require_at_least
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.electrode_place import ElectrodePlace, electrode_place, supply_area_apart
from permitgen.rules.quantities.grounding_electrodes import required_area, required_conductor
from permitgen.rules.quantities.grounding_service_area import area_together, service_area
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.grounding_service_area import ServiceArea
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
    from permitgen.system.system import System
    from permitgen.values.conductor_size import ConductorSize


@rule(
    "grounding-electrode-conductor-size",
    title="The grounding electrode conductor is large enough for the service conductors",
    provision="grounding_electrode_conductor_size",
    judges="grounding_electrode_system",
    sizes=("grounding electrode conductor",),
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the area of the conductor to the electrodes.

    Requires: area ≥ the table's for the largest ungrounded service conductor, or the cap of the electrodes it goes to alone.
    Why: it carries lightning and line surges to earth, and must not burn open.
    Applies to: the grounding electrode conductor of a service; apart from the buildings, by the conductors that end there.
    Example that fails: 8 AWG copper to a water pipe, service of 4/0 AWG aluminum: 4 AWG is required.
    Example that passes: 6 AWG copper to two ground rods only, whatever the service.
    """
    place = electrode_place(given, item)
    if place in (ElectrodePlace.SECOND_BUILDING, ElectrodePlace.POLE):
        return does_not_apply(f"{item.tag}: {place.value}")
    if "conductor" in item.absent:
        return require(fact=False, message=f"{item.tag}: there is no grounding electrode conductor")
    if "electrodes" in item.absent:
        return does_not_apply(f"{item.tag}: there is no electrode (see grounding-electrodes)")
    given.need(item.electrodes or None, f"electrodes of {item.tag}")
    if item.is_individual:
        return does_not_apply(f"{item.tag}: a conductor to each service disconnect (see grounding-electrode-taps)")
    service = _supply_area(item, place, given)
    required = required_conductor(given, item, service)
    size = given.need(item.conductor_size, f"grounding electrode conductor size of {item.tag}")
    limit = required_area(
        given,
        required,
        service,
        symbol="A_GEC",
        title=f"grounding electrode conductor, {required.size} {item.conductor_material}",
        provision=given.provision("grounding_electrode_conductor_size"),
    )
    alone = f" to {' and '.join(item.electrodes)} only"
    only = alone if required.is_capped else f" for {service}"
    return require_at_least(
        f"{item.tag}: {size} {item.conductor_material} grounding electrode conductor; {required.size} is required{only}",
        computed=area_of_size(given, size, "A", f"area of the grounding electrode conductor, {size}"),
        limit=limit,
        remedies=(_with_size(item, required.size),),
        places=(item.size_at,) if item.size_at else (),
    )


def _supply_area(item: GroundingElectrodeSystem, place: ElectrodePlace, given: Given) -> ServiceArea:
    """Apart from the buildings the conductors that end there count, at the service those of the service."""
    if place is ElectrodePlace.APART:
        return supply_area_apart(given, item)
    return area_together(given, item.lands_at) if len(item.lands_at) > 1 else service_area(given)


def _with_size(item: GroundingElectrodeSystem, size: ConductorSize) -> Remedy:
    def change(system: System) -> System:
        return system.with_equipment(replace(item, conductor_size=size))

    return Remedy(f"{size} {item.conductor_material} grounding electrode conductor", change)
