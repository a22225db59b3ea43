"""The conductor that bonds metal water piping is sized like the service's bonding jumper.

Where the pipe is an electrode its grounding electrode conductor bonds it. Gas piping may be bonded by the grounding conductor of the
circuit that can make it live, and needs no size of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_least
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.electrode_place import electrode_place
from permitgen.rules.quantities.grounding_electrodes import is_untouched, kinds_of
from permitgen.rules.quantities.grounding_service_area import jumper_for
from permitgen.rules.quantities.grounding_supply import supply_area
from permitgen.rules.rule import rule
from permitgen.system.equipment.grounding_electrode_system import NO_METAL
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
    from permitgen.values.value import Value


@rule(
    "water-piping-bonding",
    title="The conductor that bonds metal water piping is sized like the service's bonding jumper",
    provision="water_piping_bonding",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the size of the bonding conductor of metal water piping.

    Requires: area ≥ the bonding-jumper table's for the service conductors, in a second building for its feeder; from 2020 never more
        than 3/0 AWG copper.
    Why: pipes run through every room; the wire must carry a fault until the service's device opens.
    Applies to: buildings with metal water piping that is no electrode, or has a bonding conductor of its own, unless electrodes and the
        equipment at their conductor stay as they are.
    Example that fails: 6 AWG copper, service of 4/0 AWG aluminum; 4 AWG is required.
    Example that passes: 4 AWG copper, the same service.
    """
    place = electrode_place(given, item)
    if not place.is_at_building:
        return does_not_apply(f"{item.tag}: {place.value}")
    if not given.system.utility_nodes or is_untouched(given, item):
        return does_not_apply(f"{item.tag}: no service, or existing grounding that stays")
    if item.word("water_piping") in NO_METAL or ("water pipe" in kinds_of(item) and item.water_bonding_size is None):
        return does_not_apply(f"{item.tag}: no metal water piping, or an electrode, bonded by its conductor")
    if item.answer("water_piping_bonded") is False:
        return does_not_apply(f"{item.tag}: water piping not bonded (see metal-piping-bonding)")
    if "water_bonding_conductor" in item.absent:
        return require(fact=False, message=f"{item.tag}: no conductor bonds the metal water piping")
    size = given.need(item.water_bonding_size, f"bonding conductor of the water piping of {item.tag}, or that the piping is plastic")
    required = jumper_for(given, supply_area(given, item), "copper")
    limit = _capped(given, required.area_cmil)
    return require_at_least(
        f"{item.tag}: {size} copper bonds the water piping; {required} is required",
        computed=area_of_size(given, size, "A_water", f"area of the bonding conductor of the water piping, {size}"),
        limit=limit,
    )


def _capped(given: Given, area: Value) -> Value:
    provision = given.provision("water_piping_bonding")
    if not provision.has("largest_copper_size"):
        return area
    largest = ConductorSize(provision.text("largest_copper_size"))
    cap = area_of_size(given, largest, "A_cap", f"largest bonding conductor of water piping, {largest}")
    return min(area, cap, key=lambda value: value.number)
