"""No other conductors share a raceway or cable with service conductors.

Neither a feeder that returns from a meter-main, nor a signal cable; grounding conductors and bonding jumpers may.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.service_disconnects import service_circuits
from permitgen.rules.rule import rule
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "service-raceway-separate",
    title="No other conductors share a raceway or cable with service conductors",
    provision="service_raceway_separate",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge what lies in a raceway with service conductors.

    Requires: service conductors alone.
    Why: a fault of the unprotected conductors would destroy everything beside them.
    Applies to: raceways and cables with service conductors.
    Example that fails: the feeder from the interconnect device returns through the conduit of the service conductors.
    Example that passes: feeder and service conductors in raceways of their own.
    """
    service = {circuit.tag for circuit in service_circuits(given)}
    inside = set(given.system.circuits_in_run[raceway.tag])
    if not inside & service:
        return does_not_apply(f"{raceway.tag}: no service conductors")
    others = sorted(inside - service) + [control.tag for control in given.system.controls.values() if raceway.tag in control.runs]
    names = listed(sorted(inside & service))
    shared = f"{listed(others)} in one raceway with the service conductors {names}" if others else f"service conductors {names} alone"
    return require(not others, f"{raceway.tag}: {shared}")
