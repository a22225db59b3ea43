"""The survey: the open questions for the person at the site, as lines of a checklist, by where one stands.

A question is a fact that a *not judged* finding misses and that nameplates or the site tell. Its line is named by the key of the project
file that an answer is written to, so that an answer of today is still the answer to the same question tomorrow.
"""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.field_verdict import PassRule
from permitgen.system.key_form import SURVEY
from permitgen.views.checklist.blocks import Block
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection
from permitgen.views.field_checklist import FieldChecklist
from permitgen.views.survey_places import Spot, in_walking_order, spot_of
from permitgen.views.title import title_of
from permitgen.views.wording import plural

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.key_form import KeyForm
    from permitgen.system.system import System
    from permitgen.views.questions import AskedFact, Question

AT_SITE = ("nameplate", "site")
"""Who knows what somebody sees who stands there."""
_AT_DESK = "site.climate."
"""Begins the keys of the site that a table of weather stations answers."""
_LONGEST_LINE, _LONGEST_SHOWN = 160, 120
_ANSWER = PassRule(kind="answer")

# What to measure, by the key: one drawing for each kind of measurement.
_FIGURES = {
    "clear_depth": "working depth",
    "clear_width": "working width",
    "clear_height": "working height",
    "dedicated_space": "dedicated space",
    "handle_height": "handle height",
    "bottom_height": "lower edge",
    "to_door_or_window": "opening",
    "to_openings": "opening",
    "to_next_unit": "next unit",
    "length": "run",
    "tap_length": "run",
    "cover": "cover",
    "above_roof": "above roof",
    "directory": "panel",
    "spaces_used": "panel",
    "all_breakers_but_main": "panel",
    "spaces": "panel",
}
_PLATE, _LUGS = "nameplate", "terminal label"
_IN_WORDS = "Say in words what is there."
_OF_ONE_PLATE = (_PLATE, _LUGS, "panel")


@dataclass(frozen=True, slots=True)
class EarlierAnswer:
    """What somebody said to a question before: ``value`` is empty where it could not be seen, ``why`` then says why."""

    line: str
    value: str
    why: str
    by: str
    date: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyLine(ChecklistLine):
    """One question: the ``form`` of its answer, the ``figure`` that shows what to measure (empty for none), what was said before.

    ``opens`` counts the verdicts that wait for it alone, ``among`` those that wait for other answers too.
    """

    form: KeyForm
    figure: str = ""
    earlier: tuple[str, ...] = ()
    opens: int = 0
    among: int = 0

    @property
    def is_told(self) -> bool:
        """Whether it is answered in words that no single line of the file holds."""
        return self.form.kind == "told"

    @property
    def waits(self) -> str:
        """How many verdicts wait for the answer, in words."""
        parts = [f"decides {plural(self.opens, 'check')}"] if self.opens else []
        parts += [f"{plural(self.among, 'check')} with other answers"] if self.among else []
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Survey(FieldChecklist):
    """The whole survey. ``left_to_office`` counts what a nameplate or the site tells and nobody sees there: of what is not there yet."""

    left_to_office: int = 0

    @property
    def key(self) -> str:
        """What a phone keeps the answers under: apart from the checklist of the same plans."""
        return f"{self.project}|{self.revision}|{self.fingerprint[:16]}|survey"

    @property
    def questions(self) -> tuple[SurveyLine, ...]:
        """Every question in order."""
        return tuple(line for line in self.lines if isinstance(line, SurveyLine))

    @property
    def figures(self) -> tuple[str, ...]:
        """The drawings that questions refer to, each once, in the order in which they are met."""
        return tuple(dict.fromkeys(line.figure for line in self.questions if line.figure))

    @property
    def entries(self) -> int:
        """How many questions there are."""
        return len(self.lines)


def survey_of(
    evaluation: Evaluation,
    questions: Sequence[Question],
    form_of: Callable[[str], KeyForm],
    earlier: Iterable[EarlierAnswer],
    fingerprint: str,
) -> Survey:
    """Return the survey of the ``questions`` of ``check``; ``form_of`` gives the form of a key, ``earlier`` what was said before."""
    system = evaluation.system
    said = _said(earlier)
    asked = [(question.knows, fact) for question in questions if question.knows in AT_SITE for fact in question.facts]
    here = [(knows, fact) for knows, fact in asked if _is_seen_there(system, knows, fact)]
    found: dict[str, tuple[Spot, SurveyLine]] = {}
    for knows, fact in here:
        spot, line = _line(system, knows, fact, form_of, said)
        found[line.id] = (spot, _joined(found[line.id][1], line) if line.id in found else line)
    newest = system.project.revision
    return Survey(
        title=title_of(evaluation),
        project=system.project.key,
        revision=newest.number if newest is not None else 0,
        fingerprint=fingerprint,
        sections=tuple(_sections(system, list(found.values()))),
        instructions=(),
        bases=(),
        left_to_office=len(asked) - len(here),
    )


def answered_line(line: str, tag: str, shown: str) -> ChecklistLine:
    """Return a question that was asked before, as far as further answers to it are checked; ``shown`` are its words."""
    return ChecklistLine(id=line, tag=tag, instruction=shown, rule=_ANSWER, basis="CP", permitted=shown)


def _is_seen_there(system: System, knows: str, fact: AskedFact) -> bool:
    """Whether a fact is seen at the site: of a nameplate, if it hangs on existing equipment or a device of an existing circuit."""
    if knows != "nameplate":
        return not fact.path.startswith(_AT_DESK)
    section, _, rest = fact.path.partition(".")
    tag = rest.partition(".")[0]
    if section == "circuits" and tag in system.circuits:
        return system.circuits[tag].existing
    spot = spot_of(system, fact.path, fact.asked)
    return spot.tag in system.equipment and system.equipment[spot.tag].status == "existing"


def _said(earlier: Iterable[EarlierAnswer]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, list[str]] = defaultdict(list)
    for answer in earlier:
        what = answer.value or f"could not see it{f' ({answer.why})' if answer.why else ''}"
        found[answer.line].append(f"{answer.by}, {answer.date}: {what}")
    return {line: tuple(told) for line, told in found.items()}


def _line(
    system: System, knows: str, fact: AskedFact, form_of: Callable[[str], KeyForm], said: Mapping[str, tuple[str, ...]]
) -> tuple[Spot, SurveyLine]:
    form = form_of(fact.path)
    spot = spot_of(system, fact.path, fact.asked)
    id_ = _id(fact.path if form.kind != "told" else fact.asked)
    words = _words(fact.asked, spot.tag, form)
    figure = _FIGURES.get(fact.key.rpartition(".")[2], _plate(knows, fact.key))
    line = SurveyLine(
        id=id_,
        tag=spot.tag,
        instruction=words,
        rule=_ANSWER,
        basis="CP",
        why=form.meaning if form.kind != "told" else _IN_WORDS,
        permitted=words[:_LONGEST_SHOWN],
        path=fact.path if form.kind != "told" else "",
        form=form,
        figure=figure,
        photo=figure in _OF_ONE_PLATE,
        earlier=said.get(id_, ()),
        opens=fact.opens,
        among=fact.among,
    )
    return spot, line


def _id(asked: str) -> str:
    """Return the id of a question: what is asked, and where that is too long for a line its beginning and a digest of it."""
    id_ = f"{SURVEY}{asked}"
    return id_ if len(id_) <= _LONGEST_LINE else f"{id_[: _LONGEST_LINE - 17]}-{hashlib.sha256(asked.encode()).hexdigest()[:16]}"


def _words(asked: str, tag: str, form: KeyForm) -> str:
    """Return the words of a question: as the rules ask, unless they ask *whether* and the key says *which*."""
    if asked.startswith("whether ") and form.kind == "choice" and not set(form.choices) <= {"yes", "no"}:
        asked = f"{re.split('[:;,.]', form.meaning)[0]}{f' ({tag})' if tag else ''}"
    return f"{asked[:1].upper()}{asked[1:]}"


def _plate(knows: str, key: str) -> str:
    if knows != "nameplate":
        return ""
    return _LUGS if key.startswith(("terminals", "bending_space")) else _PLATE


def _joined(one: SurveyLine, other: SurveyLine) -> SurveyLine:
    """Return one question for two facts that one key answers, in the words of the first; it opens what waits for either."""
    return replace(one, opens=one.opens + other.opens, among=max(one.among, other.among))


def _sections(system: System, found: Sequence[tuple[Spot, SurveyLine]]) -> Iterator[ChecklistSection]:
    for stand in in_walking_order(system, [spot.stand for spot, _ in found]):
        here = [(spot, line) for spot, line in found if spot.stand == stand]
        blocks = tuple(
            _block(title, [line for spot, line in here if spot.title == title]) for title in dict.fromkeys(s.title for s, _ in here)
        )
        lines = tuple(line for block in blocks for line in block.lines)
        yield ChecklistSection(f"at:{stand}", here[0][0].stand_title, "", lines, blocks=blocks)


def _block(title: str, lines: Sequence[SurveyLine]) -> Block:
    """Return the questions at one thing, those of one figure together: what opens most first, what is told in words last."""
    figures: dict[str, tuple[bool, int]] = {}
    for line in lines:
        figures[line.figure] = min(figures.get(line.figure, (True, 0)), (line.is_told, -line.opens))
    ordered = sorted(lines, key=lambda line: (figures[line.figure], line.figure, line.is_told, -line.opens, -line.among, line.id))
    # One photo of a nameplate answers all that is asked of it.
    first = {line.figure: line.id for line in reversed(ordered)}
    return Block(title, "table", title, tuple(replace(line, photo=line.photo and first[line.figure] == line.id) for line in ordered))
