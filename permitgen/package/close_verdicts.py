"""Verdicts that stand close to their limit, each with the one or two typed values that move it most: where a slip would turn it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from permitgen.evaluation.evaluate import evaluate_some
from permitgen.evaluation.unread_edition import sized_by_last_read
from permitgen.project.load import LoadedProject, build_project
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import TOLERANCE, Verdict
from permitgen.values.origin import ProjectLine
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wording import pair_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.rules.judgement import Judgement
    from permitgen.values.value import Value

CLOSE_PERCENT = 5.0
"""How near both numbers are; a choice of this program (common practice, no published source)."""
_MOST_VERDICTS, _MOST_VALUES = 6, 2
_NUMBER = re.compile(r"[-+\u2212]?\d+(?:\.\d+)?")
_MOVED = 0.01
_SIZES = "cmil"
_WORDS = {"≤": "at most", "≥": "at least"}


@dataclass(frozen=True, slots=True)
class CloseVerdict:
    """A verdict near its limit: rule, subject, both numbers in words, and the typed values on which it hangs, most weighty first."""

    rule: str
    subject: str
    verdict: str
    numbers: str
    hangs_on: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.subject} {self.rule} {self.verdict}, {self.numbers}; it hangs on {' and on '.join(self.hangs_on)}"


def close_verdicts(loaded: LoadedProject, evaluation: Evaluation) -> tuple[CloseVerdict, ...]:
    """Return the comparisons within ``CLOSE_PERCENT`` of their limit, one for each finding, the nearest first, at most six.

    Which typed values move one most is found by building the project with each of them 1 percent (a temperature 1 degree) larger.
    A comparison counts also where its finding misses another fact.
    """
    near = sorted((found for finding in evaluation.findings for found in _nearest(finding)), key=lambda found: found.apart)
    told: list[CloseVerdict] = []
    for each in near:
        if len(told) < _MOST_VERDICTS and (said := _told(loaded, evaluation, each)) is not None:
            told.append(said)
    return tuple(told)


@dataclass(frozen=True, slots=True)
class _Near:
    """The comparison of a finding that is nearest to its limit: its number among the parts, and how far both are apart."""

    finding: Finding
    number: int
    computed: Value
    limit: Value
    apart: float

    @property
    def part(self) -> Judgement:
        return tuple(self.finding.judgement.nested())[self.number]


def _nearest(finding: Finding) -> Iterator[_Near]:
    found = []
    for number, part in enumerate(finding.judgement.nested()):
        computed, limit = part.computed, part.limit
        if part.verdict not in (Verdict.PASSES, Verdict.VIOLATED) or part.relation not in _WORDS:
            continue
        # What is compared as it was typed names itself; a close one of those is told by "check" beside its finding.
        if computed is None or limit is None or limit.number == 0 or isinstance(computed.origin, ProjectLine):
            continue
        apart = abs(computed.number - limit.number) / abs(limit.number)
        if apart <= CLOSE_PERCENT / 100:
            found.append(_Near(finding, number, computed, limit, apart))
    yield from sorted(found, key=lambda each: each.apart)[:1]


def _told(loaded: LoadedProject, evaluation: Evaluation, near: _Near) -> CloseVerdict | None:
    typed = _typed(near)
    # A number that just meets its limit and follows from one typed value is a standard size that was chosen for it.
    if not typed or (near.apart <= TOLERANCE and (len(typed) == 1 or near.limit.unit == _SIZES)):
        return None
    if len(typed) > _MOST_VALUES:
        typed = _weightiest(loaded, evaluation, near, typed)
    computed, limit = pair_text(near.computed, near.limit)
    words = f"{computed} ({_WORDS[near.part.relation]} {limit})"
    return CloseVerdict(near.finding.rule, near.finding.subject, verdict_word(str(near.part.verdict)), words, tuple(map(_words, typed)))


def _typed(near: _Near) -> list[ProjectLine]:
    found: dict[str, ProjectLine] = {}
    for value in (near.computed, near.limit):
        for leaf in value.leaves():
            if isinstance(leaf.origin, ProjectLine) and _NUMBER.search(leaf.origin.spelled):
                found.setdefault(leaf.origin.path, leaf.origin)
    return list(found.values())


def _words(line: ProjectLine) -> str:
    """Return a typed value in words: of a temperature also on which side of zero it was typed, which is the slip that people make."""
    steps = line.path.split(".")
    name = f"{steps[-1].replace('_', ' ')} of {steps[-2]}" if len(steps) > 1 else steps[-1]
    if not _is_temperature(line.spelled):
        return f"{name}: {line.spelled}"
    size = line.spelled.strip().lstrip("-+\u2212")
    below = line.spelled.strip()[:1] in ("-", "\u2212")
    return f"{name}: {size} {'below' if below else 'above'} zero"


def _is_temperature(spelled: str) -> bool:
    return "°" in spelled and spelled.strip()[-1:] in ("C", "F") and "/" not in spelled


def _weightiest(loaded: LoadedProject, evaluation: Evaluation, near: _Near, typed: Sequence[ProjectLine]) -> list[ProjectLine]:
    now = near.computed.number / near.limit.number
    moved = [(abs(margin - now), line) for line in typed if (margin := _margin_with(loaded, evaluation, near, line)) is not None]
    weighty = sorted((each for each in moved if each[0] > 0), key=lambda each: -each[0])
    return [line for _, line in weighty[:_MOST_VALUES]] or list(typed[:_MOST_VALUES])


def _margin_with(loaded: LoadedProject, evaluation: Evaluation, near: _Near, line: ProjectLine) -> float | None:
    """Return computed over limit with a typed value a little larger; None where the file then says nothing that is judged."""
    path = _place_of(loaded, line)
    if path is None:
        return None
    try:
        data = _with_text(loaded.file.data, path, _larger(line.spelled))
        system = build_project(replace(loaded.file, data=data), loaded.folder).system
    except ProblemsError:
        return None
    given, _ = sized_by_last_read(system, evaluation.given.code)
    found = evaluate_some(given, {near.finding.rule: {near.finding.subject}})
    parts = tuple(found[0].judgement.nested()) if found else ()
    same = parts[near.number] if near.number < len(parts) else None
    if same is None or same.computed is None or same.limit is None or same.limit.number == 0:
        return None
    return same.computed.number / same.limit.number


def _larger(spelled: str) -> str:
    added = 1.0 if _is_temperature(spelled) else 0.0

    def move(found: re.Match[str]) -> str:
        number = float(found[0].replace("\u2212", "-"))
        return f"{number + added if added else number * (1 + _MOVED):.6g}"

    return _NUMBER.sub(move, spelled, count=1)


def _place_of(loaded: LoadedProject, line: ProjectLine) -> tuple[str | int, ...] | None:
    """Return the path of the file at whose place a value stands: an equipment entry has most of them from its catalog entry."""
    wanted = (line.line, line.column)
    there = (path for path, place in loaded.file.positions.values.items() if place == wanted and loaded.file.file_of(path) == line.file)
    return next((path for path in there if _text_at(loaded, path) == line.spelled), None)


def _text_at(loaded: LoadedProject, path: tuple[str | int, ...]) -> Any:
    found: Any = loaded.file.data
    for step in path:
        try:
            found = found[step]
        except (KeyError, IndexError, TypeError):
            return None
    return found


def _with_text(tree: Any, path: Sequence[str | int], text: str) -> Any:
    if not path:
        return text
    changed = tree.copy()
    changed[path[0]] = _with_text(tree[path[0]], path[1:], text)
    return changed
