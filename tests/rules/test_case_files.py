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

Further keys of a case: ``subject``, ``source``, ``base``; ``ordinance`` (what an amendment file adds, as it is written there); ``method``
(one way of several: its words or its provision's id); ``section`` (as the finding cites it, one text or one for each edition); ``says``
(part of the message); ``sized`` (``{conductor C1: 8 AWG}``: what the program chose).

An edition is judged by itself where one provision or table that was consulted for the case differs from the edition judged before it.
Where all of them are equal, the judgement is the same function of the same numbers: equality of the rows proves it, and the suite does
not compute it twice. Nightly computes every edition, and that the proof by rows told the same.
"""

from __future__ import annotations

import copy
import json
import re
import traceback
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.code.amendment import read_amendment
from permitgen.code.codebook import CodeBook
from permitgen.code.edition import Edition
from permitgen.code.errors import TableNotInForceError
from permitgen.code.provision import Provision
from permitgen.code.table import Table
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.sizing import Sizing, size_everything
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement
from permitgen.rules.rule import Rule, all_rules
from permitgen.rules.subjects import subjects_of, tag_of
from permitgen.system.system import System
from permitgen.values.units import printed_unit
from permitgen.values.value import Value

HERE = Path(__file__).parent
EDITIONS = ("2017", "2020", "2023")
FILE_KEYS = {"rule", "method", "base", "source", "subject", "ordinance", "set", "unset", "editions", "cases"}
CASE_KEYS = (FILE_KEYS - {"rule", "cases"}) | {"verdict", "computed", "limit", "missing", "section", "says", "sized"}
NUMBER = re.compile(r"(-?[0-9]+(?:\.([0-9]+))?)(?: ?(.+))?")


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


class ConsultedBook:
    """A code book that remembers what it was asked: provisions and tables by name, and ``asked_otherwise`` for anything else."""

    def __init__(self, book: CodeBook) -> None:
        self.book = book
        self.provisions: set[str] = set()
        self.tables: set[str] = set()
        self.asked_otherwise = False
        self.amendments = book.amendments

    def provision(self, provision_id: str) -> Provision:
        self.provisions.add(provision_id)
        return self.book.provision(provision_id)

    def table(self, name: str) -> Table:
        self.tables.add(name)
        return self.book.table(name)

    def __getattr__(self, name: str) -> Any:
        self.asked_otherwise = True
        return getattr(self.book, name)

    def would_have_answered_the_same(self, edition: str) -> bool:
        """Whether ``edition`` gives the same row for everything asked, but for the name of the book."""
        editions = (self.book.edition.value, edition, self.book.fire_code.value)
        if self.asked_otherwise or self.amendments:
            return False
        rows = all(same_provision(name, *editions) for name in self.provisions)
        return rows and all(same_table(name, *editions) for name in self.tables)


@cache
def same_provision(name: str, one: str, other: str, fire_code: str) -> bool:
    first, second = (code_of(edition, fire_code).provision(name) for edition in (one, other))
    return first == replace(second, book=first.book)


@cache
def same_table(name: str, one: str, other: str, fire_code: str) -> bool:
    """Whether two editions print the same table; one that either lacks counts as different."""
    try:
        first, second = (code_of(edition, fire_code).table(name) for edition in (one, other))
    except TableNotInForceError:
        return False
    return first == replace(second, book=first.book)


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


@lru_cache(maxsize=64)
def _sized(base: str, changes: str, edition: str, built_under: str, ordinance: str) -> tuple[Given, tuple[Sizing, ...]]:
    system = under(built(base, changes, built_under), edition)
    return size_everything(Given(system, ConsultedBook(code_of(edition, system.jurisdiction.fire_code, ordinance))))


def given_for(case: Case, edition: str, built_under: str) -> tuple[Given, tuple[Sizing, ...]]:
    parts = (case.own,) if "base" in case.own else (case.whole, case.own)
    changes = [{key: part[key] for key in ("set", "unset") if key in part} for part in parts]
    return _sized(case.get("base"), json.dumps(changes), edition, built_under, ordinance_of(case))


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


@dataclass(frozen=True)
class Judged:
    """What the program says of a case under one edition, and the book it asked."""

    edition: str
    judgement: Judgement
    sizings: tuple[Sizing, ...]
    book: ConsultedBook

    @property
    def told(self) -> str:
        """All of it: every number with its origin, every word, what was chosen; not where a function lies in memory."""
        return re.sub(r" at 0x[0-9a-f]+", "", f"{self.judgement}{self.sizings}")

    def holds_under(self, edition: str) -> bool:
        """Whether ``edition`` must give the same: every row asked for is the same, and no word said names the book."""
        return self.book.would_have_answered_the_same(edition) and Edition.of(self.edition).book not in self.told


def judged(case: Case, edition: str, built_under: str) -> Judged:
    given, sizings = given_for(case, edition, built_under)
    judgement = judgement_of(case, given)
    if case.get("method"):
        judgement = part_of(judgement, case.get("method"))
    return Judged(edition, judgement, sizings, given.code)


def differences(case: Case, edition: str, found: Judged) -> Iterator[str]:
    """Say where a judgement is not what the case expects under ``edition``."""
    own, judgement = case.own, found.judgement
    chosen = {f"{s.what} {s.tag}": s for s in found.sizings}
    held = {
        "verdict": lambda wanted: str(judgement.verdict) == wanted,
        "computed": lambda wanted: agrees(judgement.computed, wanted),
        "limit": lambda wanted: agrees(judgement.limit, wanted),
        "missing": lambda wanted: any(wanted in name for name in judgement.missing),
        "says": lambda wanted: wanted in judgement.message,
        "section": lambda wanted: judgement.section == (wanted[edition] if isinstance(wanted, dict) else wanted),
        "sized": lambda wanted: all(what in chosen and chosen[what].chosen == size for what, size in wanted.items()),
    }
    for key, holds in held.items():
        if key in own and not holds(own[key]):
            yield f"{key} is {own[key]}" + (f"; chosen was {', '.join(map(str, chosen.values())) or 'nothing'}" if key == "sized" else "")


def shortened(case: Case) -> Iterator[tuple[str, Judged]]:
    """Give a judgement for each edition, computed only where no edition before it has the same rows."""
    computed: list[Judged] = []
    for edition in case.editions:
        same = [found for found in computed if found.holds_under(edition)]
        if not same:
            computed.append(judged(case, edition, case.editions[0]))
        yield edition, same[0] if same else computed[-1]


def cases_by_file() -> dict[str, list[Case]]:
    """Return the cases of each file: a file is a test, for every test costs its collection in every worker."""
    found: dict[str, list[Case]] = {}
    for case in cases():
        found.setdefault(f"{case.file.parent.name}/{case.file.stem}", []).append(case)
    return found


CASES_BY_FILE = cases_by_file()


def told_otherwise(case: Case) -> Iterator[str]:
    """Say where the program does not tell of a case what its source does."""
    for edition, found in shortened(case):
        for wanted in differences(case, edition, found):
            yield f"{case}, {edition}: expected that {wanted}\n    {shown(found.judgement)}"


def not_as_proved(case: Case) -> Iterator[str]:
    """Say which editions, computed by themselves, tell something else than the proof by equal rows."""
    for edition, proved in shortened(case):
        found = judged(case, edition, edition)
        if list(differences(case, edition, found)) or found.told != proved.told:
            yield f"{case}, {edition}: {shown(found.judgement)}, as {shown(proved.judgement)}"


def told_of_each(cases: Iterable[Case], tell: Callable[[Case], Iterator[str]]) -> list[str]:
    """Return what is told of each case; one that the program or the case itself breaks off is named as well and hides no other."""
    told: list[str] = []
    for case in cases:
        try:
            told += tell(case)
        except (AssertionError, LookupError, ValueError, TypeError, AttributeError) as broken:
            told.append(f"{case}: broke off\n{''.join(traceback.format_exception(broken))}")
    return told


@pytest.mark.parametrize("name", CASES_BY_FILE)
def test_the_rule_decides_each_case_as_its_source_does(name: str) -> None:
    told = told_of_each(CASES_BY_FILE[name], told_otherwise)
    assert not told, "\n".join(told)


@pytest.mark.nightly
@pytest.mark.parametrize("name", CASES_BY_FILE)
def test_every_edition_judged_by_itself_says_what_equal_rows_prove(name: str) -> None:
    told = told_of_each(CASES_BY_FILE[name], not_as_proved)
    assert not told, "\n".join(told)


def faults(path: Path) -> Iterator[str]:
    """Say what is wrong with a case file: an unknown rule or key, no source, no base, half a comparison."""
    whole = read_cases(path)
    yield from (f"unknown key {key}" for key in set(whole) - FILE_KEYS)
    if whole["rule"] not in {rule.id for rule in all_rules()}:
        yield f"no rule is called {whole['rule']}"
    for name, own in whole["cases"].items():
        yield from (f"{name}: unknown key {key}" for key in set(own) - CASE_KEYS)
        yield from (f"{name}: no {key}" for key in ("source", "base") if not (own.get(key) or whole.get(key)))
        if ("computed" in own) != ("limit" in own):
            yield f"{name}: give both numbers or none"
        if own["verdict"] == "not judged" and "missing" not in own:
            yield f"{name}: name the missing fact"


def test_every_case_file_names_its_rule_its_source_and_known_keys_only() -> None:
    found = [f"{path.parent.name}/{path.name}: {fault}" for path in case_files() for fault in faults(path)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("path", sorted((HERE / "bases").glob("*.yaml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_base_is_a_project_the_program_reads(path: Path, edition: str) -> None:
    system = built(path.stem, "[]", edition)
    assert system.circuits
    assert repr(system) == repr(under(built(path.stem, "[]", EDITIONS[0]), edition))
