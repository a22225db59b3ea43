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

    Requires: a raceway from the required cover, at most 18 in, to 8 ft above grade; where something can strike it RMC, IMC, Schedule 80
        PVC or EMT.
    Why: mowers, cars and frost work where the pipe meets the ground.
    Applies to: buried runs that hold wiring.
    Example that fails: Schedule 40 PVC up to a meter beside a driveway.
    Example that passes: Schedule 40 PVC underground with risers of Schedule 80.
    """
    if not raceway.buried or not _holds_wiring(raceway, given):
        return does_not_apply(f"{raceway.tag} is not buried, or empty")
    provision = given.provision("riser_damage")
    permitted = provision.words("raceways")
    kind = raceway.riser or (raceway.kind if raceway.kind in permitted else None)
    found = given.need(kind, f"raceway in which {raceway.tag} comes out of the ground")
    message = f"{raceway.tag}: comes out of the ground in {found}"
    listed = f"permitted: {', '.join(permitted)}"
    if found in permitted:
        return require(fact=True, message=f"{message}; {listed}")
    exposed = raceway.answer("exposed_to_damage")
    says = f"{message}, exposed to damage; {listed}" if exposed else f"{message}, where nothing strikes it"
    missing = f"whether {raceway.tag} is exposed to physical damage"
    return require(None if exposed is None else not exposed, says, missing=missing).under(provision)


def _holds_wiring(raceway: Raceway, given: Given) -> bool:
    return bool(given.system.circuits_in_run[raceway.tag]) or any(raceway.tag in control.runs for control in given.system.controls.values())
