"""A dwelling that an outside feeder supplies has an emergency disconnect outdoors and surge protection (from 2023)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.siting_buildings import is_stated_dwelling, supply_of_second_building
from permitgen.rules.rule import rule
from permitgen.rules.service.surge_protection import judge_device

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "outside-dwelling",
    title="A dwelling that an outside feeder supplies has an emergency disconnect outdoors and surge protection (from 2023)",
    provision="outside_emergency_disconnect",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the supply of a second dwelling: emergency disconnect and surge protection.

    Requires: the building's disconnect outdoors and readily accessible; a surge-protective device of 10 kA there.
    Why: firefighters need the same at a dwelling behind a feeder as at one with a service.
    Applies to: feeders to another building that is a dwelling.
    Example that fails: guest house whose only disconnect is the panel in its hall.
    Example that passes: disconnect on its outside wall, surge protection of 10 kA in it.
    """
    supply = supply_of_second_building(given, circuit)
    if supply is None or not given.need(is_stated_dwelling(given, supply.building), f"whether {supply.building} is a dwelling"):
        return does_not_apply(f"{circuit.tag}: supplies no second dwelling")
    item = supply.equipment
    facts = (item.place.outdoors, item.place.readily_accessible) if item.place is not None else (None, None)
    outside = False if False in facts else None if None in facts else True
    where = "outdoors, readily accessible" if outside else "not outdoors or not readily accessible"
    parts = [
        require(outside, f"{item.tag}: disconnect of {supply.building} {where}", missing=f"place of {item.tag}"),
        *parts_of(lambda: judge_device(item, given, given.provision("outside_surge_protection"))),
    ]
    return all_of(f"{circuit.tag}: emergency disconnect and surge protection at {supply.building}", parts)
