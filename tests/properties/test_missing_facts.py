"""A missing fact is never a silent pass: each fact of the demo project is taken out in turn.

What may happen then is one of four things: the file is refused with a message that has its place; the finding is *not judged*, or
violated; the program sizes what is open; or the finding holds by a value that is written elsewhere, stated by the code, or listed
as an assumption, or compares as much as before and nothing more easily. A finding that held with the help of a fact may not go on
holding without it otherwise, nor turn into *does not apply*.

Two kinds of facts are told apart. A measured fact stands in the derivation of a finding: its line of the project file is among the
leaves. A yes-or-no fact does not; it matters to the findings that the opposite answer violates.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.finding import Finding
from permitgen.project.load import build_project
from permitgen.project.problems import ProblemsError
from permitgen.project.reader import ReadFile, read_project_file
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.values.origin import Assumed, ProjectLine, ProvisionField
from permitgen.values.value import Value

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
Path_ = tuple[str | int, ...]
HOLDS = (Verdict.PASSES, Verdict.CAUTION)
SILENT = (*HOLDS, Verdict.DOES_NOT_APPLY)
# Sections that no rule reads.
NOT_FACTS = ("project", "plan_review", "record", "attachments", "labels", "built")
# Which of the facts are taken out, where taking out all would last too long: every n-th, always the same.
EVERY_MEASURED_FACT, EVERY_ANSWER, EVERY_PLAIN_FACT = 2, 2, 16

# Findings that hold, or do not apply, without a fact for a reason that was looked at. The key: rule and last key of the fact.
LOOKED_AT = {
    ("working-space", "clear_depth"): "advice for storage units, given only where a depth is stated",
    ("pv-to-storage-ratio", "pv_per_storage"): "instructions may state no ratio; then there is none to keep",
    ("rapid-shutdown-inside-array", "voc_coefficient"): "the table of factors is the other way, and the stricter one here",
    ("source-disconnect", "rating"): "any one of several handles may be the disconnect; another one is rated for it",
}
# Rules that hold devices to every limit that is stated; another rule asks for the one that is not, and says so.
ASKED_FOR_ELSEWHERE = ("listed-overcurrent-maximum",)


@lru_cache
def demo() -> ReadFile:
    return read_project_file(DEMO / "project.yaml")


@lru_cache
def base() -> Evaluation:
    return evaluated(demo().data)


def evaluated(data: dict[str, Any]) -> Evaluation:
    file = demo()
    system = build_project(ReadFile(file.file, file.text, data, file.positions), DEMO).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def leaves_of(tree: Any, path: Path_ = ()) -> Iterator[Path_]:
    """Yield the path of every scalar of the project file."""
    if isinstance(tree, dict | list):
        for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
            yield from leaves_of(value, (*path, key))
    else:
        yield path


def at(data: Any, path: Path_) -> Any:
    for step in path:
        data = data[step]
    return data


def without(path: Path_) -> dict[str, Any]:
    data = copy.deepcopy(demo().data)
    del at(data, path[:-1])[path[-1]]
    return data


def with_answer(path: Path_, answer: str) -> dict[str, Any]:
    data = copy.deepcopy(demo().data)
    at(data, path[:-1])[path[-1]] = answer
    return data


def dotted(path: Path_) -> str:
    return ".".join(str(step) for step in path)


def deciding(judgement: Judgement) -> Iterator[Judgement]:
    """Yield what a finding that holds rests on: itself and its parts that hold."""
    yield judgement
    for part in judgement.parts:
        if part.verdict in HOLDS:
            yield from deciding(part)


def values_of(judgement: Judgement) -> Iterable[Value]:
    return (value for value in (judgement.computed, judgement.limit, *judgement.values) if value is not None)


def lines_of(values: Iterable[Value]) -> frozenset[str]:
    return frozenset(written_at(leaf.origin.path) for value in values for leaf in value.leaves() if isinstance(leaf.origin, ProjectLine))


def written_at(line: str) -> str:
    """Return where a value is written: an equipment entry has most of its facts from its catalog entry."""
    section, tag, *rest = line.split(".")
    entry = demo().data["equipment"].get(tag, {}) if section == "equipment" else {}
    if rest and rest[0] not in entry and "catalog" in entry:
        return ".".join(("catalog", entry["catalog"], *rest))
    return line


def lines_behind(finding: Finding) -> frozenset[str]:
    return lines_of(value for part in deciding(finding.judgement) for value in values_of(part))


@lru_cache
def base_lines() -> dict[str, frozenset[str]]:
    return {finding.id: lines_behind(finding) for finding in base().findings if finding.verdict in HOLDS}


def defaults_behind(finding: Finding) -> frozenset[Assumed | ProvisionField]:
    """Return the assumptions and the numbers stated by the code that a finding rests on."""
    values = (value for part in deciding(finding.judgement) for value in values_of(part))
    origins = (leaf.origin for value in values for leaf in value.leaves())
    return frozenset(origin for origin in origins if isinstance(origin, Assumed | ProvisionField))


def comparisons(finding: Finding) -> list[float]:
    """Return for each comparison of a finding the share of the limit that is used, the tightest first."""
    found = []
    for part in deciding(finding.judgement):
        if part.computed is None or part.limit is None:
            continue
        small, large = (part.computed, part.limit) if part.relation != "≥" else (part.limit, part.computed)
        found.append(small.number / large.number if large.number else float("inf"))
    return sorted(found, reverse=True)


def is_as_strict(before: Finding, after: Finding) -> bool:
    """Whether a finding compares as many things as before, and none of them more easily."""
    old, new = comparisons(before), comparisons(after)
    return bool(old) and len(new) >= len(old) and all(after_ >= before_ - 1e-9 for before_, after_ in zip(old, new, strict=False))


def is_accounted_for(path: Path_, before: Finding, after: Finding, evaluation: Evaluation) -> bool:
    """Whether a finding that holds without a fact says how."""
    sized = {(sizing.what, sizing.tag) for sizing in evaluation.sizings} - {(sizing.what, sizing.tag) for sizing in base().sizings}
    if sized or (after.verdict in HOLDS and after.judgement.method != before.judgement.method):
        return True
    if defaults_behind(after) - defaults_behind(before) or lines_behind(after) - base_lines()[before.id]:
        return True
    if after.rule in ASKED_FOR_ELSEWHERE and any(newly_not_judged(evaluation)):
        return True
    return is_as_strict(before, after) or (after.rule, str(path[-1])) in LOOKED_AT


def newly_not_judged(evaluation: Evaluation) -> Iterator[Finding]:
    by_id = base().by_id
    return (f for f in evaluation.findings if f.verdict is Verdict.NOT_JUDGED and by_id[f.id].verdict is not Verdict.NOT_JUDGED)


@lru_cache
def measured_facts() -> tuple[Path_, ...]:
    """Return the facts that stand in the derivation of a finding that holds."""
    paths = {dotted(path): path for path in leaves_of(demo().data)}
    found = {line for lines in base_lines().values() for line in lines}
    return tuple(paths[line] for line in paths if line in found)


@lru_cache
def answers() -> tuple[Path_, ...]:
    found = [path for path in leaves_of(demo().data) if path[0] not in NOT_FACTS and str(at(demo().data, path)) in ("yes", "no")]
    return tuple(found)


@lru_cache
def plain_facts() -> tuple[Path_, ...]:
    others = set(measured_facts()) | set(answers())
    return tuple(path for path in leaves_of(demo().data) if path[0] not in NOT_FACTS and path not in others)


def taken_out(path: Path_) -> Evaluation | None:
    """Evaluate the demo without a fact; None where the file is refused, with a message that has its place and says what is wrong."""
    try:
        return evaluated(without(path))
    except ProblemsError as refused:
        unclear = [problem for problem in refused.problems if problem.line < 1 or not problem.where or len(problem.message) < 10]
        if unclear or not refused.problems:
            pytest.fail(f"{dotted(path)}: {unclear or 'refused without a message'}")
        return None


def wrongly_better(path: Path_, evaluation: Evaluation) -> list[str]:
    """Return findings that were violated or not judged and hold now, or no longer apply, because a fact is missing."""
    by_id = base().by_id
    return [
        f"{dotted(path)}: {after.id} was {by_id[after.id].verdict}, is {after.verdict}: {after.judgement.message}"
        for after in evaluation.findings
        if after.id in by_id and by_id[after.id].verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED) and after.verdict in SILENT
    ]


def test_a_measured_fact_is_missed_by_every_finding_that_rested_on_it() -> None:
    facts = measured_facts()
    assert len(facts) > 100, "the derivations of the demo name their lines"
    silent: list[str] = []
    for path in facts[::EVERY_MEASURED_FACT]:
        evaluation = taken_out(path)
        if evaluation is None:
            continue
        silent += wrongly_better(path, evaluation)
        for before in base().findings:
            after = evaluation.by_id.get(before.id)
            if before.verdict not in HOLDS or after is None or after.verdict not in SILENT or dotted(path) not in base_lines()[before.id]:
                continue
            if not is_accounted_for(path, before, after, evaluation):
                silent.append(f"{dotted(path)}: {after.id} {after.verdict}: {after.judgement.message}")
    assert silent == []


def test_an_answer_is_missed_by_every_finding_that_the_opposite_answer_violates() -> None:
    silent: list[str] = []
    decided = 0
    for path in answers()[::EVERY_ANSWER]:
        opposite = "no" if str(at(demo().data, path)) == "yes" else "yes"
        try:
            other = evaluated(with_answer(path, opposite))
        except ProblemsError:
            continue
        rest_on_it = [f.id for f in other.findings if f.verdict is Verdict.VIOLATED and base().by_id[f.id].verdict in HOLDS]
        decided += bool(rest_on_it)
        evaluation = taken_out(path) if rest_on_it else None
        if evaluation is None:
            continue
        found = (evaluation.by_id.get(id_) for id_ in rest_on_it)
        silent += [f"{dotted(path)}: {f.id} {f.verdict}: {f.judgement.message}" for f in found if f is not None and f.verdict in SILENT]
    assert decided > 3, "some answers of the demo decide something"
    assert silent == []


def test_no_other_fact_makes_a_finding_better_by_being_missing() -> None:
    silent: list[str] = []
    for path in plain_facts()[::EVERY_PLAIN_FACT]:
        evaluation = taken_out(path)
        silent += wrongly_better(path, evaluation) if evaluation is not None else []
    assert silent == []


def test_the_exceptions_that_were_looked_at_are_still_needed() -> None:
    """An entry that no fact of the demo needs any more is taken off the list."""
    keys = {str(path[-1]) for path in measured_facts()}
    assert {key for _, key in LOOKED_AT} <= keys
