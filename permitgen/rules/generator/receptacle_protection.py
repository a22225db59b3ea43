"""Receptacles on a portable generator have ground-fault protection."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_most, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.values.figure import figure

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-receptacles",
    title="Receptacles on a portable generator have ground-fault protection",
    provision="generator_receptacle_protection",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge the receptacles of a portable machine.

    Requires: 125 V and 125/250 V receptacles with ground-fault protection.
    Why: a portable machine ends up in wet grass with an extension cord.
    Applies to: portable generators of 15 kW and less. A bonded neutral that trips them on a house is judged with the bonds of the neutral.
    Example that fails: a 7 kW machine with plain receptacles.
    Example that passes: the same with protected ones.
    """
    if not machine.is_portable:
        return does_not_apply(f"{machine.tag} is not portable")
    limit = given.provision("generator_receptacle_protection").value("to_va")
    power = given.need(machine.output_va, f"power of {machine.tag}")
    if not at_most(power, limit):
        return does_not_apply(f"{machine.tag}: {figure(power.number / 1000)} kW, more than {figure(limit.number / 1000)} kW")
    protected = machine.answer("receptacles_protected")
    message = f"{machine.tag}: its receptacles have {'' if protected else 'no '}ground-fault protection"
    return require(protected, message, missing=f"whether the receptacles of {machine.tag} have ground-fault protection")
