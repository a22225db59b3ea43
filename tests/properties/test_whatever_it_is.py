"""A number that nobody states is tried over all that it can be; what is said of all of it has to be true of each.

Sources of the figures: 110.26(A)(1) 3 ft deep, (A)(3) 6-1/2 ft high; NEC chapter 9, table 8 (2023): 4/0 AWG aluminum 0.100 ohm per
1000 ft, so that 400 ft and back let no more than 240 V / 0.080 ohm = 3.0 kA through, 40 ft 30 kA, whatever the utility has. The
reactance of table 9 makes it less, a conductor at a lower temperature than the 75 °C of the table more: by a tenth, by hand.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.physical_range import PhysicalRange, physical_ranges, range_of
from permitgen.package.opened_project import OpenedProject, open_project
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.system.slots import Slot, fact_in, slot_at, with_fact, with_facts
from permitgen.system.system import System
from permitgen.values.origin import Assumed, Tried
from permitgen.values.value import Value

ROOT = Path(__file__).resolve().parents[2]
BASE = ROOT / "tests" / "rules" / "bases" / "one_branch.yaml"
HOMES = (ROOT / "demo_project", *sorted((ROOT / "tests" / "topologies").glob("*.yaml")))
MET = (Verdict.PASSES, Verdict.DOES_NOT_APPLY)
# The numbers of all homes are dealt out to so many tests.
PARTS = 120


def with_space(**facts: str) -> Evaluation:
    return changed({("equipment", "MSP", "place", name): text for name, text in facts.items()})


def changed(facts: dict[tuple[str, ...], str], without: tuple[tuple[str, ...], ...] = ()) -> Evaluation:
    file = read_yaml_file(BASE)
    data: dict[str, Any] = copy.deepcopy(file.data)
    for path, text in facts.items():
        at(data, path[:-1])[path[-1]] = text
    for path in without:
        del at(data, path[:-1])[path[-1]]
    system = build_project(ReadFile(file.file, file.text, data, file.positions), BASE.parent).system
    return evaluate(system, CodeBook(2023), with_suggestions=False)


def at(data: Any, path: tuple[str, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


def test_a_depth_that_fails_is_violated_whatever_the_width() -> None:
    """30 in < 36 in fails by itself; the width that nobody measured changes nothing."""
    found = with_space(clear_depth="30 in", clear_height="8 ft").by_id["working-space:MSP"]
    assert found.verdict is Verdict.VIOLATED


def test_a_depth_that_nobody_states_is_hung_on() -> None:
    found = with_space(clear_width="36 in", clear_height="8 ft").by_id["working-space:MSP"]
    assert (found.verdict, found.judgement.missing) == (Verdict.NOT_JUDGED, ("clear depth in front of MSP",))
    assert found.judgement.message.endswith("on which it hangs")
    assert not any(character.isdecimal() for character in found.judgement.message), "the limit is not told to who has yet to measure"


UTILITY = (("equipment", "UTIL", "available_fault_current"),)


def test_a_long_service_passes_whatever_the_utility_has() -> None:
    """At most 3.3 kA of any source; breakers of 10 and 22 kA."""
    found = changed({("raceways", "R0", "length"): "400 ft"}, UTILITY).by_id
    for id_ in ("interrupting-rating:MSP.2", "interrupting-rating:MSP.main", "short-circuit-current-rating:MSP"):
        judgement = found[id_].judgement
        assert judgement.verdict is Verdict.PASSES
        assert judgement.whatever == ("available fault current stated by the utility",)
        assert judgement.computed is None, "labels and drawings print what is compared"
        assert min(value.number for value in judgement.values if value.unit == "ka") <= 3.3
        assert "whatever available fault current stated by the utility is (10 to 200,000 A)" in judgement.message
        assert any(isinstance(leaf.origin, Tried) for value in judgement.all_values() for leaf in value.leaves())


def test_a_short_service_hangs_on_what_the_utility_has() -> None:
    """Up to 30 kA through 40 ft: more than 10 and 22 kA with one utility, less with another."""
    found = changed({}, UTILITY).by_id
    for id_ in ("interrupting-rating:MSP.2", "interrupting-rating:MSP.main"):
        assert found[id_].verdict is Verdict.NOT_JUDGED
        assert found[id_].judgement.message.endswith("on which it hangs")


def test_a_breaker_below_what_any_source_lets_through_is_violated() -> None:
    """A source of no less than 10 A cannot be interrupted by nothing: 0.001 kA are violated, whatever the utility has."""
    devices = {("circuits", "C1", "overcurrent", "from_end", "interrupting_rating"): "0.001 kA"}
    judgement = changed(devices, UTILITY).by_id["interrupting-rating:MSP.2"].judgement
    assert judgement.verdict is Verdict.VIOLATED
    assert judgement.whatever


def test_a_question_has_its_range() -> None:
    found = range_of("clear width in front of MSP")
    assert found is not None
    assert found[1] == ("equipment.MSP.place.clear_width",)
    assert range_of("whether MSP is outdoors") is None


def test_rows_are_ranges() -> None:
    for each in physical_ranges():
        assert each.lowest < each.highest, each.asked
        assert len(each.because) > 10, each.asked
    assert len({each.asked for each in physical_ranges()}) == len(physical_ranges())


@lru_cache
def home(path: Path) -> OpenedProject:
    return open_project(path)


def stated_in(system: System) -> Iterator[tuple[Slot, PhysicalRange, Value]]:
    """Yield every number of a home for which a range is declared, each once."""
    parts = (system.equipment, system.raceways, system.controls, system.loads, system.known_loads, system.power_controls, system.devices)
    tags = tuple(tag for part in parts for tag in part)
    found: dict[Slot, tuple[PhysicalRange, Value]] = {}
    for each in physical_ranges():
        for path in each.at:
            for slot in (slot_at(system, path.replace("{tag}", tag), each.unit) for tag in (tags if "{tag}" in path else ("",))):
                value = fact_in(system, slot) if slot is not None else None
                if slot is not None and isinstance(value, Value) and value.unit == each.unit:
                    found.setdefault(slot, (each, value))
    return ((slot, *rest) for slot, rest in found.items())


@lru_cache
def all_stated() -> tuple[tuple[Path, Slot, PhysicalRange, Value], ...]:
    return tuple((path, *stated) for path in HOMES for stated in stated_in(home(path).loaded.system))


def test_every_number_of_the_homes_lies_within_its_range() -> None:
    """Homes reasoned by strangers to the ranges: a range that one of them leaves is too narrow."""
    outside = [f"{path.name}: {each.asked} {value.number:g}" for path, _, each, value in all_stated() if not within(each, value.number)]
    assert outside == []
    assert len(all_stated()) > 1000
    assert {each.unit for _, _, each, _ in all_stated()} >= {"a", "ka", "ft", "in", "c"}


def within(each: PhysicalRange, number: float) -> bool:
    return each.lowest <= number <= each.highest


def verdicts(opened: OpenedProject, slot: Slot, fact: Value | None) -> Evaluation:
    return evaluate(with_fact(opened.loaded.system, slot, fact), opened.code, with_suggestions=False)


def is_contradicted(said: Verdict, true: Verdict) -> bool:
    """Whether a verdict given whatever a number is is not that of the number; what is met may be met by not being asked for."""
    return true is not said and not (said in MET and true in MET)


def compares_tried(judgement: Judgement) -> bool:
    """Whether a number that labels and drawings take from a finding is made of one that was tried."""
    compared = (value for part in judgement.nested() for value in (part.computed, part.limit) if value is not None)
    return any(isinstance(leaf.origin, Tried) for value in compared for leaf in value.leaves())


def hides_trials(judgement: Judgement) -> bool:
    """Whether a part that rests on a number that was tried does not say so."""
    parts = (part for each in judgement.parts for part in each.nested() if "tried" not in part.message)
    return any(isinstance(leaf.origin, Tried) for part in parts for value in part.values for leaf in value.leaves())


@pytest.mark.sample(every=120)
@pytest.mark.parametrize("part", range(PARTS))
def test_no_answer_contradicts_what_was_said_whatever_it_is(part: int, seed: int) -> None:
    chance = random.Random(seed + part)
    wrong = []
    for path, slot, each, value in all_stated()[part::PARTS]:
        opened = home(path)
        said = [f for f in verdicts(opened, slot, None).findings if f.judgement.whatever]
        wrong += [
            f"{path.name}: {each.asked}: {finding.id} compares what was tried" for finding in said if compares_tried(finding.judgement)
        ]
        wrong += [f"{path.name}: {each.asked}: {finding.id} hides that it was tried" for finding in said if hides_trials(finding.judgement)]
        numbers = [value.number, *(each.points((chance.random() ** 4,)))] if said else []
        for number in numbers:
            answered = verdicts(opened, slot, Value(number, each.unit, Assumed("an answer")))
            wrong += [
                f"{path.name}: {each.asked} = {number:g}: {finding.id} {answered.by_id[finding.id].verdict}: {finding.judgement.message}"
                for finding in said
                if finding.id in answered.by_id and is_contradicted(finding.verdict, answered.by_id[finding.id].verdict)
            ]
    assert wrong == []


@pytest.mark.sample(every=12)
@pytest.mark.parametrize("path", HOMES, ids=lambda path: path.stem)
def test_a_draft_without_numbers_is_not_contradicted_by_its_home(path: Path) -> None:
    """All numbers taken out at once: several are tried together, and the home as it is gives one of the answers."""
    opened = home(path)
    without = with_facts(opened.loaded.system, [(slot, None) for slot, _, _ in stated_in(opened.loaded.system)])
    draft = evaluate(without, opened.code, with_suggestions=False)
    whole = evaluate(opened.loaded.system, opened.code, with_suggestions=False).by_id
    assert sum(f.judgement.message.endswith("on which it hangs") for f in draft.findings) > 10
    wrong = [f for f in draft.findings if f.judgement.whatever and f.id in whole and is_contradicted(f.verdict, whole[f.id].verdict)]
    assert [(f.id, f.judgement.message, whole[f.id].verdict) for f in wrong] == []
