"""Service-entrance cable stays above ground, and as a feeder it has an insulated neutral of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


@rule(
    "se-cable",
    title="Service-entrance cable stays above ground, and as a feeder it has an insulated neutral of its own",
    provision="se_cable_uses",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge where service-entrance cable runs and what it serves.

    Requires: not underground; on feeders and branch circuits with a neutral a four-wire cable (SER), the bare conductor ground only.
    Why: its covering does not last in earth, and a bare neutral beyond the service puts current on metal parts.
    Applies to: SEU and SER cable.
    Example that fails: three-wire SEU cable to a backup panel.
    Example that passes: four-wire SER cable to it.
    """
    if raceway.kind not in ("SEU cable", "SER cable"):
        return does_not_apply(f"{raceway.tag} is not service-entrance cable")
    ground = require(not raceway.buried, f"{raceway.tag}: {raceway.kind} {'underground' if raceway.buried else 'above ground'}")
    parts = [ground.under(given.provision("se_cable_not_underground"))]
    if raceway.kind == "SEU cable":
        circuits = (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag])
        parts += [_feeder(raceway, circuit) for circuit in circuits if role(given, circuit) is not CircuitRole.SERVICE]
    return all_of(f"{raceway.tag}: {raceway.kind} where it may be", parts)


def _feeder(raceway: Raceway, circuit: Circuit) -> Judgement:
    bare_neutral = circuit.conductors.has_neutral
    return require(
        not bare_neutral, f"{raceway.tag}: {circuit.tag} {'uses the bare conductor as neutral' if bare_neutral else 'has no neutral'}"
    )
