"""A generator stands away from openings of the house."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply
from permitgen.rules.quantities.plan_openings import judge_distance_to_openings
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
    limit = given.provision("generator_place").value("from_openings_ft").named("d_min")
    words = f"{limit.length} advised"
    return judge_distance_to_openings(machine, given, limit, words, of_any_building=True, otherwise=Verdict.CAUTION)
