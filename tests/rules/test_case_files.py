"""Each limit is where the code puts it: the cases of ``case_files.py``, judged edition by edition.

An edition is judged by itself where one provision or table that was consulted for the case differs from the edition judged before it.
Where all of them are equal, the judgement is the same function of the same numbers: equality of the rows proves it, and the suite does
not compute it twice. Nightly computes every edition, and that the proof by rows told the same.
"""

from __future__ import annotations

import re
import traceback
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import pytest

from permitgen.code.edition import Edition
from permitgen.evaluation.sizing import Sizing, size_everything
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement
from permitgen.rules.rule import all_rules
from permitgen.values.units import printed_unit
from permitgen.values.value import Value
from tests.rules.case_files import (
    CASE_KEYS,
    EDITIONS,
    FILE_KEYS,
    HERE,
    Case,
    built,
    case_files,
    cases,
    changes_of,
    code_of,
    judgement_of,
    ordinance_of,
    read_cases,
    under,
)
from tests.rules.consulted_book import ConsultedBook

NUMBER = re.compile(r"(-?[0-9]+(?:\.([0-9]+))?)(?: ?(.+))?")


@lru_cache(maxsize=64)
def _sized(base: str, changes: str, edition: str, built_under: str, ordinance: str) -> tuple[Given, tuple[Sizing, ...]]:
    system = under(built(base, changes, built_under), edition)
    return size_everything(Given(system, ConsultedBook(code_of(edition, system.jurisdiction.fire_code, ordinance))))


def given_for(case: Case, edition: str, built_under: str) -> tuple[Given, tuple[Sizing, ...]]:
    return _sized(case.get("base"), changes_of(case), edition, built_under, ordinance_of(case))


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
