"""A generator is protected from overload by a device of its own or by design."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-overcurrent",
    title="A generator is protected from overload by a device of its own or by design",
    provision="generator_overcurrent",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the code
    """Judge what keeps a generator from overload.

    Requires: a breaker, a fuse or an inherent limit.
    Why: windings burn where nothing limits what the house draws.
    Applies to: generators.
    Example that fails: a machine without a breaker and without an inherent limit.
    Example that passes: a machine with a built-in 60 A breaker.
    """
    if machine.device is not None:
        rating = f"{machine.device.rating_a.figure} A" if machine.device.rating_a is not None else "built in"
        return require(fact=True, message=f"{machine.tag} has an overcurrent device of its own, {rating}")
    answer = machine.answer("overload_protected")
    message = f"{machine.tag} is {'' if answer else 'not '}protected from overload"
    return require(answer, message, missing=f"what protects {machine.tag} from overload")
