"""A dc combiner withstands the fault current of all its batteries together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.battery_fault import fault_current_together
from permitgen.rules.rule import rule
from permitgen.system.walks.dc_circuits import inverters_fed, storage_joined
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.dc_combiner import DCCombiner
    from permitgen.values.value import Value


@rule(
    "ess-busbar-short-circuit",
    title="A dc combiner withstands the fault current of all its batteries together",
    provision="short_circuit_current_rating",
    judges="dc_combiner",
)
def judge(combiner: DCCombiner, given: Given) -> Judgement:
    """Judge the short-circuit current rating of the busbar on which batteries meet.

    Requires: rating ≥ sum of the declared fault currents of all batteries joined to it and of what comes back through the inverters.
    Why: a fault on the bar is fed by every battery at once.
    Applies to: dc combiners with storage.
    Example that fails: a 10 kA combiner with two batteries of 6 kA.
    Example that passes: a 20 kA combiner there.
    """
    units = storage_joined(given.system, combiner.bus_node)
    if not units:
        return does_not_apply(f"{combiner.tag}: no battery is joined to it")
    inverters = inverters_fed(given.system, combiner.bus_node)
    # The batteries alone first: what they exceed is exceeded, whatever comes back.
    sides = ((units, ()), (units, inverters)) if inverters else ((units, ()),)
    parts = parts_for(sides, lambda side: _withstands(combiner, fault_current_together(given, *side, combiner.tag), given))
    return all_of(f"{combiner.tag}: it withstands the fault current of its batteries", parts)


def _withstands(combiner: DCCombiner, available: Value, given: Given) -> Judgement:
    stated = given.need(combiner.short_circuit_rating_ka, f"short-circuit current rating of {combiner.tag}")
    rating = selected(
        stated.number * 1000, "a", by="in amperes", inputs=(stated,), symbol="SCCR", title=f"short-circuit current rating of {combiner.tag}"
    )
    message = f"{combiner.tag}: {available.number / 1000:.3g} kA available, short-circuit current rating {stated.figure} kA"
    return require_at_least(message, computed=rating, limit=available)
