"""Underground feeder cable serves no service entrance and lies in the sun only where it is made for that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.raceways.sunlight import judge_in_sun
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "uf-cable",
    title="Underground feeder cable serves no service entrance and lies in the sun only where it is made for that",
    provision="uf_cable_uses",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge where UF-B cable runs.

    Requires: no service conductors in it; out of the sun, or identified as sunlight resistant.
    Why: its jacket cracks in sunlight, and it is not made for conductors without a device ahead.
    Applies to: UF-B cable; its ampacity is read with the circuit, at 60 °C.
    Example that fails: UF-B along a sunlit wall, without the mark.
    Example that passes: UF-B underground.
    """
    if raceway.kind != "UF-B cable":
        return does_not_apply(f"{raceway.tag} is not UF-B cable")
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag])
    service = [circuit.tag for circuit in circuits if role(given, circuit) is CircuitRole.SERVICE]
    parts = [require(not service, f"{raceway.tag}: UF-B cable {'as service conductors' if service else 'beyond the service'}")]
    if not (raceway.buried or raceway.inside_building):
        parts.append(judge_in_sun(raceway))
    return all_of(f"{raceway.tag}: UF-B cable where it may be", parts)
