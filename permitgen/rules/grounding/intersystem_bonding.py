"""A termination for the bonding conductors of telephone, television and network stands outside the service equipment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.electrode_place import electrode_place
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "intersystem-bonding",
    title="A termination for the bonding conductors of telephone, television and network stands outside the service equipment",
    provision="intersystem_bonding",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the number of places for bonding conductors of other systems.

    Requires: a termination for at least three conductors.
    Why: lightning that raises one system above the other goes through the equipment that both reach.
    Applies to: buildings with a service.
    Example that fails: service equipment replaced, the old clamp of the telephone left behind.
    Example that passes: bar with four terminals beside the service equipment.
    """
    place = electrode_place(given, item)
    if not place.is_at_building:
        return does_not_apply(f"{item.tag}: {place.value}")
    if not given.system.utility_nodes:
        return does_not_apply(f"{item.tag}: there is no service")
    count = given.need(item.fact("intersystem_terminals"), f"terminals for intersystem bonding of {item.tag}")
    limit = given.provision("intersystem_bonding").value("points_count")
    return require_at_least(
        f"{item.tag}: {count.number:.0f} terminals for intersystem bonding, {limit.number:.0f} needed", computed=count, limit=limit
    )
