"""At a dwelling the generator is stopped from outside, at a readily accessible place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_small_dwelling

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-emergency-shutdown",
    title="At a dwelling the generator is stopped from outside, at a readily accessible place",
    provision="generator_emergency_shutdown",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge the emergency stop of a dwelling's generator.

    Requires: a shutdown device outside the dwelling, readily accessible.
    Why: with a standby machine, opening the service disconnect starts it: whoever makes the house dead must stop it first.
    Applies to: one- and two-family dwellings, from the 2020 edition; not to cord-and-plug machines.
    Example that fails: a machine that only its panel inside the garage stops.
    Example that passes: a red stop on the housing on the pad.
    """
    if machine.is_portable:
        return does_not_apply(f"{machine.tag} is portable with cord and plug")
    if not is_small_dwelling(given.system):
        return does_not_apply(f"{machine.tag} serves other than a one- or two-family dwelling")
    stop = machine.has_outside_stop
    place = machine.place
    access = place.readily_accessible if place is not None else None
    parts = [
        require(
            stop, f"{machine.tag} has {'an' if stop else 'no'} emergency stop outside", missing=f"whether {machine.tag} has a stop outside"
        ),
        require(
            access, f"{machine.tag} is {'' if access else 'not '}readily accessible", missing=f"whether {machine.tag} is readily accessible"
        ),
    ]
    return all_of(f"{machine.tag} is stopped from outside, readily accessible", parts)
