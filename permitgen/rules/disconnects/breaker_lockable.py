"""A breaker that is the disconnect of a PV system can be locked open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.pv_disconnects import pv_disconnects
from permitgen.system.walks.source_switches import link_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.handle import Handle
    from permitgen.system.overcurrent_device import OvercurrentDevice


@rule(
    "pv-breaker-lockable",
    title="A breaker that is the disconnect of a PV system can be locked open",
    provision="lockable",
    judges="pv_array",
)
def judge(array: PVArray, given: Given) -> Judgement:
    """Judge the breakers that part one array from all other wiring.

    Requires: a provision for a lock that stays in place when the lock is off.
    Why: whoever works on the roof holds the only key that can bring the current back.
    Applies to: PV disconnects that are breakers, from 2020; switches in enclosures of their own have a rule too (see
        source-switch-lockable).
    Example that fails: a plain breaker without a place for a lock.
    Example that passes: a breaker with a fixed lock-off device.
    """
    if array.status == "existing" or "pv system" not in given.provision("lockable").words("of_sources"):
        return does_not_apply(f"{array.tag} is existing and stays, or the edition asks for no lock")
    breakers = [(handle, device) for handle in pv_disconnects(given.system, array) if (device := _breaker(handle, given)) is not None]
    if not breakers:
        return does_not_apply(f"{array.tag}: no breaker is its disconnect")
    return all_of(
        f"{array.tag}: its disconnect can be locked open",
        [_one(handle, device).under(given.provision("lockable_pv")) for handle, device in breakers],
    )


def _breaker(handle: Handle, given: Given) -> OvercurrentDevice | None:
    link = link_of(given.system, handle.id)
    in_switch = isinstance(given.system.equipment.get(handle.id), Disconnect)
    return link.device if link is not None and link.device is not None and not in_switch and link.device.kind != "fuse" else None


def _one(handle: Handle, device: OvercurrentDevice) -> Judgement:
    locks = device.answer("lockable")
    message = f"{handle.id} {'can' if locks else 'cannot'} be locked open"
    return require(locks, message, missing=f"whether the breaker at {handle.id} can be locked open")
