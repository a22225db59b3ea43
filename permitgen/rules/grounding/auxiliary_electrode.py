"""An auxiliary electrode at a machine or an array hangs on its grounding conductor; the earth is never the only way back.

Nobody asks for such a rod, and it needs neither a second one nor a low resistance.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.electrode_place import electrodes_apart_at
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "auxiliary-electrode",
    title="An auxiliary electrode at a machine or an array hangs on its grounding conductor; the earth is never the only way back",
    provision="auxiliary_electrode",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge equipment that has an electrode of its own beside the electrode system of the building.

    Requires: an equipment grounding conductor with every circuit of the equipment.
    Why: some ohms of earth let a ground fault go on for hours below the trip of any device.
    Applies to: equipment that the project says has an auxiliary electrode, or to which one apart from the buildings is joined.
    Example that fails: generator on a rod, its feeder without a grounding conductor.
    Example that passes: the same rod, a grounding conductor with the feeder.
    """
    if not item.answer("auxiliary_electrode") and not electrodes_apart_at(given, item.tag):
        return does_not_apply(f"{item.tag}: no auxiliary electrode stated, and none is asked for")
    tags = given.need(given.system.circuits_at.get(item.tag), f"circuits of {item.tag}, which has an auxiliary electrode")
    lacking = [tag for tag in tags if given.system.circuits[tag].conductors.has_no_egc]
    words = f"no equipment grounding conductor with {', '.join(lacking)}" if lacking else f"grounding conductors with {', '.join(tags)}"
    return require(not lacking, f"{item.tag}: an electrode of its own, and {words}")
