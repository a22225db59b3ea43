"""Nothing opens the neutral-forming transformer of an island and leaves the island energized."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.island import neutral_origin

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.autotransformer import Autotransformer
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice


@rule(
    "neutral-former-loss",
    title="Nothing opens the neutral-forming transformer of an island and leaves the island energized",
    provision="neutral_former_loss",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Judge what happens when the breaker of the autotransformer opens.

    Requires: its opening stops the sources of the island, unless something else makes the neutral too.
    Why: without the former the 120 V loads stand in series across 240 V; what is plugged in burns.
    Applies to: interconnect devices with an autotransformer.
    Example that fails: an autotransformer on a breaker of its own that nothing watches.
    Example that passes: one whose loss stops the battery inverters.
    """
    former = device.autotransformer
    if former is None:
        return does_not_apply(f"{device.tag} holds no autotransformer")
    return all_of(f"{device.tag}: losing the neutral-forming transformer stops the island", list(_parts(device, former, given)))


def _parts(device: MicrogridInterconnectDevice, former: Autotransformer, given: Given) -> Iterator[Judgement]:
    others = [tag for tag in neutral_origin(given.system, f"{device.tag}.bus", OperatingMode.ISLANDED).made_by if tag != device.tag]
    together = former.opens_together_with_sources
    if others:
        yield require(fact=True, message=f"{device.tag}: {' and '.join(others)} makes the neutral as well")
    else:
        stops = "stops" if together else "does not stop"
        message = f"{device.tag}: opening the autotransformer's breaker {stops} the island's sources"
        yield require(together, message, missing=f"whether opening the autotransformer of {device.tag} stops the island's sources")
    if former.shares_device_with:
        message = f"{device.tag}: the autotransformer's breaker shares its body with {former.shares_device_with}; the pairs must trip apart"
        yield require(fact=False, message=message, otherwise=Verdict.CAUTION)
