"""Switches that part a source away from its equipment can be locked open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.disconnect import Disconnect

_DEMANDED_BY = {"pv system": "lockable_pv", "energy storage": "lockable_storage", "generator": "lockable_generator"}
"""Where the lock of a source's switch is asked for; the general section only says how it stays."""


@rule(
    "source-switch-lockable",
    title="Switches that part a source away from its equipment can be locked open",
    provision="lockable",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge whether a source's switch can be locked.

    Requires: a provision for a lock that stays in place when the lock is off.
    Why: a source comes on by itself; only a lock keeps it off while somebody works.
    Applies to: switches in enclosures of their own for storage and generators, and for PV from 2020.
    Example that fails: a pull-out switch without a hasp.
    Example that passes: a switch with a hasp through its handle.
    """
    purpose = given.need(switch.purpose or None, f"purpose of {switch.tag}")
    if purpose not in given.provision("lockable").words("of_sources"):
        return does_not_apply(f"{switch.tag} is no switch of a source that must be lockable")
    message = f"{switch.tag} {'can' if switch.lockable else 'cannot'} be locked open"
    found = require(switch.lockable, message, missing=f"whether {switch.tag} can be locked open")
    return found.under(given.provision(_DEMANDED_BY[purpose]))
