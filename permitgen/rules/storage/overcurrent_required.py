"""Every battery circuit has an overcurrent device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import devices_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit


@rule(
    "ess-overcurrent-required",
    title="Every battery circuit has an overcurrent device",
    provision="battery_conductor_overcurrent",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge whether a device stands between a battery and the conductors that lead from it.

    Requires: a device in series with the circuit, or one between it and every battery that is joined to it.
    Why: a battery drives thousands of amperes into a short; conductors without a device burn until it is empty.
    Applies to: dc circuits of storage.
    Example that fails: a battery wired to an inverter without a fuse.
    Example that passes: the same with a fuse at the battery.
    """
    if role(given, circuit) is not CircuitRole.STORAGE_DC:
        return does_not_apply(f"{circuit.tag} is no battery circuit")
    devices = devices_in_series(given.system, circuit)
    if devices:
        return require(fact=True, message=f"{circuit.tag} has the overcurrent device {devices[0].tag}")
    reached = given.system.graph.reach([f"{circuit.tag}.start"], lambda link: link.device is None and not link.is_converter)
    bare = [source.id for source in given.system.sources.values() if source.kind == "energy storage" and source.node in reached]
    has = f"{' and '.join(bare)} feeds it without an overcurrent device" if bare else "each battery has a device ahead of it"
    return require(fact=not bare, message=f"{circuit.tag}: {has}")
