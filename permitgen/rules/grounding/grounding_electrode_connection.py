"""The grounding electrode conductor lands where the service is grounded.

It may be connected at any accessible point from the service point to the service disconnect, and not on the load side of it.
When the service disconnect moves into new equipment, the conductor moves with it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, RemedyKind, does_not_apply, require
from permitgen.rules.quantities.electrode_place import ElectrodePlace, electrode_place
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.rule import rule
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
    from permitgen.system.system import System


@rule(
    "grounding-electrode-connection",
    title="The grounding electrode conductor lands where the service is grounded",
    provision="neutral_bond_at_service",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge where the conductor to the electrodes ends.

    Requires: it ends in the enclosure of a service disconnect, or at the meter ahead of it.
    Why: on the load side it would ground the neutral a second time or leave the service without an electrode.
    Applies to: the grounding electrode conductor of a building with a service.
    Example that fails: it still ends in the old main panel after the interconnect device became the service equipment.
    Example that passes: it ends in the interconnect device that holds the service disconnect.
    """
    place = electrode_place(given, item)
    if place is not ElectrodePlace.SERVICE:
        return does_not_apply(f"{item.tag}: {place.value}")
    if not given.system.utility_nodes:
        return does_not_apply(f"{item.tag}: there is no service")
    if item.absent & {"lands_at", "conductor"}:
        return require(fact=False, message=f"{item.tag}: no grounding electrode conductor lands at the service")
    lands_at = given.need(item.lands_at or None, f"where the conductor of {item.tag} ends")
    enclosures = service_side(given).enclosures
    meters = {tag for tag, found in given.system.equipment.items() if found.is_metering}
    there = all(tag in enclosures or tag in meters for tag in lands_at)
    message = f"{item.tag}: grounding electrode conductor ends at {', '.join(lands_at)}"
    wanted = f"; the service disconnect is in {listed(enclosures)}" if enclosures and not there else ""
    return require(there, message + wanted, remedies=tuple(_landing_at(item, tag) for tag in enclosures), places=_place(item))


def _place(item: GroundingElectrodeSystem) -> tuple[object, ...]:
    at = item.where.get("lands_at")
    return (at,) if at is not None else ()


def _landing_at(item: GroundingElectrodeSystem, tag: str) -> Remedy:
    def change(system: System) -> System:
        return system.with_equipment(replace(item, lands_at=(tag,), sizes_to_each={}))

    return Remedy(f"land the grounding electrode conductor at {tag}", change, RemedyKind.MOVE)
