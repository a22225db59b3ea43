"""An edition whose text was not read for this program, held against the one before it and against what is reported of it.

A requirement of which every provision and table it rests on is reported is judged by both: it passes only where the edition before
and every reported value pass, and a relaxation that is only reported never makes a pass. Of anything else a reader sees what the
edition before says, and the verdict stays *not judged*. Sizes are those of the edition before.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.grade import Grade
from permitgen.code.watched_book import Asked, WatchedBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.sizing import Sizing, size_everything
from permitgen.evaluation.watched_given import WatchedGiven
from permitgen.rules.given import Given
from permitgen.rules.judgement import UNREAD, Judgement, Verdict

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Reading
    from permitgen.rules.rule import Rule
    from permitgen.system.system import System


def sized_by_last_read(system: System, code: CodeBook) -> tuple[Given, tuple[Sizing, ...]]:
    """Return what rules are given once every open choice is made by ``code``, or by the last edition that was read; and the choices."""
    given, sizings = size_everything(Given(system, code.last_read))
    if code.last_read is code:
        return given, sizings
    by = f"by {code.last_read.edition.book}; {code.edition.book} was not read"
    return Given(given.system, code), tuple(replace(sizing, reason=f"{sizing.reason} ({by})") for sizing in sizings)


def sizes_as_reported(system: System, code: CodeBook) -> tuple[Sizing, ...]:
    """Return the choices that what is reported of ``code``, laid over the edition before, would make of ``system``."""
    return size_everything(Given(system, WatchedBook(code, as_reported=True)))[1]


@dataclass(frozen=True, slots=True)
class Graded:
    """A judgement with the grade of the text it rests on, the weakest of all.

    ``rests_on`` is every provision and table it asked for, ``as_reported`` the judgement by what is reported alone.
    """

    judgement: Judgement
    grade: Grade
    source: str
    rests_on: frozenset[Asked] = frozenset()
    as_reported: Judgement | None = None


class UnreadEdition:
    """Judges under an edition that was not read."""

    def __init__(self, given: Given) -> None:
        self._code = given.code
        self._under = given.code.last_read.edition.book
        self._before = WatchedBook(given.code, as_reported=False)
        self._reported = WatchedBook(given.code, as_reported=True)
        self._given_before = WatchedGiven(given.system, self._before)
        self._given_reported = WatchedGiven(given.system, self._reported)
        self.readings: set[Reading] = set()

    def judge(self, rule: Rule, subject: object) -> Graded:
        """Return the judgement of ``rule`` on ``subject`` under the edition before and as reported, made one."""
        before, reported = run_rule(rule, subject, self._given_before), run_rule(rule, subject, self._given_reported)
        self.readings = self._given_before.readings | self._given_reported.readings
        self._given_before.readings, self._given_reported.readings = set(), set()
        asked = frozenset(self._before.asked | self._reported.asked)
        self._before.asked, self._reported.asked = set(), set()
        provision = self._code.provision(reported.provision or rule.provision)
        reports = [found for found in self._provisions(asked) if found.is_reported]
        if any(map(self._is_unread, asked)):
            return Graded(self._not_read(before, reported, provision), Grade.NOT_READ, provision.source, asked, reported)
        if not reports:
            return Graded(reported, provision.grade, provision.source, asked, reported)
        sources = "; ".join(dict.fromkeys(found.source for found in reports))
        return Graded(self._as_reported(before, reported, provision, reports), Grade.REPORTED, sources, asked, reported)

    def _provisions(self, asked: Iterable[Asked]) -> list[Provision]:
        return [self._code.provision(each.name) for each in sorted(asked) if each.kind == "provision"]

    def _is_unread(self, asked: Asked) -> bool:
        if asked.kind == "table":
            return not self._code.is_of_no_edition(asked.name) and self._code.table_report(asked.name) is None
        provision = self._code.provision(asked.name)
        return not provision.is_in_force and not provision.is_reported

    def _not_read(self, before: Judgement, reported: Judgement, provision: Provision) -> Judgement:
        """Return *not judged* with the numbers and the sentence of the edition before, and as reported where that is another result."""
        if _both(before, reported) == {Verdict.DOES_NOT_APPLY}:
            return self._applies_to_neither(before, provision)
        said = f"not checked: the text of {self._code.edition.book} is not confirmed in this program"
        if _result(before) != _result(reported):
            said = f"{said}; as reported: {reported.message} ({reported.verdict})"
        section = before.section if before.section.startswith(self._under) else ", ".join(filter(None, (self._under, before.section)))
        return replace(
            before,
            verdict=Verdict.NOT_JUDGED,
            message=f"{said}; {section}: {before.message} ({before.verdict})",
            missing=(f"{UNREAD} {self._code.edition.book}", *before.missing),
            remedies=(),
            provision=provision.id,
            section=provision.section,
            doubt=provision.doubt,
        )

    def _applies_to_neither(self, before: Judgement, provision: Provision) -> Judgement:
        """What does not apply under the edition before is said not to, with the book that says so: it passes nothing."""
        because = f"under {self._under}: {before.message}"
        return replace(
            before, message=because, because=because, missing=(), provision=provision.id, section=provision.section, doubt=provision.doubt
        )

    def _as_reported(self, before: Judgement, reported: Judgement, provision: Provision, reports: list[Provision]) -> Judgement:
        """Return the one verdict of both, with words that say on what it rests."""
        if _both(before, reported) == {Verdict.DOES_NOT_APPLY}:
            return self._applies_to_neither(before, provision)
        verdict = _verdict_of_both(before.verdict, reported.verdict)
        governing = reported if reported.verdict is verdict else before
        year = self._code.last_read.edition.value
        words = f"{_UNDER[before.verdict]} {year} and as reported; text not read"
        if before.verdict is not reported.verdict:
            words = f"{_UNDER[before.verdict]} {year}, {reported.verdict} as reported; text not read"
        relaxed = "; ".join(f"reported as permitted: {each.relaxes}" for each in reports if each.relaxes)
        return replace(
            governing,
            verdict=verdict,
            message="; ".join(part for part in (governing.message, words, relaxed) if part),
            provision=provision.id,
            section=provision.section,
            missing=governing.missing or ((f"{UNREAD} {self._code.edition.book}",) if verdict is Verdict.NOT_JUDGED else ()),
            remedies=governing.remedies if verdict is Verdict.VIOLATED else (),
            doubt="; ".join(dict.fromkeys(part for part in (governing.doubt, *(each.doubt for each in reports)) if part)),
        )


_UNDER = {verdict: "passes" if verdict is Verdict.PASSES else f"{verdict} under" for verdict in Verdict}


def _both(before: Judgement, reported: Judgement) -> set[Verdict]:
    return {before.verdict, reported.verdict}


def _verdict_of_both(before: Verdict, reported: Verdict) -> Verdict:
    """Return the verdict that two texts give together, the stricter one.

    What the edition before asked for and is reported to be dropped still stands; what is only reported to be new is not passed.
    """
    if {before, reported} == {Verdict.PASSES, Verdict.DOES_NOT_APPLY}:
        return Verdict.PASSES if before is Verdict.PASSES else Verdict.NOT_JUDGED
    order = (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION, Verdict.PASSES)
    return next(verdict for verdict in order if verdict in (before, reported))


def _result(judgement: Judgement) -> tuple[Verdict, float | None, float | None]:
    computed, limit = judgement.computed, judgement.limit
    return judgement.verdict, computed.number if computed is not None else None, limit.number if limit is not None else None
