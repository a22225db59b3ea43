"""The clamp on a water pipe that is an electrode sits near the place where the pipe enters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.quantities.grounding_electrodes import is_untouched, kinds_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem


@rule(
    "water-connection",
    title="The clamp on a water pipe that is an electrode sits near the place where the pipe enters",
    provision="water_pipe_connection",
    judges="grounding_electrode_system",
)
def judge(item: GroundingElectrodeSystem, given: Given) -> Judgement:
    """Judge the distance of the clamp from the entrance of the pipe.

    Requires: at most 5 ft of interior pipe between entrance and clamp.
    Why: the next plumber replaces a length of pipe with plastic, and the electrode is gone.
    Applies to: grounding with a metal water pipe as electrode, unless electrodes and the equipment at their conductor stay as they are.
    Example that fails: a clamp 12 ft inside.
    Example that passes: a clamp 4 ft inside.
    """
    if is_untouched(given, item) or "water pipe" not in kinds_of(item):
        return does_not_apply(f"{item.tag}: existing grounding that stays, or no water pipe among its electrodes")
    distance = given.need(item.fact("water_connection"), f"distance of the clamp on the water pipe of {item.tag} from its entrance")
    limit = given.provision("water_pipe_connection").value("from_entrance_ft")
    message = f"{item.tag}: the clamp sits {distance.length} from the entrance of the water pipe, at most {limit.length}"
    return require_at_most(message, computed=distance, limit=limit)
