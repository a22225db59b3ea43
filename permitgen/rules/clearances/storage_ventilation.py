"""Batteries that give off hydrogen are ventilated; lithium and sodium batteries in listed units are not of that kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "storage-ventilation",
    title="Batteries that give off hydrogen are ventilated; lithium and sodium batteries in listed units are not of that kind",
    provision="ess_location",
    judges="energy_storage_system",
)
def judge(unit: EnergyStorageSystem, given: Given) -> Judgement:
    """Judge the ventilation where storage stands.

    Requires: natural or mechanical ventilation of the space.
    Why: four parts of hydrogen in a hundred of air explode.
    Applies to: chemistries that form hydrogen, indoors.
    Example that fails: flooded lead-acid batteries in a closed utility room.
    Example that passes: the same with a vent to the outside.
    """
    provision = given.provision("ess_location")
    chemistry = given.need(unit.chemistry.casefold() or None, f"chemistry of {unit.tag}")
    if any(word in chemistry for word in provision.words("forms_no_hydrogen")):
        return does_not_apply(f"{unit.tag}: {unit.chemistry} forms no hydrogen")
    known = any(word in chemistry for word in provision.words("forms_hydrogen"))
    given.need(known or None, f'whether the chemistry of {unit.tag} ("{unit.chemistry}") forms hydrogen')
    place = given.need(unit.place, f"place of {unit.tag}")
    if given.need(place.outdoors, f"whether {unit.tag} is outdoors"):
        return does_not_apply(f"{unit.tag}: outdoors")
    ventilation = given.need(place.word("ventilation") or None, f"ventilation where {unit.tag} is located")
    there = ventilation != "none"
    words = f"{ventilation} ventilation" if there else "no ventilation"
    message = f"{unit.tag}: {unit.chemistry}, which forms hydrogen; {words} where it is"
    parts = [require(there, message).under(provision)]
    if given.in_force("ess_ventilation"):
        parts.append(require(there, message).under(given.provision("ess_ventilation")))
    return all_of(message, parts)
