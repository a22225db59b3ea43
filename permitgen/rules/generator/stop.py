"""Stopping a generator disables every way of starting it, until somebody resets it by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-stop",
    title="Stopping a generator disables every way of starting it, until somebody resets it by hand",
    provision="generator_stop",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge the stop of one generator.

    Requires: the stop disables all start circuits and needs a mechanical reset.
    Why: a machine that the next power failure starts again is not stopped.
    Applies to: generators that are not portable with cord and plug.
    Example that fails: a stop button that springs back.
    Example that passes: a stop that latches.
    """
    if machine.is_portable:
        return does_not_apply(f"{machine.tag} is portable with cord and plug")
    latches = machine.answer("stop_needs_reset")
    message = f"{machine.tag}: its stop {'needs' if latches else 'does not need'} a reset by hand"
    return require(latches, message, missing=f"whether the stop of {machine.tag} needs a reset by hand")
