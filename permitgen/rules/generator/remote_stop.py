"""A generator of more than 15 kW can be stopped from outside its room or housing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, at_most, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.array_place import is_small_dwelling
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule(
    "generator-remote-stop",
    title="A generator of more than 15 kW can be stopped from outside its room or housing",
    provision="generator_remote_stop",
    judges="generator",
)
def judge(machine: Generator, given: Given) -> Judgement:
    """Judge whether a large generator can be stopped from outside.

    Requires: above 15 kW a stop outside the room or the housing.
    Why: nobody should have to open a burning housing to stop the engine.
    Applies to: generators above 15 kW; from 2023 not those of one- and two-family dwellings, which have a rule of their own.
    Example that fails: a 22 kW machine whose stop is behind its door.
    Example that passes: the same with a stop on the outside of its housing.
    """
    provision = given.provision("generator_remote_stop")
    if machine.is_portable:
        return does_not_apply(f"{machine.tag} is portable with cord and plug")
    if provision.flag("dwelling_excepted") and is_small_dwelling(given.system):
        return does_not_apply(f"{machine.tag} serves a one- or two-family dwelling (see generator-emergency-shutdown)")
    power = given.need(machine.output_va, f"nameplate power of {machine.tag}")
    rated = selected(power.number / 1000, "kw", by="in kilowatts", inputs=(power,), symbol="P", title=f"nameplate power of {machine.tag}")
    limit = provision.value("above_kw").named("P_15")
    if at_most(rated, limit):
        return does_not_apply(f"{machine.tag}: {rated.figure} kW, not more than {limit.figure} kW")
    stop = machine.has_outside_stop
    message = f"{machine.tag}: {rated.figure} kW, {'a' if stop else 'no'} stop outside"
    return require(stop, message, missing=f"whether {machine.tag} has a stop outside", values=(rated, limit))
