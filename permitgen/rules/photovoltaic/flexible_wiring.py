"""Small flexible metal conduit and metal-clad cable with PV dc conductors are guarded inside a building."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.trade_size import trade_size_in

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


@rule(
    "pv-flexible-wiring",
    title="Small flexible metal conduit and metal-clad cable with PV dc conductors are guarded inside a building",
    provision="pv_flexible_wiring",
    judges="raceway",
)
def judge(raceway: Raceway, given: Given) -> Judgement:
    """Judge flexible runs of PV dc conductors across ceilings and joists.

    Requires: guard strips or running boards along flexible metal conduit smaller than 3/4 in and cable smaller than 1 in.
    Why: whoever steps or drills through a ceiling meets a live string in a soft jacket.
    Applies to: flexible metal conduit and metal-clad cable inside buildings with PV dc conductors.
    Example that fails: 1/2 in flexible metal conduit across joists without running boards.
    Example that passes: 3/4 in flexible metal conduit.
    """
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag])
    if not any(role(given, circuit) is CircuitRole.PV_DC for circuit in circuits) or not raceway.inside_building:
        return does_not_apply(f"{raceway.tag} carries no PV dc conductors inside a building")
    provision = given.provision("pv_flexible_wiring")
    limit = provision.text("flexible_conduit_trade_size")
    if raceway.kind == "FMC":
        size = given.need(raceway.trade_size, f"trade size of {raceway.tag}")
        if trade_size_in(size) >= trade_size_in(limit):
            return does_not_apply(f"{raceway.tag}: {size} in, not smaller than {limit} in")
    elif raceway.kind != "MC cable":
        return does_not_apply(f"{raceway.tag}: {raceway.kind} is not flexible")
    guarded = raceway.answer("guarded")
    message = f"{raceway.tag}: {raceway.kind} is {'' if guarded else 'not '}guarded by strips or running boards"
    return require(guarded, message, missing=f"whether {raceway.tag} is guarded by strips or running boards")
