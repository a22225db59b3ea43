"""Findings as text: on a terminal, in the calculation sheet, in ``findings.json`` and in the record."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from permitgen.rules.judgement import Verdict, at_least, at_most
from permitgen.rules.near_limit import near_limit
from permitgen.values.origin import ProjectLine
from permitgen.views.document_id import BESIDE
from permitgen.views.explanation import StepText, steps_of
from permitgen.views.finding_roots import compared_lines, demanded, needed
from permitgen.views.wording import pair_text, value_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.rules.judgement import Judgement


State = Literal["permitted", "built", "tested", "inspected"]
OPEN = (Verdict.VIOLATED, Verdict.NOT_JUDGED, Verdict.CAUTION)
"""The verdicts that somebody has to look at, the gravest first."""
NOT_MET = "not met"
"""A way of several that the numbers do not allow, where another way meets the requirement: no violation."""


def way_verdict(way: str, whole: str) -> str:
    """Return the verdict of a way of several; under a requirement that stands, one that fails is *not met* rather than a violation."""
    return NOT_MET if way == str(Verdict.VIOLATED) and whole != str(Verdict.VIOLATED) else way


def worst_of(verdicts: Iterable[Verdict]) -> Verdict | None:
    """Return the gravest of some verdicts, None of none."""
    found = frozenset(verdicts)
    return next((verdict for verdict in (*OPEN, Verdict.PASSES, Verdict.DOES_NOT_APPLY) if verdict in found), None)


@dataclass(frozen=True, slots=True)
class MethodLine:
    """One way, or one part, of a requirement: its name, section, comparison and verdict.

    ``comparison`` is the reason in words where nothing was compared; ``computed relation limit`` are then empty.
    """

    name: str
    section: str
    comparison: str
    verdict: str
    message: str
    computed: str = ""
    relation: str = ""
    limit: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the project file and what stands there; ``words`` name it by its key, as paper does, so that no comment moves it."""

    file: str = field(metadata=BESIDE)
    line: int = field(metadata=BESIDE)
    column: int = field(metadata=BESIDE)
    text: str
    words: str


@dataclass(frozen=True, slots=True)
class ChangedText:
    """Ordinances that changed a verdict, and what the verdict is without them."""

    ordinances: tuple[str, ...]
    without: str


@dataclass(frozen=True, slots=True)
class FindingText:
    """One finding, everything as text. ``computed`` and ``limit`` are empty where the requirement is a yes or no.

    ``state`` is that of the installation of which it is said: ``permitted``, ``built``, ``tested``.
    ``grade`` says how the text of the requirement is known, ``text_source`` by whom; the latter is empty where no source is recorded.
    ``whatever`` names the unknown numbers that do not change the verdict, ``granted`` who granted what, ``changed`` which ordinances
    changed the verdict; the message says each of these too.
    Of a finding that is not met, ``edits`` are the lines at which it would be mended, ``needed`` says what would have to stand at the
    first of them, and ``demanded`` tells its computed demand from others.
    """

    id: str
    rule: str
    title: str
    verdict: str
    subject: str
    message: str
    section: str
    edition: str
    computed: str
    relation: str
    limit: str
    method: str
    methods: tuple[MethodLine, ...]
    missing: tuple[str, ...]
    suggestions: tuple[str, ...]
    source: Place | None
    places: tuple[Place, ...]
    steps: tuple[StepText, ...]
    doubt: str
    near_limit: tuple[str, ...]
    grade: str
    text_source: str
    state: State = "permitted"
    whatever: tuple[str, ...] = field(default=(), metadata=BESIDE)
    granted: str = field(default="", metadata=BESIDE)
    changed: tuple[ChangedText, ...] = field(default=(), metadata=BESIDE)
    edits: tuple[Place, ...] = field(default=(), metadata=BESIDE)
    needed: str = field(default="", metadata=BESIDE)
    demanded: str = field(default="", metadata=BESIDE)

    @property
    def comparison(self) -> str:
        """``computed relation limit``, or an empty string."""
        return f"{self.computed} {self.relation} {self.limit}" if self.computed and self.limit else ""


def finding_text(finding: Finding, edition: str, state: State = "permitted") -> FindingText:
    """Return a finding as text; ``state`` is that of the installation of which it is said."""
    judgement = finding.judgement
    computed, limit = numbers_of(judgement)
    return FindingText(
        id=finding.id,
        rule=finding.rule,
        title=finding.title,
        verdict=str(finding.verdict),
        subject=finding.subject,
        message=judgement.message,
        section=finding.citation,
        edition=edition,
        computed=computed,
        relation=shown_relation(judgement),
        limit=limit,
        method=judgement.method,
        methods=tuple(_method(part) for part in judgement.parts),
        missing=judgement.missing,
        suggestions=finding.suggestions,
        source=_place(finding.at),
        places=_places(judgement),
        steps=steps_of(judgement.all_values()),
        doubt=judgement.doubt,
        near_limit=tuple(f"{place.path} ({value_text(value)})" for place, value in near_limit(judgement)),
        state=state,
        grade=str(finding.grade),
        text_source=finding.source,
        whatever=judgement.whatever,
        granted=finding.granted.words if finding.granted is not None else "",
        changed=tuple(ChangedText(change.ordinances, str(change.without)) for change in finding.changed),
        edits=_edits(finding),
        needed=needed(judgement),
        demanded=demanded(judgement),
    )


def findings_of(evaluation: Evaluation, *, with_inapplicable: bool = False) -> tuple[FindingText, ...]:
    """Return the findings in order of weight; those that do not apply only on request."""
    book = evaluation.given.code.edition.book
    return tuple(finding_text(f, book) for f in evaluation.findings if with_inapplicable or f.verdict is not Verdict.DOES_NOT_APPLY)


def numbers_of(judgement: Judgement) -> tuple[str, str]:
    """Return both numbers of a comparison as text; empty where there are none."""
    if judgement.computed is not None and judgement.limit is not None:
        return pair_text(judgement.computed, judgement.limit)
    return (
        value_text(judgement.computed) if judgement.computed is not None else "",
        value_text(judgement.limit) if judgement.limit is not None else "",
    )


def shown_relation(judgement: Judgement) -> str:
    """Return the relation that holds between the two numbers: ``≤`` where it is met, ``>`` where ``≤`` is required and not met."""
    opposite = {"≤": ">", "≥": "<", "=": "≠"}
    met = judgement.holds and judgement.verdict is not Verdict.CAUTION
    return judgement.relation if met or judgement.relation not in opposite else _actual(judgement, opposite)


def _actual(judgement: Judgement, opposite: dict[str, str]) -> str:
    computed, limit = judgement.computed, judgement.limit
    if computed is None or limit is None:
        return judgement.relation
    below, above = at_most(computed, limit), at_least(computed, limit)
    holds = {"≤": below, "≥": above, "=": below and above}[judgement.relation]
    return judgement.relation if holds else opposite[judgement.relation]


def _method(part: Judgement) -> MethodLine:
    computed, limit = numbers_of(part)
    relation = shown_relation(part)
    if not (computed and limit):
        return MethodLine(part.method, part.section, part.because, str(part.verdict), part.message)
    comparison = f"{computed} {relation} {limit}"
    return MethodLine(part.method, part.section, comparison, str(part.verdict), part.message, computed, relation, limit)


def _edits(finding: Finding) -> tuple[Place, ...]:
    """Return the lines of the compared values; the line of the subject where none was compared as it stands."""
    if finding.verdict not in (Verdict.VIOLATED, Verdict.CAUTION):
        return ()
    lines = compared_lines(finding.judgement) or ((finding.at,) if finding.at is not None else ())
    return tuple(_as_place(line) for line in lines)


def _place(at: ProjectLine | None) -> Place | None:
    return _as_place(at) if at is not None else None


def _as_place(at: ProjectLine) -> Place:
    return Place(at.file, at.line, at.column, at.spelled, _words(at))


def _words(at: ProjectLine) -> str:
    return f"{at.path}: {at.spelled}" if at.spelled else at.path


def _places(judgement: Judgement) -> tuple[Place, ...]:
    """Return where in the project file the numbers of a judgement were written, in the order of their keys."""
    leaves = (leaf.origin for value in judgement.all_values() for leaf in value.leaves())
    found: dict[tuple[str, str], Place] = {}
    for at in (*judgement.places, *(origin for origin in leaves if isinstance(origin, ProjectLine))):
        words = _words(at)
        found.setdefault((at.path, at.file), Place(at.file, at.line, at.column, words[at.path.rfind(".") + 1 :], words))
    return tuple(found[place] for place in sorted(found))
