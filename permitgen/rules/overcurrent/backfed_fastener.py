"""Plug-in breakers that are back-fed are held by an additional fastener where a source stays live without the utility."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.feeds import sources_reaching
from permitgen.system.walks.sources_on_busbar import supply_path

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.link import Link


@rule(
    "back-fed-fastener",
    title="Plug-in breakers that are back-fed are held by an additional fastener where a source stays live without the utility",
    provision="backfed_device_fastener",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge one breaker in a breaker space.

    Requires: a fastener that needs more than a pull to release the breaker.
    Why: a back-fed breaker that falls off the busbar keeps live parts in the hand.
    Applies to: breakers in spaces, and those at terminals that are said to have no fastener, where they supply the panel or a source
    behind them stays live without the utility; not to breakers fed by interactive sources only, which lose their voltage with it.
    Example that fails: a generator breaker in a space of the backup panel without a retaining kit.
    Example that passes: the same breaker with its retaining kit.
    """
    # At a terminal nothing says that the breaker plugs in, but whoever states that its fastener is missing says so.
    if device.device.kind != "circuit breaker" or (device.device.position is None and device.device.fastened is not False):
        return does_not_apply(f"{device.tag} does not plug into a breaker space")
    bus = f"{device.enclosure}.bus"
    link = next((link for link in given.system.graph.at_node.get(bus, ()) if link.device is device.device), None)
    if link is None:
        return does_not_apply(f"{device.tag} is not on a busbar")
    live = _supplies_panel(given, bus, link) or _stays_live(given, link.other(bus), link)
    if not live:
        return does_not_apply(f"{device.tag} is fed by interactive sources at most, or not back-fed").under(
            given.provision("backfeed_fastener")
        )
    return require(
        device.device.fastened,
        f"{device.tag}: back-fed breaker {'held by' if device.device.fastened else 'without'} an additional fastener",
        missing=f"additional fastener of the back-fed breaker at {device.tag}",
        places=(device.at,) if device.at is not None else (),
    )


def _supplies_panel(given: Given, bus: str, link: Link) -> bool:
    path = supply_path(given.system, bus, OperatingMode.WITH_UTILITY)
    return bool(path) and path[0] is link


def _stays_live(given: Given, far: str, link: Link) -> bool:
    """Whether some source reaches the far side of the breaker, the breaker taken away, in a mode without the utility."""
    return any(
        source.forms_island
        for mode in given.system.modes
        if mode is not OperatingMode.WITH_UTILITY
        for source in sources_reaching(given.system, far, link, mode)
    )
