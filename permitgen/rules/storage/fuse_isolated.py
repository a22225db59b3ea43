"""Fuses that batteries keep live from both sides can be switched dead before somebody reaches for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.in_series import circuits_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.link import Link
    from permitgen.system.system import System


@rule(
    "ess-fuse-isolated",
    title="Fuses that batteries keep live from both sides can be switched dead before somebody reaches for them",
    provision="ess_fuse_isolated",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge whether switches part a fuse of a battery circuit from what feeds it on either side.

    Requires: on each side of the fuse a switch or breaker between it and every battery, string, generator and the utility there. Fuses
        that only qualified persons reach need none.
    Why: a fuse pulled out of two live clips draws an arc in the hand.
    Applies to: fuses in dc circuits of storage with something that can feed them on both sides; a fused switch opens them itself.
    Example that fails: fuses on a dc bus between two batteries without switches.
    Example that passes: the same with a switch in each battery and a breaker behind the inverter.
    """
    in_circuits = (role(given, circuit) is CircuitRole.STORAGE_DC for circuit in circuits_in_series(given.system, device))
    if device.device.kind != "fuse" or not any(in_circuits):
        return does_not_apply(f"{device.tag} is no fuse of a battery circuit")
    if isinstance(given.system.equipment[device.enclosure], Disconnect):
        return does_not_apply(f"{device.tag} is a fused switch, which opens its fuses")
    sides = device.nodes
    if not all(_feeding(given.system, device.link, node, through_switches=True) for node in sides):
        return does_not_apply(f"{device.tag} is live from one side alone")
    bare = [tag for node in sides for tag in _feeding(given.system, device.link, node, through_switches=False)]
    if not bare:
        return require(fact=True, message=f"{device.tag}: switches part it from everything on both sides")
    return _within_reach(device, list(dict.fromkeys(bare)), given)


def _within_reach(device: InstalledDevice, bare: list[str], given: Given) -> Judgement:
    shut_away = given.system.equipment[device.enclosure].answer("qualified_persons_only")
    if shut_away:
        return does_not_apply(f"{device.tag} is within reach of qualified persons only")
    message = f"{device.tag}, within anybody's reach: nothing parts it from {' and '.join(bare)}"
    missing = f"whether qualified persons alone reach the fuses at {device.tag}"
    return require(None if shut_away is None else False, message, missing=missing)


def _feeding(system: System, fuse: Link, node: str, *, through_switches: bool) -> list[str]:
    """Return the tags of what feeds a side of the fuse; an inverter passes on what feeds it. Another fuse is no switch."""

    def passes(link: Link) -> bool:
        is_switch = bool(link.handle) and (link.device is None or link.device.kind != "fuse" or link.handle in system.equipment)
        return link is not fuse and (through_switches or not is_switch)

    reached = system.graph.reach([node], passes)
    found = (source.tag for source in system.sources.values() if source.node in reached)
    return [tag for tag in dict.fromkeys(found) if not isinstance(system.equipment[tag], Inverter)]
