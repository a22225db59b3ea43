"""Storage where vehicles drive is protected from them, or stands out of their way."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.quantities.bollards import bollards_near
from permitgen.rules.quantities.plan_contradictions import shape_on_plan
from permitgen.rules.quantities.siting_places import SitingClass, siting_class, storage_units
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-vehicle-impact",
    title="Storage where vehicles drive is protected from them, or stands out of their way",
    provision="ess_impact_protection",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the protection of a storage unit from vehicles.

    Requires: a bollard, a wall, a place out of the path of vehicles, or a mount whose lower edge is 48 in above the floor or higher.
    Why: a bumper that crushes a battery starts a fire hours later.
    Applies to: storage units in garages and carports, and outdoors where the project says that vehicles pass.
    Example that fails: unit at bumper height at the end of a parking place, nothing in front of it; raised mount of 18 in.
    Example that passes: the same unit behind a bollard.
    """
    if unit not in storage_units(given):
        return does_not_apply(f"{unit.tag}: too small for the section")
    place = given.need(unit.place, f"place of {unit.tag}")
    kind = siting_class(given, unit)
    protection = place.word("vehicle_protection")
    if kind is not SitingClass.GARAGE and not protection:
        return does_not_apply(f"{unit.tag}: no vehicles where it is")
    given.need(protection or None, f"protection of {unit.tag} from vehicles")
    if protection == "raised mount":
        return _raised(unit, given)
    if protection == "none" and any(bollards_near(given.system, shape) for shape in shape_on_plan(given.system, unit)):
        asked = not_judged(f"protection of {unit.tag} from vehicles")
        return replace(asked, message=f"{asked.message}: it is said to have none, and the plan draws bollards before it")
    words = "not protected from vehicles" if protection == "none" else f"protected from vehicles: {protection}"
    return require(protection != "none", f"{unit.tag}: {words}")


def _raised(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """A mount protects where it holds the unit above the space in which vehicles drive."""
    stated = unit.place.fact("bottom_height") if unit.place is not None else None
    height = given.need(stated, f"height of the lower edge of {unit.tag}")
    limit = given.provision("ess_impact_protection").value("path_height_in")
    return require_at_least(f"{unit.tag}: raised mount, its lower edge {height.length} above the floor", computed=height, limit=limit)
