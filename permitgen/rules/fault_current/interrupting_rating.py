"""Every overcurrent device can interrupt the largest fault current at its terminals, by itself or in a tested series combination.

The current is the largest over the operating modes on either side of the device: from the utility's letter or its transformer,
less the impedance of cold conductors, plus what the inverters add.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.fault_current import series_rating
from permitgen.rules.judgement import Judgement, Verdict, any_of, does_not_apply, require_at_most
from permitgen.rules.quantities.fault_current import beyond_conductors, connected, largest_at, turns_on
from permitgen.rules.quantities.fault_current_known import circuits_from_utility
from permitgen.rules.quantities.fault_current_unstated import hanging_on_unstated
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value


@rule(
    "interrupting-rating",
    title="Every overcurrent device can interrupt the largest fault current at its terminals, by itself or in a tested series combination",
    provision="interrupting_rating",
    judges="device",
)
def judge(subject: InstalledDevice, given: Given) -> Judgement:
    """Judge one overcurrent device where it is installed.

    Requires: interrupting rating ≥ available fault current, or a tested series combination that reaches it.
    Why: a device that cannot interrupt the current explodes instead.
    Applies to: circuit breakers and fuses on ac. Where a length on the way, or what an inverter adds, is not stated, the largest current is
        taken; what only then exceeds the rating is *not judged*.
    Example that fails: 10 kA breakers at a transformer that gives 13.9 kA.
    Example that passes: the same breakers where 60 ft of 4/0 AWG aluminum leave 4.5 kA.
    """
    available = largest_at(given, subject.nodes)
    if available is None:
        return does_not_apply(f"{subject.tag}: no ac source reaches it")
    rating = given.need(subject.device.interrupting_rating_ka, f"interrupting rating of {subject.tag}")
    full = require_at_most(
        f"{subject.tag}: {available.number:.3g} kA available, interrupting rating {rating.figure} kA{turns_on(given, subject.nodes)}",
        computed=available,
        limit=rating.named("IR"),
        method="full rating",
    )
    full = hanging_on_unstated(full, given, subject.nodes)
    series = series_rating.judge(subject, given, available)
    hangs_alone = full.verdict is Verdict.NOT_JUDGED and series.verdict is Verdict.DOES_NOT_APPLY
    judgement = full if hangs_alone else any_of(subject.tag, [full, series])
    return replace(judgement, values=_cross_check(subject, given))


def _cross_check(subject: InstalledDevice, given: Given) -> tuple[Value, ...]:
    """The utility's part by the scalar point-to-point method, for a reviewer who computes it that way."""
    utility = set(given.system.utility_nodes)
    reached = [node for node in subject.nodes if utility & connected(given, node, OperatingMode.WITH_UTILITY)]
    nearest = min(reached, key=lambda node: len(circuits_from_utility(given, node)), default=None)
    return (beyond_conductors(given, nearest).point_to_point_a,) if nearest is not None else ()
