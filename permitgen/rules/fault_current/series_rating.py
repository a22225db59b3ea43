"""A series combination: the panelboard is marked with a tested rating of its breakers behind the device upstream.

The rating is lost where motors between the two devices can add more than one percent of the lower breaker's rating; inverters
between them are not named by the code, and are a reason to ask.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import rating_a
from permitgen.code.equations.overcurrent import series_rating_motor_limit_a
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_most
from permitgen.rules.quantities.busbar_feeds import feeds_of
from permitgen.rules.quantities.fault_current_unstated import hanging_on_unstated
from permitgen.rules.quantities.load_power import load_current
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.values.value import Value

MOTOR_CATEGORIES = frozenset({"motor", "air conditioning", "heat pump"})


def judge(subject: InstalledDevice, given: Given, available: Value) -> Judgement:
    """Judge the tested combination of the panelboard that holds the device."""
    panel = given.system.equipment.get(subject.enclosure)
    tested = panel.fact("series_rating") if panel is not None else None
    if panel is None or tested is None or f"{panel.tag}.bus" not in subject.nodes:
        return does_not_apply(f"{subject.tag}: no tested series combination is marked")
    provision = given.provision("series_rating")
    rating = given.need(subject.device.interrupting_rating_ka, f"interrupting rating of {subject.tag}")
    motors = [
        load_current(given, load) for load in given.system.loads.values() if load.panel == panel.tag and load.category in MOTOR_CATEGORIES
    ]
    parts = [
        hanging_on_unstated(
            require_at_most(
                f"{subject.tag}: {available.number:.3g} kA available, series combination tested for {tested.figure} kA",
                computed=available,
                limit=tested.named("IR_series"),
            ),
            given,
            subject.nodes,
        ),
        require_at_most(
            f"{subject.tag}: motors behind the upstream device against one percent of {rating.figure} kA",
            computed=sum_of(motors, symbol="ΣI_M", title=f"motors on {panel.tag}", unit="a"),
            limit=series_rating_motor_limit_a.derive(
                motor_contribution_percent=provision.value("motor_contribution_percent"),
                interrupting_rating_a=rating_a.derive(rating_ka=rating),
                provision=provision,
            ),
        ),
    ]
    busbar = given.system.busbars.get(panel.tag)
    if busbar is not None and feeds_of(given, busbar).sources:
        message = (
            f"{subject.tag}: power sources feed in between the devices of the series combination; ask the manufacturer and the authority"
        )
        parts.append(Judgement(Verdict.CAUTION, message))
    judgement = all_of(f"{subject.tag}: tested series combination", parts)
    return replace(judgement, method="series combination").under(provision)
