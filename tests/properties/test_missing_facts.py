"""A missing fact is never a silent pass: each fact of the demo project is taken out in turn, every key of every section.

What may happen then is one of four things: the file is refused with a message that has its place; the finding is *not judged*, or
violated; the program sizes what is open; or the finding holds by a value that is written elsewhere, stated by the code, or listed
as an assumption, compares as much as before and nothing more easily, or was tried over all that the fact can be and says so
(``test_whatever_it_is.py`` holds such findings to it). A finding that held may not go on holding by another
number otherwise, nor turn into *does not apply*; one that did not hold, or was not there, may not hold now.

A list of words is one fact: with a word less it says something else, which is no missing fact.

A fact that says yes, no or one of a few words does not stand in a derivation. It matters to the findings that another answer
violates: those may not hold without it unless an assumption that names its owner is listed.
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
from permitgen.project.directories import read_directories
from permitgen.project.load import build_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import ReadFile, read_text
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.values.origin import Assumed, ProjectLine, ProvisionField
from permitgen.values.value import Value
from tests.whole_project import whole_text

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
Path_ = tuple[str | int, ...]
HOLDS = (Verdict.PASSES, Verdict.CAUTION)
SILENT = (*HOLDS, Verdict.DOES_NOT_APPLY)
OPEN = (Verdict.VIOLATED, Verdict.NOT_JUDGED)
# The facts are dealt out to so many tests, which run side by side.
PARTS = 80
part_of_the_facts = pytest.mark.parametrize("part", range(PARTS))

# Findings that hold, or do not apply, without a fact for a reason that was looked at. The key: rule and last key of the fact.
LOOKED_AT = {
    ("working-space", "clear_depth"): "advice for storage units, given only where a depth is stated",
    ("generator-place", "to_door_or_window"): "measured on the plan where nobody states it and the walls say that all openings are shown",
    ("pv-to-storage-ratio", "pv_per_storage"): "instructions may state no ratio; then there is none to keep",
    ("rapid-shutdown-inside-array", "voc_coefficient"): "the table of factors is the other way, and the stricter one here",
    ("enclosure-type", "enclosure_type"): "indoors any type will do; one that is stated is named",
    ("surge-protective-device", "surge_protection"): "judges a device that is stated; other rules ask whether there is one",
    ("rapid-shutdown-every-mode", "shuts_down"): "that nothing shuts the array down is a violation of another rule",
    ("return-conductor", "neutral"): "a neutral that is left out is sized and drawn with the phases; only a word says that there is none",
    ("source-disconnect", "rating"): "any one of several handles may be the disconnect; another one is rated for it",
}
# Rules that hold devices to every limit that is stated; another rule asks for the one that is not, and says so.
ASKED_FOR_ELSEWHERE = ("listed-overcurrent-maximum",)
# Rules that hold what is stated against what is drawn: only where both are given can they contradict each other.
CONTRADICTIONS = ("fault-current-agrees", "plan-agrees-length", "plan-agrees-place", "plan-agrees-roof")
# Other words for facts of a few words, beside yes and no. The key: last key of the fact.
OTHER_WORDS = {
    "neutral": ("yes", "no"),
    "place": ("indoors", "attic", "outdoors", "roof", "underground"),
    "insulation": ("THHN", "TW"),
    "material": ("copper", "aluminum"),
    "ungrounded": ("1", "2"),
    "poles": ("1", "2"),
    "contactor_poles": ("1", "2"),
    "kind": ("EMT", "PVC-40", "NM-B cable"),
    "supply_end": ("top", "bottom", "center"),
    "dwelling": ("one-family", "two-family", "other"),
    "surface": ("open ground", "street", "driveway"),
    "riser": ("PVC-40", "PVC-80"),
    "neutral_bond": ("installed", "removed", "none possible"),
    "coupling": ("ac", "dc"),
    "source_class": ("1", "2"),
    "leg": ("L1", "L2", "both"),
    "category": ("general", "fixed appliance", "motor", "heat pump"),
    "enclosure_type": ("1", "3R"),
    "space": ("garage", "bedroom", "bathroom", "roof"),
    "vehicle_protection": ("bollard", "none"),
    "fire_detection": ("heat detector", "none"),
    "dedicated_space": ("clear", "obstructed"),
    "surge_protection": ("type 2", "none"),
    "bonding": ("threaded hubs", "standard locknuts"),
    "building": ("house", "garage"),
    "shed": ("none", "island", "always"),
}


@lru_cache
def demo() -> ReadFile:
    """The demo with the devices of its directories where they act, so that each word of a line is a fact of its own."""
    return read_directories(read_text(whole_text(DEMO / "project.yaml"), (DEMO / "project.yaml").as_posix()))[0]


@lru_cache
def base() -> Evaluation:
    return evaluated(demo().data)


def evaluated(data: dict[str, Any]) -> Evaluation:
    file = demo()
    system = build_project(ReadFile(file.file, file.text, data, file.positions), DEMO).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def facts_of(tree: Any, path: Path_ = ()) -> Iterator[Path_]:
    """Yield the path of every scalar of the project file, and of every list of words."""
    if isinstance(tree, list) and all(isinstance(item, str) for item in tree) and not all(is_number(item) for item in tree):
        yield path
    elif isinstance(tree, dict | list):
        for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
            yield from facts_of(value, (*path, key))
    else:
        yield path


def is_number(text: str) -> bool:
    return text.replace(".", "").replace("-", "").isdecimal()


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


def newly_open(evaluation: Evaluation) -> Iterator[Finding]:
    """Yield what is violated or not judged now and was not."""
    by_id = base().by_id
    return (f for f in evaluation.findings if f.verdict in OPEN and (f.id not in by_id or by_id[f.id].verdict not in OPEN))


def owners_of(path: Path_) -> frozenset[str]:
    """Return the tags a fact belongs to: a catalog entry belongs to all equipment made from it."""
    owner = str(path[1]) if len(path) > 1 else ""
    return frozenset(tag for tag, entry in demo().data["equipment"].items() if entry.get("catalog") == owner) | {owner}


def is_listed(path: Path_, evaluation: Evaluation) -> bool:
    """Whether a new assumption is listed that names the owner of the fact."""
    new = set(evaluation.system.assumptions) - set(base().system.assumptions)
    return any(owners_of(path) & set(assumption.title.replace(",", "").split()) or " all " in assumption.title for assumption in new)


def is_told_elsewhere(path: Path_, after: Finding, evaluation: Evaluation) -> bool:
    """Whether another finding, about the fact's owner or the same subject, is open now for want of the fact."""
    names = owners_of(path) | {head_of(after.subject)}
    return any(head_of(found.subject) in names for found in newly_open(evaluation))


def head_of(subject: str) -> str:
    return subject.partition("@")[0].partition(".")[0]


def newly_sized(evaluation: Evaluation) -> frozenset[str]:
    """Return the tags of what the program chose because the fact is open."""
    sized = {(s.tag, s.what, s.chosen) for s in evaluation.sizings} - {(s.tag, s.what, s.chosen) for s in base().sizings}
    return frozenset(tag for tag, _, chosen in sized if chosen)


def is_accounted_for(path: Path_, before: Finding, after: Finding, evaluation: Evaluation) -> bool:
    """Whether a finding that holds, or no longer applies, without a fact says how."""
    if after.judgement.whatever or newly_sized(evaluation) & (owners_of(path) | {head_of(after.subject)}):
        return True
    if after.verdict in HOLDS and after.judgement.method != before.judgement.method:
        return True
    if after.verdict in HOLDS and (defaults_behind(after) - defaults_behind(before) or lines_behind(after) - base_lines()[before.id]):
        return True
    if after.rule in CONTRADICTIONS or (after.rule in ASKED_FOR_ELSEWHERE and any(newly_open(evaluation))):
        return True
    if (after.verdict in HOLDS and is_as_strict(before, after)) or is_listed(path, evaluation):
        return True
    return is_told_elsewhere(path, after, evaluation) or (after.rule, str(path[-1])) in LOOKED_AT


def numbers_of(finding: Finding) -> tuple[float, ...]:
    return tuple(round(value.number, 9) for value in (finding.judgement.computed, finding.judgement.limit) if value is not None)


def rested_on_it(path: Path_, before: Finding, after: Finding) -> bool:
    """Whether a finding that held stood on the fact, or stands on something else now that it is missing."""
    if before.verdict not in HOLDS or after.verdict not in SILENT:
        return False
    return dotted(path) in base_lines()[before.id] or after.verdict not in HOLDS or numbers_of(before) != numbers_of(after)


@lru_cache
def all_facts() -> tuple[Path_, ...]:
    return tuple(facts_of(demo().data))


def answers() -> tuple[Path_, ...]:
    return tuple(path for path in all_facts() if str(at(demo().data, path)) in ("yes", "no") or path[-1] in OTHER_WORDS)


def taken_out(path: Path_) -> Evaluation | None:
    """Evaluate the demo without a fact; None where the file is refused, with a message that has its place and says what is wrong."""
    try:
        return evaluated(without(path))
    except ProblemsError as refused:
        unclear = [problem for problem in refused.problems if problem.line < 1 or not problem.where or len(problem.message) < 10]
        if unclear or not refused.problems:
            pytest.fail(f"{dotted(path)}: {unclear or 'refused without a message'}")
        return None


def wrongly_better(path: Path_, evaluation: Evaluation) -> Iterator[str]:
    """Yield findings that hold because a fact is missing: they were violated, not judged, did not apply or were not there."""
    by_id = base().by_id
    for after in evaluation.findings:
        before = by_id.get(after.id)
        was = str(before.verdict) if before is not None else "absent"
        better = after.verdict in HOLDS and (before is None or before.verdict not in HOLDS)
        better = better or (before is not None and before.verdict in OPEN and after.verdict is Verdict.DOES_NOT_APPLY)
        if better and was == "does not apply" and newly_sized(evaluation):
            continue
        if better and not (was in ("absent", "does not apply") and is_told_elsewhere(path, after, evaluation)):
            yield f"{dotted(path)}: {after.id} was {was}, is {after.verdict}: {after.judgement.message}"


def silent_changes(path: Path_, evaluation: Evaluation) -> Iterator[str]:
    """Yield findings that held, and hold or no longer apply without the fact, and do not say how."""
    for before in base().findings:
        after = evaluation.by_id.get(before.id)
        if after is None:
            if before.verdict in HOLDS and not any(newly_open(evaluation)):
                yield f"{dotted(path)}: {before.id} is gone"
        elif rested_on_it(path, before, after) and not is_accounted_for(path, before, after, evaluation):
            yield f"{dotted(path)}: {after.id} {after.verdict}: {after.judgement.message} (was: {before.judgement.message})"


@pytest.mark.sample(every=80)
@part_of_the_facts
def test_every_finding_misses_the_fact_it_rested_on(part: int) -> None:
    silent: list[str] = []
    for path in all_facts()[part::PARTS]:
        evaluation = taken_out(path)
        if evaluation is not None:
            silent += wrongly_better(path, evaluation)
            silent += silent_changes(path, evaluation)
    assert silent == []


def other_answers(path: Path_) -> Iterator[str]:
    own = at(demo().data, path)
    if own in ("yes", "no"):
        yield "no" if own == "yes" else "yes"
    yield from (word for word in OTHER_WORDS.get(str(path[-1]), ()) if word != own)


def violated_by_another_answer(path: Path_) -> frozenset[str]:
    found: set[str] = set()
    for answer in other_answers(path):
        try:
            other = evaluated(with_answer(path, answer))
        except ProblemsError:
            continue
        by_id = base().by_id
        found |= {f.id for f in other.findings if f.verdict is Verdict.VIOLATED and f.id in by_id and by_id[f.id].verdict in HOLDS}
    return frozenset(found)


@pytest.mark.sample(every=80)
@part_of_the_facts
def test_an_answer_is_missed_by_every_finding_that_another_answer_violates(part: int) -> None:
    silent: list[str] = []
    for path in answers()[part::PARTS]:
        evaluation = taken_out(path)
        if evaluation is None or is_listed(path, evaluation):
            continue
        found = [finding for id_ in sorted(violated_by_another_answer(path)) if (finding := evaluation.by_id.get(id_)) is not None]
        unsaid = [f for f in found if f.verdict in SILENT and f.rule not in CONTRADICTIONS and not is_told_elsewhere(path, f, evaluation)]
        silent += [f"{dotted(path)}: {f.id} {f.verdict}: {f.judgement.message}" for f in unsaid if (f.rule, str(path[-1])) not in LOOKED_AT]
    assert silent == []


def test_the_demo_states_what_the_tests_take_out() -> None:
    """The tests above would hold on an empty file; this one keeps them from running dry."""
    lines = {line for found in base_lines().values() for line in found}
    assert len(lines & {dotted(path) for path in all_facts()}) > 140
    assert len(answers()) > 100
    assert {str(path[0]) for path in all_facts()} >= {"site", "catalog", "equipment", "raceways", "circuits", "control", "loads"}


def test_the_exceptions_that_were_looked_at_are_still_needed() -> None:
    """An entry that no fact of the demo needs any more is taken off the list."""
    keys = {str(path[-1]) for path in all_facts()}
    assert {key for _, key in LOOKED_AT} <= keys
