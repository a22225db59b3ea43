"""A generator stands away from openings of the house."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, not_judged, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.generator import Generator


@rule("generator-place", title="A generator stands away from openings of the house", provision="generator_place", judges="generator")
def judge(machine: Generator, given: Given) -> Judgement:
    """Advise on the distance of a generator from doors and windows.

    Requires: 5 ft from openings and combustible walls, unless the machine is listed or tested for less.
    Why: exhaust that enters a house kills in the sleep of those inside.
    Applies to: generators outside; the fuel and building codes bind, this program only warns.
    Example that fails: a machine 3 ft from a bedroom window.
    Example that passes: a machine 8 ft from the next opening.
    """
    place = machine.place
    if place is not None and place.outdoors is False:
        return does_not_apply(f"{machine.tag} is indoors, in a room of its own codes")
    distance = place.fact("to_door_or_window") if place is not None else None
    if distance is None:
        return not_judged(f"distance from {machine.tag} to the next door or window")
    limit = given.provision("generator_place").value("from_openings_ft").named("d_min")
    message = f"{machine.tag} is {distance.number:g} ft from the nearest door or window, {limit.number:g} ft advised"
    return require_at_least(message, computed=distance.named("d"), limit=limit, otherwise=Verdict.CAUTION)
