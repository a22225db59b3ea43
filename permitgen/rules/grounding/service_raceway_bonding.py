"""Metal raceways around service conductors are bonded by means that survive a fault nothing interrupts.

Ahead of the service disconnect no device on the premises clears a fault; standard locknuts, above all on concentric or
eccentric knockouts, do not carry it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_circuits
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "service-raceway-bonding",
    title="Metal raceways around service conductors are bonded by means that survive a fault nothing interrupts",
    provision="service_raceway_bonding",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge how a metal raceway of service conductors is bonded.

    Requires: threaded hubs, bonding bushings with jumpers, or bonding locknuts.
    Why: a fault to the raceway lasts until the utility's fuse opens.
    Applies to: metal raceways that hold service conductors.
    Example that fails: rigid metal conduit with standard locknuts between meter and service disconnect.
    Example that passes: the same conduit in threaded hubs.
    """
    service = {tag for circuit in service_circuits(given) for tag in circuit.runs}
    if raceway.tag not in service or not raceway.is_metal:
        return does_not_apply(f"{raceway.tag}: not a metal raceway of service conductors")
    bonding = given.need(raceway.bonding or None, f"bonding of {raceway.tag}")
    accepted = given.provision("service_raceway_bonding").words("accepted")
    return require(bonding in accepted, f"{raceway.tag}: service raceway bonded by {bonding}")
