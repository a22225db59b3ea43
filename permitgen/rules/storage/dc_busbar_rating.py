"""The busbar of a dc combiner carries 125 percent of the current of its batteries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.currents import required_continuous_current_a
from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.storage_current import dc_busbar_current
from permitgen.rules.rule import rule
from permitgen.system.walks.dc_circuits import storage_joined

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.dc_combiner import DCCombiner


@rule(
    "ess-busbar-rating",
    title="The busbar of a dc combiner carries 125 percent of the current of its batteries",
    provision="ess_conductors",
    judges="dc_combiner",
)
def judge(combiner: DCCombiner, given: Given) -> Judgement:
    """Judge the busbar on which batteries meet as the conductor of a storage circuit that it is.

    Requires: busbar rating ≥ 125 percent of what the batteries state together or of what the inverters draw, whichever is more.
    Why: the bar between the batteries and the inverter carries the current of all of them for hours.
    Applies to: dc combiners with storage. No section names the bar; it is read as a conductor of the circuit, which it is.
    Example that fails: a 200 A bar for three batteries of 60 A.
    Example that passes: a 250 A bar there.
    """
    if not storage_joined(given.system, combiner.bus_node):
        return does_not_apply(f"{combiner.tag}: no battery is joined to it")
    rating = given.need(combiner.busbar_rating_a, f"busbar rating of {combiner.tag}").named("I_bus")
    provision = given.provision("ess_conductors")
    required = required_continuous_current_a.derive(
        continuous_factor=provision.value("continuous_factor"),
        continuous_a=dc_busbar_current(given, combiner.tag, combiner.bus_node),
        provision=provision,
        title=f"required rating of the dc busbar {combiner.tag}",
    )
    message = f"{combiner.tag}: a dc busbar of {rating.figure} A, {required.number:.4g} A needed"
    return require_at_least(message, computed=rating, limit=required)
