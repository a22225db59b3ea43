"""Marks of terminals are judged on whatever equipment they stand: a mark that does not fit is a finding at each end of each circuit.

NEC 110.14 (sizes, materials, number of conductors), 110.14(C) (temperature), 110.3(B) (rated current).
"""

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import get_args

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.project.load import load_project
from permitgen.project.sections.equipment import EquipmentEntry
from permitgen.rules.given import Given
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.pv_current import rated_input_current
from permitgen.rules.quantities.terminal_rating import terminal_rating_c
from permitgen.rules.rule import all_rules
from permitgen.rules.subjects import subjects_of
from permitgen.system.terminal import Terminal
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

TESTS = Path(__file__).parents[2]
PROJECTS = (
    TESTS.parent / "demo_project" / "project.yaml",
    *sorted((TESTS / "topologies").glob("*.yaml")),
    *sorted((TESTS / "rules" / "bases").glob("*.yaml")),
)
RULES = {rule.id: rule for rule in all_rules()}
# No circuit ends on an electrode; no project of the repository has the switch of an initiator on a power circuit.
WITHOUT_CIRCUITS = {"grounding_electrode_system", "rapid_shutdown_initiator"}
GOOD = Terminal(
    name="T", smallest=ConductorSize("18"), largest=ConductorSize("1000"), materials=frozenset({"copper", "aluminum"}), fine_stranded=True
)


def value(number, unit):
    return Value(number, unit, FromSystem("planted"), "x", "planted")


@cache
def system_of(path):
    return load_project(path).system


def ends():
    for path in PROJECTS:
        system = system_of(path)
        for circuit in system.circuits.values():
            for end in circuit.ends:
                if circuit.conductors.size is not None:
                    yield path, system, circuit, end


def planted(system, end, terminal):
    """Return what rules are given where the terminal at an end has other marks."""
    item = system.equipment[end.tag]
    found = item.terminal_of(end)
    names = [name for name, each in item.terminals.items() if each is found]
    name = names[0] if names else "breaker" if end.position is not None else end.terminal or "main"
    changed = system.with_equipment(replace(item, terminals={**item.terminals, name: terminal}))
    return Given(changed, CodeBook(2023))


def verdict_at(given, rule_id, circuit, end):
    subjects = {subject.tag: subject for subject in subjects_of(given, RULES[rule_id].judges)}
    tag = f"{circuit.tag}@{end}" if RULES[rule_id].judges == "termination" else circuit.tag
    return run_rule(RULES[rule_id], subjects[tag], given).verdict


def offenders(rule_id, mark):
    """Return the ends at which a rule finds no fault in a terminal with a wrong mark, and the kinds at which one was planted."""
    kinds, missed = set(), []
    for path, system, circuit, end in ends():
        terminal = mark(system, circuit, end)
        if terminal is not None:
            kinds.add(system.equipment[end.tag].kind)
            if verdict_at(planted(system, end, terminal), rule_id, circuit, end) is not Verdict.VIOLATED:
                missed.append(f"{path.stem} {circuit.tag}@{end}")
    return kinds, missed


def too_small(_system, circuit, _end):
    return replace(GOOD, largest=ConductorSize("18")) if circuit.conductors.size > ConductorSize("18") else None


def too_large(_system, _circuit, _end):
    return replace(GOOD, smallest=ConductorSize("1000"))


def other_metal(_system, circuit, _end):
    return replace(GOOD, materials=frozenset({"copper", "aluminum"}) - {circuit.conductors.material})


def for_none(_system, _circuit, _end):
    return replace(GOOD, conductors_per_terminal=value(0.0, "count"))


@pytest.mark.parametrize(
    ("rule_id", "mark"),
    [
        ("terminal-capacity", too_small),
        ("terminal-smallest-conductor", too_large),
        ("terminal-capacity", other_metal),
        ("terminal-conductor-count", for_none),
    ],
)
def test_a_wrong_mark_is_found_at_each_terminal_of_each_kind(rule_id, mark):
    kinds, missed = offenders(rule_id, mark)
    known = {kind for kind in all_kinds() if kind not in WITHOUT_CIRCUITS}
    assert kinds == known
    assert missed == []


def all_kinds():
    """Return every kind of equipment that a project file may place."""
    return {get_args(model.model_fields["kind"].annotation)[0] for model in get_args(get_args(EquipmentEntry)[0])}


def test_a_terminal_for_60_degrees_limits_the_circuit():
    for path, system, circuit, end in ends():
        given = planted(system, end, replace(GOOD, temperature_c=value(60.0, "c")))
        assert terminal_rating_c(given, given.system.circuits[circuit.tag]).number == 60, f"{path.stem} {circuit.tag}@{end}"


def test_no_terminal_of_a_milliampere_passes():
    for path, system, circuit, end in ends():
        given = planted(system, end, replace(GOOD, rating_a=value(0.001, "a")))
        if rated_input_current(given, given.system.circuits[circuit.tag]) is None:
            found = verdict_at(given, "terminal-current-rating", circuit, end)
            assert found in (Verdict.VIOLATED, Verdict.NOT_JUDGED), f"{path.stem} {circuit.tag}@{end}: {found}"
