"""A violation stays visible whatever else is missing: one fact is moved beyond its limit, another fact of the same rule taken out.

Source: the two facts belong to two parts of one requirement, each of which the code states by itself (for example depth, width and
height of 110.26(A)(1), (2), (3)); what one part compares cannot hang on the other part's number. Which numbers a part compares is
read from the derivation, so that a rule with a new part is tried without being named here.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.sizing import size_everything
from permitgen.project.load import build_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import ReadFile, read_text
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.rules.rule import Rule, all_rules
from permitgen.rules.subjects import subjects_of, tag_of
from permitgen.values.origin import ProjectLine
from permitgen.values.value import Value
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
TOPOLOGIES = ROOT / "tests" / "topologies"
PROJECTS = {
    "demo": ROOT / "demo_project" / "project.yaml",
    "pv on the supply side": TOPOLOGIES / "b02_pv_supply_side.yaml",
    "whole home": TOPOLOGIES / "b03_whole_home.yaml",
    "hybrid inverter": TOPOLOGIES / "b09_hybrid_inverter.yaml",
    "generator inlet": TOPOLOGIES / "b14_generator_inlet.yaml",
}
FACTORS = (0.02, 50.0)
# Rules of several ways of which one suffices: a way that is not open any more is no part that was hidden.
OF_WAYS = ("busbar-sources", "feeder-with-source", "source-disconnect")


class Pair(NamedTuple):
    """One fact that a part of a rule compares and one that only another part needs, as dotted keys."""

    rule: Rule
    subject: str
    moved: str
    removed: str


@cache
def read(name: str) -> ReadFile:
    return read_text(whole_text(PROJECTS[name]), PROJECTS[name].as_posix())


def given_for(name: str, data: dict[str, Any]) -> Given:
    file = read(name)
    system = build_project(ReadFile(file.file, file.text, data, file.positions), PROJECTS[name].parent).system
    return size_everything(Given(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code)))[0]


def judged(rule: Rule, subject: str, given: Given) -> Judgement | None:
    return next((run_rule(rule, found, given) for found in subjects_of(given, rule.judges) if tag_of(found) == subject), None)


def keys_behind(value: Value | None) -> Iterator[str]:
    for leaf in value.leaves() if value is not None else ():
        if isinstance(leaf.origin, ProjectLine):
            yield leaf.origin.path


def keys_of(part: Judgement) -> frozenset[str]:
    return frozenset(key for value in (part.computed, part.limit) for key in keys_behind(value))


@cache
def pairs(name: str) -> tuple[Pair, ...]:
    """Every pair of facts of two compared parts of one requirement; ways of which one suffices are no parts."""
    given = given_for(name, read(name).data)
    found: dict[Pair, None] = {}
    data = read(name).data
    for rule in (rule for rule in all_rules() if rule.id not in OF_WAYS):
        for subject in subjects_of(given, rule.judges):
            judgement = run_rule(rule, subject, given)
            compared = [part for part in judgement.parts if part.computed is not None]
            for part in compared:
                own = keys_of(part)
                found |= {
                    Pair(rule, tag_of(subject), moved, removed): None
                    for other in compared
                    if other is not part
                    for moved in own - keys_of(other)
                    for removed in keys_of(other) - own
                    if entry(data, moved) is not None and entry(data, removed) is not None
                }
    return tuple(sorted(found, key=lambda pair: (pair.rule.id, pair.subject, pair.moved, pair.removed)))


def entry(data: Any, key: str) -> tuple[Any, str] | None:
    """Return what holds a key and its last step; None where it is written elsewhere, as in a catalog entry."""
    *path, last = key.split(".")
    for step in path:
        data = data.get(step) if isinstance(data, dict) else None
    return (data, last) if isinstance(data, dict) and last in data else None


def times(text: str, factor: float) -> str:
    number, _, unit = text.partition(" ")
    return f"{float(number) * factor:g} {unit}".strip()


def moved(data: dict[str, Any], key: str, factor: float) -> dict[str, Any] | None:
    data = copy.deepcopy(data)
    at = entry(data, key)
    if at is None or not str(at[0][at[1]]).split(" ")[0].replace(".", "").isdecimal():
        return None
    at[0][at[1]] = times(str(at[0][at[1]]), factor)
    return data


def outcome(name: str, pair: Pair, factor: float) -> tuple[Judgement, Judgement] | None:
    """Return the judgement on the moved fact, and on it with the other fact taken out; None where a file is refused."""
    beyond = moved(read(name).data, pair.moved, factor)
    if beyond is None:
        return None
    without = copy.deepcopy(beyond)
    at = entry(without, pair.removed)
    if at is None:
        return None
    del at[0][at[1]]
    try:
        before = judged(pair.rule, pair.subject, given_for(name, beyond))
        after = judged(pair.rule, pair.subject, given_for(name, without))
    except ProblemsError:
        return None
    return (before, after) if before is not None and after is not None else None


def violated_by(pair: Pair, judgement: Judgement) -> bool:
    return any(part.verdict is Verdict.VIOLATED and pair.moved in keys_of(part) for part in judgement.parts)


def hidden(name: str, chosen: tuple[Pair, ...]) -> tuple[int, list[str]]:
    tried, lost = 0, []
    for pair in chosen:
        for factor in FACTORS:
            both = outcome(name, pair, factor)
            # Where another fact of the same part is what is missing, or the violation is the missing fact's own, nothing is hidden.
            if both is None or both[0].verdict is not Verdict.VIOLATED or not violated_by(pair, both[0]):
                continue
            tried += 1
            if both[1].verdict is not Verdict.VIOLATED:
                lost.append(f"{name}: {pair.rule.id} {pair.subject}: {pair.moved} x {factor:g}, without {pair.removed}: {both[1].message}")
    return tried, lost


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", PROJECTS)
def test_a_violation_is_not_hidden_by_a_missing_fact(name: str) -> None:
    """A sample of the pairs: each kind of fact of each rule once."""
    one_of_each = {(pair.rule.id, pair.moved.rpartition(".")[2]): pair for pair in pairs(name)}
    tried, lost = hidden(name, tuple(one_of_each.values()))
    assert lost == []
    assert tried >= 1


@pytest.mark.nightly
@pytest.mark.parametrize("name", PROJECTS)
def test_no_violation_is_hidden_by_a_missing_fact(name: str) -> None:
    """Every pair."""
    assert hidden(name, pairs(name))[1] == []
