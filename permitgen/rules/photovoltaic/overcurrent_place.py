"""The device between a source and a stronger one stands at the end of the stronger source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.link import Link
    from permitgen.system.system import System


@rule(
    "pv-overcurrent-place",
    title="The device between a source and a stronger one stands at the end of the stronger source",
    provision="pv_overcurrent_place",
    judges="PV branch",
)
def judge(branch: ArrayCircuit, given: Given) -> Judgement:
    """Judge where the device of a branch of microinverters stands.

    Requires: the device stands where the branch meets the first busbar, not at the array.
    Why: the inverters limit their own current; what must be interrupted comes from the utility and the other sources.
    Applies to: branches of microinverters that end on a busbar.
    Example that fails: a fused switch beside the array and plain lugs on the panel's busbar.
    Example that passes: a breaker in the combiner panel.
    """
    arrival = _arrival(given.system, f"{branch.array.tag}.{branch.name}")
    if arrival is None:
        return does_not_apply(f"{branch.tag} meets no busbar on its way to the utility")
    bus = next(tag for tag, busbar in given.system.busbars.items() if busbar.node in (arrival.first, arrival.second))
    has = "at an overcurrent device" if arrival.device is not None else "without an overcurrent device there"
    return require(arrival.device is not None, f"{branch.tag} meets the busbar of {bus} {has}")


def _arrival(system: System, node: str) -> Link | None:
    """Return the link by which a branch meets the first busbar on its way to the utility."""
    found = system.graph.reach([node], lambda _: True)
    reached = [name for name in system.utility_nodes if name in found]
    if not reached:
        return None
    buses = {busbar.node for busbar in system.busbars.values()}
    path = reversed(system.graph.path_back(found, reached[0]))
    return next((link for link in path if link.first in buses or link.second in buses), None)
