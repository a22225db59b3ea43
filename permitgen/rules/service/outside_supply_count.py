"""A second building is supplied by one feeder or branch circuit, unless further ones serve power production.

A multiwire branch circuit counts as one. Storage, solar and generators at the second building may have circuits of their own.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.siting_buildings import outside_supplies, supply_of_second_building
from permitgen.rules.rule import rule
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Whole


@rule("outside-supply-count", provision="outside_feeder_count", judges="system")
def judge(_subject: Whole, given: Given) -> Judgement:
    """Judge how many circuits supply each building other than the one with the service.

    Requires: one feeder or branch circuit for each further building; those of power sources do not count.
    Why: whoever opens the disconnect of a building must be sure that it is dead.
    Applies to: detached buildings.
    Example that fails: a detached garage with two branch circuits of its own.
    Example that passes: a detached garage with one feeder, and the circuit of a storage unit beside it.
    """
    circuits: dict[str, list[str]] = defaultdict(list)
    for supply in outside_supplies(given):
        if not supply.building:
            supply_of_second_building(given, supply.circuit)
        if supply.drawn and not role(given, supply.circuit).is_source_output:
            circuits[supply.building].append(supply.circuit.tag)
    if not circuits:
        return does_not_apply("no circuit supplies a second building")
    limit = given.provision("outside_feeder_count").value("largest_count")
    parts = [
        require_at_most(
            f"{building}: supplied by {', '.join(tags)}",
            computed=Value(float(len(tags)), "count", FromSystem("counted on the graph"), "n", f"circuits that supply {building}"),
            limit=limit,
        )
        for building, tags in circuits.items()
    ]
    return all_of("one circuit supplies each further building", parts)
