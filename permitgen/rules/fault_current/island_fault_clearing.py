"""Islanded, weak sources may not trip a breaker: the inverters' own shutdown then clears the fault.

Compares the current of the sources that keep the island alive with the rating of each device. No number of the code stands behind
it; a device that sees less than about five times its rating may take seconds or never trip, and that is worth knowing on site.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import multiple_of_rating_factor
from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_for
from permitgen.rules.quantities.fault_current_island import island_current
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InMode
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "island-fault-clearing",
    title="Islanded, weak sources may not trip a breaker: the inverters' own shutdown then clears the fault",
    provision="fault_clearing",
    judges="mode",
)
def judge(subject: InMode, given: Given) -> Judgement:
    """Judge the multiples of their ratings that devices see in a fault without the utility.

    Requires: fault current of the island's own sources ≥ about five times the rating of each device (advice).
    Why: an electrician who trusts the breaker may find a fault still fed.
    Applies to: devices that are closed in islanded operation and in operation on a generator.
    Example that fails: two battery units of 40 A each on a fault behind a 60 A breaker, 1.3 times its rating.
    Example that passes: a 15 A breaker on the same island, 5.3 times.
    """
    if subject.mode is OperatingMode.WITH_UTILITY:
        return does_not_apply("with the utility present faults are cleared by its current")
    parts = parts_for(given.system.devices.values(), lambda device: _device(device, given, subject.mode))
    if not parts:
        return does_not_apply(f"{subject.tag}: no breaker or fuse is fed")
    weak = [part for part in parts if part.verdict is Verdict.CAUTION]
    judgement = all_of(f"{subject.tag}: every breaker or fuse has at least five times its rating available", parts)
    if not weak:
        return judgement
    sees, their = ("see", "their") if len(weak) > 1 else ("sees", "its")
    share = f"{len(weak)} of {len(parts)} devices {sees} less than five times {their} rating in a fault"
    return replace(judgement, message=f"{subject.tag}: {share}; the sources' own shutdown clears it")


def _device(device: InstalledDevice, given: Given, mode: OperatingMode) -> Judgement | None:
    if mode not in device.link.closed_in:
        return None  # What stands open clears nothing: a main that an interlock or a contactor holds open.
    currents = [current for node in device.nodes if (current := island_current(given, node, mode)) is not None]
    if not currents:
        return None
    current = max(currents, key=lambda value: value.number)
    rating = given.need(device.device.rating_a, f"rating of {device.tag}")
    multiple = multiple_of_rating_factor.derive(
        fault_current_a=current, rating_a=rating, title=f"fault current {mode} as a multiple of {device.tag}"
    )
    return require_at_least(
        f"{device.tag}: {rating.figure} A breaker or fuse: {current.number:.0f} A available, {multiple.number:.1f} times its rating",
        computed=multiple,
        limit=given.provision("fault_clearing").value("rating_factor"),
        otherwise=Verdict.CAUTION,
    )
