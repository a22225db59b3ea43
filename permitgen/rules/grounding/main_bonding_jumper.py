"""The main bonding jumper is large enough for the service conductors, or came with the listed service equipment.

Sized by the largest ungrounded service conductor, parallel ones together; beyond the table 12.5 percent of their area.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_least
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.electrode_place import ElectrodePlace, electrode_place
from permitgen.rules.quantities.grounding_service_area import jumper_for, service_area
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "main-bonding-jumper",
    title="The main bonding jumper is large enough for the service conductors, or came with the listed service equipment",
    provision="main_bonding_jumper",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the jumper between neutral and equipment ground at the service.

    Requires: a jumper supplied with the listed equipment, or a wire with at least the table's area.
    Why: every ground fault current on the premises returns through it.
    Applies to: services with a grounded conductor.
    Example that fails: 6 AWG copper jumper, service of 4/0 AWG aluminum.
    Example that passes: 4 AWG copper jumper, the same service.
    """
    place = electrode_place(given, item)
    if place is not ElectrodePlace.SERVICE:
        return does_not_apply(f"{item.tag}: {place.value}")
    if not given.system.utility_nodes:
        return does_not_apply(f"{item.tag}: there is no service")
    if item.jumper_size is None:
        return require(
            True if item.jumper_is_factory else None,
            f"{item.tag}: main bonding jumper as supplied with the listed equipment",
            missing=f"main bonding jumper of {item.tag}: its size, or that it came with the equipment",
        )
    service = service_area(given)
    required = jumper_for(given, service, item.jumper_material)
    return require_at_least(
        f"{item.tag}: {item.jumper_size} {item.jumper_material} main bonding jumper; {required} is required for {service}",
        computed=area_of_size(given, item.jumper_size, "A_MBJ", f"area of the main bonding jumper, {item.jumper_size}"),
        limit=required.area_cmil,
    )
