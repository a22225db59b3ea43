"""A size that could not be chosen is no question: what is asked for are the facts that choosing it missed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.evaluation.sizing import CONDUCTOR, DEVICE, GROUNDING, RACEWAY, Sizing
from permitgen.rules.judgement import Judgement, not_judged

if TYPE_CHECKING:
    from permitgen.evaluation.finding import Finding
    from permitgen.system.system import System

_QUESTIONS = {
    CONDUCTOR: ("conductor size of {tag}",),
    GROUNDING: ("equipment grounding conductor size of {tag}", "equipment grounding conductor of {tag}"),
    RACEWAY: ("trade size of {tag}",),
    DEVICE: ("rating of {tag}", "rating of the device at {tag}", "rating of the breaker or fuse at {tag}"),
}

Behind = Mapping[str, tuple[str, ...]]
"""The facts that choosing a size missed, by the question that rules ask for that size."""


def facts_behind(sizings: Iterable[Sizing], system: System) -> Behind:
    """Return what choosing each size missed; a grounding conductor left open waits for the conductors of its circuit."""
    found: dict[str, tuple[str, ...]] = {}
    for sizing in (each for each in sizings if each.missing):
        names = [question.format(tag=sizing.tag) for question in _QUESTIONS.get(sizing.what, ())]
        if sizing.what == CONDUCTOR and "equipment_ground" not in system.circuits[sizing.tag].conductors.unknown:
            names += [question.format(tag=sizing.tag) for question in _QUESTIONS[GROUNDING]]
        found |= dict.fromkeys(names, sizing.missing)
    return found


def asking_for_facts(finding: Finding, behind: Behind) -> Finding:
    """Return a finding that asks for the facts behind each size that could not be chosen."""
    if not any(each.missing and any(name in behind for name in each.missing) for each in finding.judgement.nested()):
        return finding
    return replace(finding, judgement=_asking(finding.judgement, behind))


def _asking(judgement: Judgement, behind: Behind) -> Judgement:
    parts = tuple(_asking(part, behind) for part in judgement.parts)
    missing = tuple(dict.fromkeys(fact for name in judgement.missing for fact in _facts(name, behind, ())))
    return replace(judgement, missing=missing, message=_told(judgement, missing, behind), parts=parts)


def _told(judgement: Judgement, missing: tuple[str, ...], behind: Behind) -> str:
    """Return the sentence with the facts in place of the sizes; it may tell only some of what several parts miss."""
    asked, text = not_judged(*judgement.missing).message, judgement.message
    if asked in text:
        return text.replace(asked, not_judged(*missing).message)
    for name in (each for each in judgement.missing if each in behind):
        text = text.replace(name, ", ".join(_facts(name, behind, ())))
    return text


def _facts(name: str, behind: Behind, asked: tuple[str, ...]) -> tuple[str, ...]:
    """Return what stands behind a question, and behind that; a question that comes back to itself stays."""
    if name not in behind or name in asked:
        return (name,)
    return tuple(fact for each in behind[name] for fact in _facts(each, behind, (*asked, name)))
