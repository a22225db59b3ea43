"""Where something can strike wiring, it lies in a raceway that stands the blow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "physical-damage",
    title="Where something can strike wiring, it lies in a raceway that stands the blow",
    provision="exposed_to_damage",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge the wiring method of a run above ground by what can strike it.

    Requires: where it is exposed to damage rigid or intermediate metal conduit, tubing of steel, Schedule 80 PVC or a metal wireway.
    Why: a bumper or a mower opens a cable at a height where children play.
    Applies to: cables, flexible and Schedule 40 conduit in the open; conductors in free air have distances of their own.
    Example that fails: service-entrance cable at the corner of a driveway.
    Example that passes: Schedule 80 PVC there.
    """
    stands = raceway.kind in given.provision("exposed_to_damage").words("raceways")
    exposed = raceway.answer("exposed_to_damage")
    if stands or (raceway.is_free_air and not exposed):
        return does_not_apply(f"{raceway.tag}: {raceway.kind}{' stands a blow' if stands else ' has distances of its own'}")
    if not given.system.circuits_in_run[raceway.tag] or raceway.buried:
        return does_not_apply(f"{raceway.tag} holds no power wiring, or lies underground")
    if exposed is None and raceway.exposed is False:
        return require(fact=True, message=f"{raceway.tag}: {raceway.kind} behind a finished surface")
    message = f"{raceway.tag}: {raceway.kind} {'exposed to damage' if exposed else 'where nothing strikes it'}"
    found = require(None if exposed is None else not exposed, message, missing=f"whether {raceway.tag} is exposed to physical damage")
    return found.under(given.provision(_provision(raceway, given)))


def _provision(raceway: Raceway, given: Given) -> str:
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag])
    if raceway.is_cable and any(role(given, circuit) is CircuitRole.SERVICE for circuit in circuits):
        return "service_cable_protection"
    return "pvc_exposed_to_damage" if raceway.kind == "PVC-40" else "exposed_to_damage"
