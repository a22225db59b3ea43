"""Several emergency disconnects of a dwelling stand in one group."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.quantities.dwelling_carried import serves_small_dwelling
from permitgen.rules.quantities.dwelling_units import has_untold_units, units_behind
from permitgen.rules.quantities.emergency_disconnects import emergency_ways
from permitgen.rules.quantities.grouped_places import groups_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.utility_service import UtilityService


@rule(
    "emergency-disconnect-grouping",
    title="Several emergency disconnects of a dwelling stand in one group",
    provision="emergency_disconnect_grouping",
    judges="utility_service",
)
def judge(service: UtilityService, given: Given) -> Judgement:
    """Judge whether whoever opens one emergency disconnect finds the others.

    Requires: the emergency disconnects at one wall of one space, or in sight of each other; those of each dwelling unit by themselves.
    Why: a firefighter opens the switch that is there, and takes the house for dead.
    Applies to: services with an emergency disconnect that is not the service disconnect; several service disconnects without one are
        judged by service-disconnect-grouping.
    Example that fails: two panels, each with an emergency disconnect on another wall.
    Example that passes: both switches side by side.
    """
    small = serves_small_dwelling(given, service.tag)
    if small is False:
        return does_not_apply(f"{service.tag}: not a one- or two-family dwelling")
    ways = emergency_ways(given, service.tag)
    if all(way.equipment.status == "existing" for way in ways):
        return does_not_apply(f"{service.tag}: no service equipment, or it is existing and stays")
    if not any(way.switches for way in ways):
        return does_not_apply(f"{service.tag}: its service disconnects alone serve as emergency disconnects")
    items = {each.tag: each for way in ways for each in way.switches or (way.equipment,)}
    if len(items) == 1:
        return does_not_apply(f"{service.tag}: {next(iter(items))} is the one emergency disconnect")
    groups = groups_of(given, tuple(items.values()))
    named = " and ".join(items)
    if len(groups) == 1:
        return require(fact=True, message=f"{named}: emergency disconnects in one group")
    if has_untold_units(given):
        given.need(None, "the dwelling units and what serves each (site.buildings, units)")
    alone = _serve_units_of_their_own(given, groups)
    message = f"{named}: emergency disconnects in different places{', each for dwelling units of its own' if alone else ''}"
    found = require(alone, message)
    return found if small or found.holds else not_judged(f"whether {service.tag} supplies a one- or two-family dwelling")


def _serve_units_of_their_own(given: Given, groups: tuple[tuple[Equipment, ...], ...]) -> bool:
    served = [{unit.name for item in group for unit in units_behind(given, item.tag)} for group in groups]
    names = [name for units in served for name in units]
    return all(served) and len(names) == len(set(names))
