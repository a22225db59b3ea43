"""Each limit is where the code puts it: small projects, one change, the verdict and both numbers, edition by edition.

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

Further keys of a case: ``subject``, ``source``, ``base``; ``method`` (one way of several: its words or its provision's id);
``section`` (as the finding cites it, one text or one for each edition); ``says`` (part of the message); ``sized``
(``{conductor C1: 8 AWG}``: what the program chose).
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.sizing import Sizing, size_everything
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement
from permitgen.rules.rule import Rule, all_rules
from permitgen.rules.subjects import SUBJECTS, tag_of
from permitgen.values.units import printed_unit
from permitgen.values.value import Value

HERE = Path(__file__).parent
EDITIONS = ("2017", "2020", "2023")
FILE_KEYS = {"rule", "method", "base", "source", "subject", "set", "unset", "editions", "cases"}
CASE_KEYS = (FILE_KEYS - {"rule", "cases"}) | {"verdict", "computed", "limit", "missing", "section", "says", "sized"}
NUMBER = re.compile(r"(-?[0-9]+(?:\.([0-9]+))?)(?: ?(.+))?")


@dataclass(frozen=True)
class Case:
    """One case of one file under one edition."""

    file: Path
    name: str
    edition: str
    whole: dict[str, Any]
    own: dict[str, Any]

    def get(self, key: str, default: Any = None) -> Any:
        return self.own.get(key, self.whole.get(key, default))

    def __str__(self) -> str:
        return f"{self.file.stem}: {self.name}, {self.edition}"


def case_files() -> list[Path]:
    return sorted(path for path in HERE.glob("*/*.yaml") if path.parent.name != "bases")


def read_cases(path: Path) -> dict[str, Any]:
    """Read a case file; every scalar stays text, so that ``no`` and ``02134`` arrive as a project file has them."""
    data: dict[str, Any] = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    return data


def cases() -> Iterator[Case]:
    for path in case_files():
        whole = read_cases(path)
        for name, own in whole["cases"].items():
            for edition in own.get("editions", whole.get("editions", EDITIONS)):
                yield Case(path, name, edition, whole, own)


@lru_cache
def base_file(name: str) -> ReadFile:
    return read_yaml_file(HERE / "bases" / f"{name}.yaml")


@lru_cache
def code_of(edition: str, fire_code: str) -> CodeBook:
    return CodeBook(edition, fire_code=fire_code)


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
def _sized(base: str, changes: str, edition: str) -> tuple[Given, tuple[Sizing, ...]]:
    """Load the base with its changes (kept as YAML text, so that equal ones are evaluated once) and size what is open."""
    read = base_file(base)
    data = copy.deepcopy(read.data)
    for part in yaml.load(changes, Loader=yaml.BaseLoader):
        for path in part.get("unset", ()):
            take_out(data, path)
        for path, value in part.get("set", {}).items():
            put(data, path, value)
    system = build_project(ReadFile(read.file, read.text, data, read.positions), HERE, edition=edition).system
    return size_everything(Given(system, code_of(edition, system.jurisdiction.fire_code)))


def given_for(case: Case) -> tuple[Given, tuple[Sizing, ...]]:
    parts = (case.own,) if "base" in case.own else (case.whole, case.own)
    changes = [{key: part[key] for key in ("set", "unset") if key in part} for part in parts]
    return _sized(case.get("base"), yaml.safe_dump(changes, allow_unicode=True, default_style='"'), case.edition)


def judgement_of(case: Case, given: Given) -> Judgement:
    rule = rule_called(case.whole["rule"])
    judged = {tag_of(subject): run_rule(rule, subject, given) for subject in SUBJECTS[rule.judges](given.system)}
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


def part_of(judgement: Judgement, method: str) -> Judgement:
    found = list(_parts(judgement, method))
    known = sorted({name for p in _all_parts(judgement) for name in (p.method, p.provision) if name})
    assert found, f"no method or provision {method!r} among {known}"
    return found[0]


def _all_parts(judgement: Judgement) -> Iterator[Judgement]:
    yield judgement
    for part in judgement.parts:
        yield from _all_parts(part)


def _parts(judgement: Judgement, method: str) -> Iterator[Judgement]:
    return (part for part in _all_parts(judgement) if method in (part.method, part.provision))


def agrees(value: Value | None, text: str) -> bool:
    """Whether a value is the number written: exactly where it is whole, else within half a unit of its last digit; in the unit written."""
    found = NUMBER.fullmatch(text)
    assert found, f"{text!r} is not a number with its unit"
    if value is None or (found[3] or "") != printed_unit(value.unit):
        return False
    decimals = found[2]
    half = 0.5 * 10 ** -len(decimals) if decimals else 0.0
    written = float(found[1])
    return abs(value.number - written) <= half + 1e-9 * max(1.0, abs(written))


def shown(judgement: Judgement) -> str:
    computed, limit = (f"{v.number:.10g} {printed_unit(v.unit)}" if v is not None else "-" for v in (judgement.computed, judgement.limit))
    compared = f"[{computed} {judgement.relation} {limit}]"
    return f"{judgement.verdict}: {judgement.message} {compared} {judgement.section} missing {judgement.missing}"


@pytest.mark.parametrize("case", list(cases()), ids=str)
def test_the_rule_decides_the_case_as_its_source_does(case: Case) -> None:
    given, sizings = given_for(case)
    judgement = judgement_of(case, given)
    if case.get("method"):
        judgement = part_of(judgement, case.get("method"))
    told = shown(judgement)
    assert str(judgement.verdict) == case.own["verdict"], told
    if "computed" in case.own:
        assert agrees(judgement.computed, case.own["computed"]), told
    if "limit" in case.own:
        assert agrees(judgement.limit, case.own["limit"]), told
    if "missing" in case.own:
        assert any(case.own["missing"] in name for name in judgement.missing), told
    if "says" in case.own:
        assert case.own["says"] in judgement.message, told
    if "section" in case.own:
        section = case.own["section"]
        assert judgement.section == (section[case.edition] if isinstance(section, dict) else section), told
    for what, size in case.own.get("sized", {}).items():
        chosen = {f"{s.what} {s.tag}": s for s in sizings}
        assert what in chosen, f"{what}: the program chose {', '.join(chosen) or 'nothing'}"
        assert chosen[what].chosen == size, f"{what}: {chosen[what]}"


@pytest.mark.parametrize("path", case_files(), ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_case_file_names_its_rule_its_source_and_known_keys_only(path: Path) -> None:
    whole = read_cases(path)
    assert set(whole) <= FILE_KEYS, set(whole) - FILE_KEYS
    assert rule_called(whole["rule"])
    for name, own in whole["cases"].items():
        assert set(own) <= CASE_KEYS, (name, set(own) - CASE_KEYS)
        assert own.get("source") or whole.get("source"), f"{name}: no source"
        assert own.get("base") or whole.get("base"), f"{name}: no base"
        assert ("computed" in own) == ("limit" in own), f"{name}: give both numbers or none"
        if own["verdict"] == "not judged":
            assert "missing" in own, f"{name}: name the missing fact"


@pytest.mark.parametrize("path", sorted((HERE / "bases").glob("*.yaml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_base_is_a_project_the_program_reads(path: Path, edition: str) -> None:
    assert build_project(base_file(path.stem), HERE, edition=edition).system.circuits
