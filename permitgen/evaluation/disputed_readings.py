"""Says of each verdict on which disputed reading of the code it rests, with what the other answers would make of it.

Measured, as for ordinances: whoever asked for a reading is judged again by every other answer. A verdict that another answer would
turn into a violation is a caution until the authority has confirmed the reading, and stays what it is from then on; one that is violated
by the strict reading stays violated, and says who could settle it. What nobody states is read strictly, or as the text itself says:
what is met so is not disputed. What holds by one answer whatever a number is, and hangs on it by another, is not judged.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.finding import ORDER
from permitgen.rules.judgement import Verdict
from permitgen.system.local_options import LOCAL_OPTIONS

if TYPE_CHECKING:
    from permitgen.evaluation.finding import Finding
    from permitgen.rules.given import Reading
    from permitgen.system.confirmation import Confirmation
    from permitgen.system.project_facts import Jurisdiction

_MET = (Verdict.PASSES, Verdict.DOES_NOT_APPLY)

Wanted = Mapping[str, Set[str]]
Judge = Callable[["Jurisdiction", Wanted], Iterable["Finding"]]
Asked = Mapping[tuple[str, str], Set["Reading"]]
"""The readings that the requirement of a rule on a subject rests on."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a verdict is by one answer to a disputed point; ``citation`` is the section it then rests on. An empty ``choice``: left open."""

    choice: str
    verdict: Verdict
    citation: str
    message: str


@dataclass(frozen=True, slots=True)
class DecidedByReading:
    """A disputed point that turns a verdict: how it was read, what each answer makes of it, and who confirmed it."""

    reading: str
    chosen: str
    answers: tuple[Answer, ...]
    confirmation: Confirmation | None = None


def with_readings(findings: Iterable[Finding], asked: Asked, jurisdiction: Jurisdiction, judge: Judge) -> list[Finding]:
    """Return the findings with the readings that decided them; ``judge`` judges requirements by another jurisdiction."""
    found = {finding.id: finding for finding in findings}
    others: dict[Reading, dict[str, list[Answer]]] = {}
    for (name, chosen), wanted in _wanted(asked).items():
        for choice in _other_choices(name, chosen):
            for other in judge(jurisdiction.read_as(name, choice), wanted):
                others.setdefault((name, chosen), {}).setdefault(other.id, []).append(_answer(choice, other))
    for (name, chosen), by_finding in others.items():
        for id_, answers in by_finding.items():
            is_stated = jurisdiction.confirmation(name) is not None or name in dict(jurisdiction.options)
            if not is_stated and found[id_].verdict in _MET:
                continue
            if any(answer.verdict is not found[id_].verdict for answer in answers):
                own = _answer(chosen, found[id_])
                decided = DecidedByReading(name, chosen, (own, *answers), jurisdiction.confirmation(name))
                found[id_] = _decided(found[id_], decided)
    return list(found.values())


def _wanted(asked: Asked) -> dict[Reading, dict[str, set[str]]]:
    """Return who asked for each reading, rule by rule."""
    wanted: dict[Reading, dict[str, set[str]]] = {}
    for (rule, subject), readings in asked.items():
        for reading in sorted(readings):
            wanted.setdefault(reading, {}).setdefault(rule, set()).add(subject)
    return wanted


def _other_choices(name: str, chosen: str) -> Iterator[str]:
    """Yield the other answers; a figure or a name of the authority's own has one: that it stated none."""
    option = LOCAL_OPTIONS[name]
    if option.choices:
        yield from (choice for choice in option.choices if choice != chosen)
    elif chosen:
        yield ""


def _answer(choice: str, finding: Finding) -> Answer:
    return Answer(choice, finding.verdict, finding.citation, finding.judgement.message)


def _decided(finding: Finding, decided: DecidedByReading) -> Finding:
    own, *others = decided.answers
    confirmed = decided.confirmation
    judgement = finding.judgement
    if confirmed is not None:
        said = replace(judgement, message=f"{judgement.message}; {decided.reading} read as {decided.chosen}, {confirmed.words}")
        return replace(finding, judgement=said, readings=(*finding.readings, decided))
    worst = min((each.verdict for each in others), key=lambda verdict: ORDER[verdict])
    is_lenient = ORDER[worst] < ORDER[own.verdict] and own.verdict in _MET
    point, answers = decided.reading.replace("_", " "), ", ".join(map(_told, decided.answers))
    message = f"{judgement.message}; disputed, {point}: {answers}; jurisdiction: confirmed: {decided.reading} settles it"
    told = replace(judgement, verdict=Verdict.CAUTION if is_lenient else judgement.verdict, message=message, because="")
    if is_lenient and judgement.whatever and worst is Verdict.NOT_JUDGED:
        # By one answer it holds whatever a number is, by another it hangs on it: the number is asked for.
        told = replace(told, verdict=Verdict.NOT_JUDGED, missing=judgement.whatever, whatever=())
    return replace(finding, judgement=told, readings=(*finding.readings, decided))


def _told(answer: Answer) -> str:
    return f"{answer.choice or 'not stated'} {answer.verdict} by {answer.citation}"
