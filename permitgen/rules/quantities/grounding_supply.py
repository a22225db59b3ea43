"""The conductors that supply the building of an electrode system, by which its bonding conductors are chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.quantities.grounding_service_area import area_of, service_area
from permitgen.rules.quantities.siting_buildings import outside_supplies

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.grounding_service_area import ServiceArea
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


def supply_area(given: Given, item: GroundingElectrodeSystem) -> ServiceArea:
    """Return the area of the service conductors; at a second building that of its feeder.

    Raises:
        MissingFactError: a size is not stated.
    """
    feeders = [supply.circuit for supply in outside_supplies(given) if supply.equipment.tag in item.lands_at and supply.drawn]
    return area_of(given, feeders[:1]) if feeders else service_area(given)
