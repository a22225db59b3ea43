"""The neutral-forming transformer carries the worst unbalance of the 120 V loads that stay on in an island."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.neutral_former import Unbalance, island_unbalance, rated_neutral
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.autotransformer import Autotransformer
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice


@rule(
    "neutral-former-rating",
    title="The neutral-forming transformer carries the worst unbalance of the 120 V loads that stay on in an island",
    provision="neutral_former_rating",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Advise on the rating of the autotransformer by the loads of the house.

    Requires: rated neutral current ≥ the 120 V loads of the worse leg; peak ≥ the largest start of one 120 V appliance.
    Why: an overloaded former opens, and with it goes the island.
    Applies to: interconnect devices with an autotransformer; loads shed in the island do not count.
    Example that fails: 60 A of 120 V loads on one leg, a former of 50 A.
    Example that passes: 45 A there.
    """
    former = device.autotransformer
    if former is None:
        return does_not_apply(f"{device.tag} holds no autotransformer")
    unbalance = island_unbalance(given, device)
    if unbalance is None:
        return not_judged(f"120 V loads behind {device.tag} that run islanded, with their legs")
    parts = parts_of(lambda: _worse_leg(device, former, unbalance, given), lambda: _start(device, former, unbalance, given))
    others = tuple(v for v in (unbalance.both_legs_a, unbalance.largest_start_a) if v is not None)
    return replace(all_of(parts[0].message, parts), values=others)


def _worse_leg(device: MicrogridInterconnectDevice, former: Autotransformer, unbalance: Unbalance, given: Given) -> Judgement:
    rated = rated_neutral(given, device.tag, former)
    worst, both = unbalance.worse_leg_a, unbalance.both_legs_a
    unbalances = f"{worst.number:.3g} A with one leg off, {both.number:.3g} A with all on"
    message = f"{device.tag}: {unbalances}; the autotransformer is rated {rated.figure} A"
    return require_at_most(message, computed=worst, limit=rated, otherwise=Verdict.CAUTION)


def _start(device: MicrogridInterconnectDevice, former: Autotransformer, unbalance: Unbalance, given: Given) -> Judgement | None:
    start = unbalance.largest_start_a
    if start is None:
        return None
    peak = given.need(former.peak_a, f"peak neutral current of the autotransformer of {device.tag}").named("I_peak")
    text = f"{device.tag}: a 120 V appliance starts with {start.figure} A, the autotransformer withstands {peak.figure} A for a moment"
    return require_at_most(text, computed=start, limit=peak, otherwise=Verdict.CAUTION)
