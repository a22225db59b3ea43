"""Breakers through which current can flow both ways are suitable for it; one marked line and load is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.feeds import sources_reaching

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.link import Link


@rule(
    "backfeed-suitable",
    title="Breakers through which current can flow both ways are suitable for it; one marked line and load is not",
    provision="backfeed_suitable",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one breaker that sources can feed from both of its sides, or that a generator or inlet feeds from its load side.

    Requires: a breaker without the marks line and load, or one marked as suitable.
    Why: some breakers, those with electronics above all, fail to open when they are fed from the load terminals.
    Applies to: circuit breakers with a source or the utility on each side; those in a breaker space behind a generator or inlet.
    Example that fails: a breaker marked line and load in the feeder to a battery.
    Example that passes: a breaker without these marks.
    """
    if device.device.kind != "circuit breaker":
        return does_not_apply(f"{device.tag} is a fuse")
    both = _is_fed_from_both_sides(given, device.link)
    if not is_back_fed(given, device):
        return does_not_apply(f"{device.tag} is not fed through its load terminals")
    marked = device.device.marked_line_and_load
    judgement = require(
        None if marked is None else not marked,
        f"{device.tag}: back-fed breaker {'marked line and load' if marked else 'without the marks line and load'}",
        missing=f"whether the breaker at {device.tag} is marked line and load",
        places=(device.at,) if device.at is not None else (),
    )
    return judgement if both else judgement.under(given.provision("listed_and_instructed"))


def is_back_fed(given: Given, device: InstalledDevice) -> bool:
    """Whether current can flow through a device from its load side: sources feed both sides, or a generator the busbar over it."""
    return _is_fed_from_both_sides(given, device.link) or _is_fed_through_load_terminals(given, device, device.link)


def _is_fed_through_load_terminals(given: Given, device: InstalledDevice, link: Link) -> bool:
    """Whether a generator or an inlet feeds the busbar over a breaker in a space, which takes the busbar for its line side."""
    bus = f"{device.enclosure}.bus"
    if device.device.position is None or bus not in (link.first, link.second):
        return False
    modes = [mode for mode in given.system.modes if mode in link.closed_in]
    return any(source.kind == "generator" for mode in modes for source in sources_reaching(given.system, link.other(bus), link, mode))


def _is_fed_from_both_sides(given: Given, link: Link) -> bool:
    for mode in given.system.modes:
        if mode in link.closed_in and all(sources_reaching(given.system, node, link, mode) for node in (link.first, link.second)):
            return True
    return False
