"""Equipment keeps the distance that a local ordinance asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement
from permitgen.rules.quantities.surrounding_distance import judge_distance
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import LocalSubject


@rule(
    "local-distance",
    title="Equipment keeps the distance that a local ordinance asks for",
    provision="local_requirement",
    judges="local distance",
)
def judge(subject: LocalSubject, given: Given) -> Judgement:
    """Judge how far equipment stands from the nearest thing that an ordinance names, as stated and as the plan gives it.

    Requires: distance ≥ what the ordinance states, from every such thing.
    Why: towns and fire districts know their lots, gas services and streets, and ask for more than the code.
    Applies to: equipment of the kind that the ordinance names; a thing that the plan does not draw is unknown, not absent.
    Example that fails: 5 ft to gas meters asked for, a battery 4 ft from one.
    Example that passes: the same battery 5 ft from the only gas meter.
    """
    provision = given.provision(subject.requirement.id)
    limit = provision.value("at_least_ft").named("d_min")
    return judge_distance(subject.item, given, limit, subject.requirement.beside).under(provision)
