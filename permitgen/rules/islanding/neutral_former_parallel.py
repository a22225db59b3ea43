"""A neutral-forming transformer is not left beside the utility's neutral unless it is listed for that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice


@rule(
    "neutral-former-parallel",
    title="A neutral-forming transformer is not left beside the utility's neutral unless it is listed for that",
    provision="listed_and_instructed",
    judges="microgrid_interconnect_device",
)
def judge(item: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Judge what the transformer does while the utility is there.

    Requires: disconnected with the utility, or listed to stay connected.
    Why: it would balance the legs of the whole street, and burn for the neighbor's broken neutral.
    Applies to: autotransformers in interconnect devices of houses with a utility.
    Example that fails: a former always across the service.
    Example that passes: a former that its relay drops in parallel operation.
    """
    former = item.autotransformer
    if former is None or not given.system.utility_nodes:
        return does_not_apply(f"{item.tag}: no neutral-forming transformer, or no utility")
    found = former.with_utility
    message = f"{item.tag}: with the utility its neutral-forming transformer is {'connected' if found == 'stays connected' else found}"
    return require(
        found != "stays connected" if found else None, message, missing=f"what the neutral-forming transformer of {item.tag} does then"
    )
