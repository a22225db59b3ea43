"""Service conductors run in raceways and cables that the code permits for them.

Flexible metal conduit serves only for 6 ft between raceways, or to the service equipment; nonmetallic-sheathed cable never does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require, require_at_most
from permitgen.rules.quantities.service_wiring import service_circuits_in
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "service-wiring-methods",
    title="Service conductors run in raceways and cables that the code permits for them",
    provision="service_wiring_methods",
    judges="raceway",
)
def judge(run: Raceway, given: Given) -> Judgement:
    """Judge the kind of a run of service conductors.

    Requires: a wiring method on the list; flexible metal conduit, also liquidtight, of at most 6 ft.
    Why: what nothing on the premises protects must hold a fault in until the utility's fuse opens.
    Applies to: runs in which service conductors lie.
    Example that fails: service conductors as nonmetallic-sheathed cable.
    Example that passes: service conductors in PVC conduit underground.
    """
    if not service_circuits_in(given, run):
        return does_not_apply(f"{run.tag}: no service conductors in it")
    provision = given.provision("service_wiring_methods")
    if run.kind in provision.words("short"):
        length = given.need(run.length_ft, f"length of {run.tag}")
        limit = provision.value("short_ft")
        return require_at_most(
            f"{run.tag}: {length.length} of {run.kind} around service conductors, {limit.length} permitted",
            computed=length,
            limit=limit,
        )
    there = run.kind in provision.words("methods")
    return require(there, f"{run.tag}: {run.kind} {'may' if there else 'may not'} hold service conductors")
