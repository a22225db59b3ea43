"""``evaluate``: the one door to the calculation."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Set
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.amended_verdicts import with_ordinances
from permitgen.evaluation.disputed_readings import Asked, with_readings
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.facts_behind_sizes import asking_for_facts, facts_behind
from permitgen.evaluation.finding import ORDER, Finding
from permitgen.evaluation.granting import is_of_life_safety, with_grants
from permitgen.evaluation.readings import Told, given_by_reading, worst_of
from permitgen.evaluation.remedies import Remedies
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.unread_edition import Graded, UnreadEdition, sized_by_last_read
from permitgen.evaluation.whatever_it_is import Trials
from permitgen.rules.given import Given
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.rules.subjects import place_of, subjects_of, tag_of

if TYPE_CHECKING:
    from permitgen.evaluation.sizing import Sizing
    from permitgen.rules.given import Reading
    from permitgen.rules.judgement import Judgement
    from permitgen.rules.rule import Rule
    from permitgen.system.project_facts import Jurisdiction
    from permitgen.system.source_reading import SourceReading
    from permitgen.system.system import System

Wanted = Mapping[str, Set[str]]
"""Requirements to judge: the tags of the subjects by the id of the rule."""


def evaluate(system: System, code: CodeBook, *, state: str = "permitted", with_suggestions: bool = True) -> Evaluation:
    """Size what is open, then run every rule on every subject once, by each reading of figures with several sources.

    The evaluation is that of the reading by which most findings are worst: its figures are those that documents print.
    """
    given, findings, sizings, asked = _by_worst_reading(system, code)
    if code.amendments:
        # Without an ordinance the sizes that it let the program choose are judged, not others: what it relaxed shows in them.
        chosen = system if system.readings else given.system
        findings = with_ordinances(findings, code, lambda book: _by_worst_reading(chosen, book)[1])
    findings = _by_answers(findings, given, asked)
    behind = facts_behind(sizings, given.system)
    findings = [asking_for_facts(finding, behind) for finding in findings] if behind else findings
    if with_suggestions:
        violated = {(finding.rule, finding.subject) for finding in findings if finding.verdict is Verdict.VIOLATED}
        remedies = Remedies(given, violated)
        findings = [_with_suggestions(finding, remedies) for finding in findings]
    findings = [with_grants(finding, system.jurisdiction.granted) for finding in findings]
    places = {
        tag: index
        for index, tag in enumerate((*given.system.equipment, *given.system.raceways, *given.system.circuits, *given.system.controls))
    }
    findings.sort(key=lambda f: (ORDER[f.verdict], places.get(_head(f.subject), len(places)), f.subject, f.rule))
    return Evaluation(given, tuple(findings), sizings, state)


def _by_answers(findings: list[Finding], given: Given, asked: Asked) -> list[Finding]:
    """Return the findings with the disputed readings of the code that decide them: whoever asked for one is judged by every answer."""
    jurisdiction = given.system.jurisdiction

    def judge(other: Jurisdiction, wanted: Wanted) -> tuple[Finding, ...]:
        return evaluate_some(Given(replace(given.system, jurisdiction=other), given.code), wanted)

    return with_readings(findings, asked, jurisdiction, judge)


def _by_worst_reading(system: System, code: CodeBook) -> tuple[Given, list[Finding], tuple[Sizing, ...], Asked]:
    """Return what rules are given by the reading by which most findings are worst, every finding, the sizes, and who asked for readings."""
    sized, sizings = sized_by_last_read(system, code)
    judges = tuple(map(_Judge, given_by_reading(sized)))
    judged = list(_judged(judges, sized.system.readings))
    worst_by = Counter(index for _, index in judged if index is not None)
    given = judges[max(range(len(judges)), key=lambda index: worst_by[index])].given
    asked: dict[tuple[str, str], frozenset[Reading]] = {}
    for judge in judges:
        asked |= judge.asked
    return given, [finding for finding, _ in judged], sizings, asked


def evaluate_some(given: Given, wanted: Wanted, until: Verdict | None = None) -> tuple[Finding, ...]:
    """Judge some requirements only, just as ``evaluate`` judges them all, of a system whose every size is filled in.

    Behind the first finding with the verdict ``until`` nothing more is judged where that finding is settled by then.
    """
    judges = tuple(map(_Judge, given_by_reading(given)))
    return tuple(finding for finding, _ in _judged(judges, given.system.readings, wanted, until))


def _head(subject: str) -> str:
    return subject.split("@", maxsplit=1)[0].split(".", maxsplit=1)[0]


class _Judge:
    """Runs rules by one reading: what misses numbers is tried with them, an unread text is held against the edition before."""

    def __init__(self, given: Given) -> None:
        self.given = given
        self.asked: dict[tuple[str, str], frozenset[Reading]] = {}
        self._unread = UnreadEdition(given) if given.code.last_read is not given.code else None

    def judgements(self, wanted: Wanted | None, until: Verdict | None = None) -> Iterator[tuple[Rule, Any, Graded]]:
        """Yield the judgement of every rule on every subject of this reading, or of those that are ``wanted``; ``until`` one is so."""
        run: list[tuple[Rule, Any, Graded]] = []
        is_settled = True
        for rule, subject in self._pairs(wanted):
            found = self._run(rule, subject)
            run.append((rule, subject, found))
            # What is open is tried with what others miss as well: all of them are needed for its verdict.
            is_settled = is_settled and not _is_open(found.judgement)
            if is_settled and found.judgement.verdict is until:
                break
        trials = Trials(self.given, (found.judgement for _, _, found in run if _is_open(found.judgement)))
        for rule, subject, found in run:
            tried = trials.judged(rule, subject, found.judgement) if _is_open(found.judgement) else found.judgement
            if tried.whatever:
                # Without the number the rule may have stopped before it came to a disputed point.
                self._note(rule, subject, trials.readings)
            yield rule, subject, replace(found, judgement=tried) if tried is not found.judgement else found

    def _pairs(self, wanted: Wanted | None) -> Iterator[tuple[Rule, Any]]:
        for rule in all_rules():
            if wanted is None or rule.id in wanted:
                subjects = subjects_of(self.given, rule.judges)
                yield from ((rule, subject) for subject in subjects if wanted is None or tag_of(subject) in wanted[rule.id])

    def _run(self, rule: Rule, subject: Any) -> Graded:
        if self._unread is not None:
            graded = self._unread.judge(rule, subject)
            self._note(rule, subject, self._unread.readings)
            return graded
        judgement = run_rule(rule, subject, self.given)
        self._note(rule, subject, self.given.readings)
        self.given.readings = set()
        provision = self.given.code.provision(judgement.provision or rule.provision)
        return Graded(judgement, provision.grade, provision.source)

    def _note(self, rule: Rule, subject: Any, readings: set[Reading]) -> None:
        """Note readings beside those that the requirement asked for before."""
        if readings:
            key = (rule.id, tag_of(subject))
            self.asked[key] = self.asked.get(key, frozenset()) | readings


def _is_open(judgement: Judgement) -> bool:
    """Whether a fact is missing, rather than a text of the code."""
    return judgement.verdict is Verdict.NOT_JUDGED and not judgement.is_of_unread_text


def _judged(
    judges: tuple[_Judge, ...], readings: tuple[SourceReading, ...], wanted: Wanted | None = None, until: Verdict | None = None
) -> Iterator[tuple[Finding, int | None]]:
    """Yield each finding with the reading by which it is worse than by others, None where no reading matters to it."""
    if len(judges) == 1:
        yield from ((_finding(*judged, judges[0].given), None) for judged in judges[0].judgements(wanted, until))
        return
    told: dict[tuple[str, str], list[Told]] = {}
    judged: dict[tuple[str, str, int], tuple[Rule, Any, Graded]] = {}
    for index, judge in enumerate(judges):
        for rule, subject, found in judge.judgements(wanted):
            told.setdefault((rule.id, tag_of(subject)), []).append(Told(index, found.judgement))
            judged.setdefault((rule.id, tag_of(subject), index), (rule, subject, found))
    for key, each in told.items():
        worst = worst_of(each, readings)
        rule, subject, found = judged[*key, worst.index]
        yield _finding(rule, subject, replace(found, judgement=worst.judgement), judges[worst.index].given), _governing(worst, each)


def _finding(rule: Rule, subject: Any, found: Graded, given: Given) -> Finding:
    judgement = found.judgement
    provision = given.code.provision(judgement.provision or rule.provision)
    return Finding(
        rule.id,
        rule.title,
        tag_of(subject),
        judgement,
        judgement.section,
        provision.citation,
        place_of(subject),
        grade=found.grade,
        source=found.source,
        rests_on=found.rests_on,
        as_reported=found.as_reported,
        is_of_life_safety=is_of_life_safety(rule),
    )


def _governing(worst: Told, told: list[Told]) -> int | None:
    """Return the reading of the worst judgement; None where all readings say the same."""
    return None if len({(each.judgement.verdict, each.judgement.message) for each in told}) == 1 else worst.index


def _with_suggestions(finding: Finding, remedies: Remedies) -> Finding:
    if finding.verdict is not Verdict.VIOLATED or not finding.judgement.remedies:
        return finding
    rule = next(r for r in all_rules() if r.id == finding.rule)
    return replace(finding, suggestions=remedies.that_pass(finding.judgement, rule, finding.subject))
