"""A dc combiner is marked for the highest voltage of its batteries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_most
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.dc_voltage import storage_voltage
from permitgen.rules.rule import rule
from permitgen.system.walks.batteries import batteries_among
from permitgen.system.walks.dc_circuits import storage_joined

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.dc_combiner import DCCombiner
    from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem


@rule(
    "ess-busbar-voltage",
    title="A dc combiner is marked for the highest voltage of its batteries",
    provision="listed_and_instructed",
    judges="dc_combiner",
)
def judge(combiner: DCCombiner, given: Given) -> Judgement:
    """Judge the marked dc voltage of a combiner against each battery on it.

    Requires: marked dc voltage ≥ maximum dc voltage of every battery joined to it.
    Why: the distances between bars of an enclosure made for less flash over.
    Applies to: dc combiners with storage.
    Example that fails: a combiner marked 60 V with batteries that charge to 62 V.
    Example that passes: one marked 80 V there.
    """
    tags = [source.tag for source in storage_joined(given.system, combiner.bus_node)]
    units = batteries_among(given.system, tags)
    if not units:
        return does_not_apply(f"{combiner.tag}: no battery is joined to it")
    return all_of(f"{combiner.tag}: marked for the voltage of its batteries", parts_for(units, lambda unit: _one(combiner, unit, given)))


def _one(combiner: DCCombiner, unit: EnergyStorageSystem, given: Given) -> Judgement:
    marked = given.need(combiner.marked_v, f"dc voltage for which {combiner.tag} is marked")
    volts = storage_voltage(given, unit)
    message = f"{combiner.tag}: {unit.tag} reaches {volts.figure} V, marked for {marked.figure} V"
    return require_at_most(message, computed=volts, limit=marked)
