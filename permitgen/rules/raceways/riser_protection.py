"""Where wiring comes out of the ground it is protected up the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "riser-protection",
    title="Where wiring comes out of the ground it is protected up the wall",
    provision="riser_protection",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the raceway in which a buried run emerges.

    Requires: from the required cover, at most 18 in, to 8 ft above grade in RMC, IMC, Schedule 80 PVC or EMT.
    Why: mowers, cars and frost work where the pipe meets the ground.
    Applies to: buried runs that hold wiring.
    Example that fails: Schedule 40 PVC all the way up to the meter.
    Example that passes: Schedule 40 PVC underground with risers of Schedule 80.
    """
    if not raceway.buried or not _holds_wiring(raceway, given):
        return does_not_apply(f"{raceway.tag} is not buried, or empty")
    permitted = given.provision("riser_protection").words("raceways")
    kind = raceway.riser or (raceway.kind if raceway.kind in permitted else None)
    found = given.need(kind, f"raceway in which {raceway.tag} comes out of the ground")
    return require(found in permitted, f"{raceway.tag}: comes out of the ground in {found}; permitted: {', '.join(permitted)}")


def _holds_wiring(raceway: Raceway, given: Given) -> bool:
    return bool(given.system.circuits_in_run[raceway.tag]) or any(raceway.tag in control.runs for control in given.system.controls.values())
