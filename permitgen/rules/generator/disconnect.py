"""A generator has a disconnect that opens all ungrounded conductors and can be locked open."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.equipment.disconnect import Disconnect
from permitgen.system.walks.source_switches import separating_handles

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-disconnect",
    title="A generator has a disconnect that opens all ungrounded conductors and can be locked open",
    provision="generator_disconnect",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge the disconnect of one generator.

    Requires: a disconnect that opens all ungrounded conductors at once and is lockable open.
    Why: an automatic machine starts by itself while somebody has his hands in the panel.
    Applies to: generators that are not portable with cord and plug.
    Example that fails: a standby generator with a breaker that cannot be locked.
    Example that passes: the same with a lockable breaker.
    """
    if machine.is_portable:
        return does_not_apply(f"{machine.tag} is portable; its plug disconnects it")
    switch = switch_of(machine, given)
    if switch is not None:
        locks = switch.lockable
        message = f"{switch.tag} disconnects {machine.tag} and {'can' if locks else 'cannot'} be locked open"
        return require(locks, message, missing=f"whether {switch.tag} can be locked open")
    if machine.has_disconnect is None:
        return not_judged(f"whether {machine.tag} has a disconnect")
    if not machine.has_disconnect:
        return require(fact=False, message=f"{machine.tag} has no disconnect of its own and none on its circuit")
    return _own(machine, given)


def switch_of(machine: Generator, given: Given) -> Disconnect | None:
    """Return the switch in an enclosure of its own that parts a generator from all else, None where there is none."""
    sources = tuple(source for source in given.system.sources.values() if source.tag == machine.tag)
    items = (given.system.equipment.get(handle.tag) for handle in separating_handles(given.system, sources))
    return next((item for item in items if isinstance(item, Disconnect)), None)


def _own(machine: Generator, given: Given) -> Judgement:
    locks = machine.answer("disconnect_lockable")
    message = f"{machine.tag}: its disconnect {'can' if locks else 'cannot'} be locked open"
    parts = [require(locks, message, missing=f"whether the disconnect of {machine.tag} can be locked open")]
    if machine.answer("disconnect_inside_housing"):
        permitted = given.provision("generator_disconnect").flag("inside_housing_permitted")
        text = "as this edition permits with a label" if permitted else "which this edition does not speak of"
        parts.append(require(permitted, f"{machine.tag}: its disconnect is inside the housing, {text}", otherwise=Verdict.CAUTION))
    judgement = all_of(message, parts)
    return replace(judgement, message=message) if judgement.verdict is Verdict.PASSES else judgement
