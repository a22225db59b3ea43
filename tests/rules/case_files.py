"""Case files: small projects, one change, the verdict and both numbers, edition by edition; how they are read and built.

A case file ``tests/rules/<subject>/<rule-id>.yaml``::

    rule: conduit-fill
    base: one_branch                  # tests/rules/bases/one_branch.yaml, a complete project file
    source: "Chapter 9 Tables 1, 4, 5; 3 x 0.0507 + 0.0211 by hand"     # required, for the file or for each case
    subject: R1                       # tag judged; may be left out where the rule applies to one subject only
    set: {raceways.R1.trade_size: 3/4 in}                               # for every case without a base of its own (optional)
    cases:
      just inside:
        set: {circuits.C1.conductors.size: 6 AWG}      # dotted paths into the project file; scalars are text as in the file
        unset: [circuits.C1.overcurrent]               # keys taken out
        editions: [2017, 2020, 2023]                   # all three where left out
        verdict: passes                                # passes, violated, caution, not judged, does not apply
        computed: 0.1732 in²                           # whole numbers are exact, others within half a unit of the last digit
        limit: 0.213 in²
      fact missing:
        unset: [raceways.R1.length]
        verdict: not judged
        missing: length of R1                          # part of one of the missing facts

Further keys of a case: ``subject``, ``source``, ``base``; ``ordinance`` (what an amendment file adds, as it is written there); ``method``
(one way of several: its words or its provision's id); ``section`` (as the finding cites it, one text or one for each edition); ``says``
(part of the message); ``sized`` (``{conductor C1: 8 AWG}``: what the program chose).
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import yaml

from permitgen.code.amendment import read_amendment
from permitgen.code.codebook import CodeBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement
from permitgen.rules.rule import Rule, all_rules
from permitgen.rules.subjects import subjects_of, tag_of
from permitgen.system.system import System

HERE = Path(__file__).parent
EDITIONS = ("2017", "2020", "2023")
FILE_KEYS = {"rule", "method", "base", "source", "subject", "ordinance", "set", "unset", "editions", "cases"}
CASE_KEYS = (FILE_KEYS - {"rule", "cases"}) | {"verdict", "computed", "limit", "missing", "section", "says", "sized"}


@dataclass(frozen=True)
class Case:
    """One case of one file, under each of its editions."""

    file: Path
    name: str
    whole: dict[str, Any]
    own: dict[str, Any]

    def get(self, key: str, default: Any = None) -> Any:
        return self.own.get(key, self.whole.get(key, default))

    @property
    def editions(self) -> tuple[str, ...]:
        return tuple(self.get("editions", EDITIONS))

    def __str__(self) -> str:
        return f"{self.file.stem}: {self.name}"


def case_files() -> list[Path]:
    return sorted(path for path in HERE.glob("*/*.yaml") if path.parent.name != "bases")


@cache
def read_cases(path: Path) -> dict[str, Any]:
    """Read a case file; every scalar stays text, so that ``no`` and ``02134`` arrive as a project file has them."""
    data: dict[str, Any] = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)
    return data


def cases() -> Iterator[Case]:
    for path in case_files():
        whole = read_cases(path)
        for name, own in whole["cases"].items():
            yield Case(path, name, whole, own)


@lru_cache
def base_file(name: str) -> ReadFile:
    return read_yaml_file(HERE / "bases" / f"{name}.yaml")


@lru_cache
def code_of(edition: str, fire_code: str, ordinance: str = "null") -> CodeBook:
    """Return the book of an edition; ``ordinance`` is what one adds, as text."""
    added = json.loads(ordinance)
    if not added:
        return CodeBook(edition, fire_code=fire_code)
    written = {"ordinance": {"name": "Rule 1", "date": "2026-01-01"}, **added}
    return CodeBook(edition, [read_amendment(yaml.safe_dump(written).encode(), "rule.yaml")], fire_code=fire_code)


def ordinance_of(case: Case) -> str:
    return json.dumps(case.get("ordinance"))


def put(data: dict[str, Any], path: str, value: Any) -> None:
    """Set ``value`` at a dotted path; mappings on the way are made where they are missing."""
    *above, last = path.split(".")
    found: Any = data
    for step in above:
        found = found[int(step)] if isinstance(found, list) else found.setdefault(step, {})
    found[int(last) if isinstance(found, list) else last] = copy.deepcopy(value)


def take_out(data: dict[str, Any], path: str) -> None:
    """Remove what stands at a dotted path; that it stands there is part of the case."""
    *above, last = path.split(".")
    found: Any = data
    for step in above:
        found = found[int(step)] if isinstance(found, list) else found[step]
    del found[int(last) if isinstance(found, list) else last]


@lru_cache(maxsize=64)
def built(base: str, changes: str, edition: str) -> System:
    """Load the base with its changes (kept as text, so that equal ones are read once)."""
    read = base_file(base)
    data = copy.deepcopy(read.data)
    for part in json.loads(changes):
        for path in part.get("unset", ()):
            take_out(data, path)
        for path, value in part.get("set", {}).items():
            put(data, path, value)
    return build_project(ReadFile(read.file, read.text, data, read.positions), HERE, edition=edition).system


def under(system: System, edition: str) -> System:
    """Return a system as it is built under another edition: nothing else changes, as each base shows below."""
    return replace(system, jurisdiction=replace(system.jurisdiction, edition=int(edition)))


def changes_of(case: Case) -> str:
    """Return what a case changes in its base, as text for ``built``."""
    parts = (case.own,) if "base" in case.own else (case.whole, case.own)
    return json.dumps([{key: part[key] for key in ("set", "unset") if key in part} for part in parts])


def judgement_of(case: Case, given: Given) -> Judgement:
    rule = rule_called(case.whole["rule"])
    judged = {tag_of(subject): run_rule(rule, subject, given) for subject in subjects_of(given, rule.judges)}
    wanted = case.get("subject")
    if wanted is not None:
        assert wanted in judged, f"{rule.id} judges {', '.join(judged)}; there is no {wanted}"
        return judged[wanted]
    applying = {tag: found for tag, found in judged.items() if str(found.verdict) != "does not apply"} or judged
    assert len(applying) == 1 or case.get("verdict") == "does not apply", f"name the subject: {rule.id} applies to {', '.join(applying)}"
    return next(iter(applying.values()))


def rule_called(id_: str) -> Rule:
    found = [rule for rule in all_rules() if rule.id == id_]
    assert found, f"no rule is called {id_!r}"
    return found[0]
