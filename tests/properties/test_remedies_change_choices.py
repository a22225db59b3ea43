"""A remedy changes what is planned, never a fact: all changes that any rule offers in all topologies, held against the system before.

What is planned: how large a conductor, raceway or device is, how many units or modules are on a branch or string, to what a source is
held, where a bond, a conductor or the electrode conductor lands, that a neutral is run, that a source is left out. A distance, a
rating, a listing, a test and what exists is as it is (common practice, no published source).
"""

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.remedies import Remedies, leaves_what_exists
from permitgen.project.load import load_project
from permitgen.rules.judgement import Remedy, RemedyKind, Verdict, require
from permitgen.rules.rule import all_rules

ROOT = Path(__file__).resolve().parents[2]
PROJECTS = [
    *sorted((ROOT / "tests" / "topologies").glob("b*.yaml")),
    ROOT / "demo_project" / "project.yaml",
    ROOT / "demo_project" / "with_mistakes.yaml",
]
PLANNED = re.compile(
    r"circuits\.[^.]+\.conductors\.(size|egc_size|neutral_size|ungrounded_size|neutral)"
    r"|circuits\.[^.]+\.(start|finish)\.terminal"
    r"|circuits\.[^.]+\.(start_device|finish_device)\.rating_a"
    r"|raceways\.[^.]+\.trade_size"
    r"|equipment\.[^.]+\.(strings|branches)\.[^.]+"
    r"|equipment\.[^.]+\.limit_a"
    r"|equipment\.[^.]+\.(main|device|breaker)\.rating_a"
    r"|equipment\.[^.]+\.neutral_bond(\.state)?"
    r"|equipment\.[^.]+\.(conductor_size|lands_at|sizes_to_each)(\..*)?"
)
LEFT_OUT = re.compile(r"(equipment|circuits|controls)\.[^.]+")
LANDS_ELSEWHERE = re.compile(r"equipment\.[^.]+\.sizes_to_each\.[^.]+")


@pytest.fixture(scope="module", params=PROJECTS, ids=lambda path: path.stem)
def evaluation(request):
    system = load_project(request.param).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def _changes(before, after, path=""):
    """Yield the path of everything that is another thing after a change, and whether it is gone."""
    if before is after:
        return
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in {**before, **after}:
            if key not in after or key not in before:
                yield f"{path}.{key}".lstrip("."), key not in after
            else:
                yield from _changes(before[key], after[key], f"{path}.{key}")
    elif is_dataclass(before) and type(before) is type(after):
        for each in fields(before):
            one, other = object.__getattribute__(before, each.name), object.__getattribute__(after, each.name)
            yield from _changes(one, other, f"{path}.{each.name}")
    elif before != after:
        yield path.lstrip("."), False


def _number_of_a_value(path):
    return re.sub(r"\.(number|origin|unit|symbol|title|spelled)(\..*)?$", "", path)


def _is_planned(remedy, path, is_gone):
    if not is_gone:
        return PLANNED.fullmatch(path) is not None
    words, gone = ("without ", LEFT_OUT) if remedy.text.startswith("without ") else ("land the ", LANDS_ELSEWHERE)
    return remedy.text.startswith(words) and gone.fullmatch(path) is not None


def _offered(evaluation):
    return [(f.rule, remedy) for f in evaluation.findings for part in f.judgement.nested() for remedy in part.remedies]


@pytest.mark.sample(every=12)
def test_every_change_that_is_offered_is_one_of_what_is_planned(evaluation):
    offered = _offered(evaluation)
    assert offered
    for rule, remedy in offered:
        for path, is_gone in _changes(evaluation.system, remedy.change(evaluation.system)):
            assert _is_planned(remedy, _number_of_a_value(path), is_gone), f"{rule}: {remedy.text} changes {path}"


def _evaluated(path="demo_project/project.yaml"):
    system = load_project(ROOT / path).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def test_conductors_of_existing_circuits_are_left_as_they_are():
    """A rule may offer larger ones for any circuit; none of an existing circuit is tried, and some are offered."""
    evaluation = _evaluated("tests/topologies/b25_duplex.yaml")
    of_existing = [
        remedy
        for _, remedy in _offered(evaluation)
        if any(
            re.match(rf"circuits\.{tag}\.conductors", path)
            for path, _ in _changes(evaluation.system, remedy.change(evaluation.system))
            for tag, circuit in evaluation.system.circuits.items()
            if circuit.existing
        )
    ]
    assert of_existing
    assert not any(leaves_what_exists(evaluation.system, remedy.change(evaluation.system)) for remedy in of_existing)


def test_existing_equipment_is_not_left_out():
    evaluation = _evaluated()
    system = evaluation.system
    tag, item = next((tag, item) for tag, item in system.equipment.items() if item.kind == "generator")
    without = replace(system, equipment={name: each for name, each in system.equipment.items() if name != tag})
    assert leaves_what_exists(system, without)
    assert not leaves_what_exists(replace(system, equipment={**system.equipment, tag: replace(item, status="existing")}), without)


def test_another_place_is_tried_first_then_less_then_something_else():
    evaluation = _evaluated()
    finding = next(f for f in evaluation.findings if f.verdict is Verdict.PASSES and f.rule == "conduit-fill")
    rule = next(rule for rule in all_rules() if rule.id == finding.rule)
    offered = tuple(Remedy(kind.name, lambda system: system, kind) for kind in reversed(RemedyKind))
    judgement = require(fact=False, message="not met", remedies=offered)
    assert Remedies(evaluation.given, frozenset()).that_pass(judgement, rule, finding.subject) == ("MOVE", "SMALLER", "OTHER")


def test_two_parts_that_offer_one_change_offer_it_once():
    """Two limits of a string (the input of its inverter, that of its modules) are mended by the same count of modules."""
    evaluation = _evaluated()
    finding = next(f for f in evaluation.findings if f.verdict is Verdict.PASSES and f.rule == "conduit-fill")
    rule = next(rule for rule in all_rules() if rule.id == finding.rule)
    names = ("11 modules in string A of PV1", "11 modules in string A of PV1", "4 AWG for TAP", "4 AWG for TAP", "a third")
    judgement = require(
        fact=False, message="not met", remedies=tuple(Remedy(name, lambda system: system, RemedyKind.MOVE) for name in names)
    )
    assert Remedies(evaluation.given, frozenset()).that_pass(judgement, rule, finding.subject) == (names[0], names[2], names[4])


def test_less_of_what_already_passes_is_not_offered_beside_it():
    """With 150 A at a main, 125 A there says nothing more; another choice does (common practice, no published source)."""
    evaluation = _evaluated()
    finding = next(f for f in evaluation.findings if f.verdict is Verdict.PASSES and f.rule == "conduit-fill")
    rule = next(rule for rule in all_rules() if rule.id == finding.rule)
    main = [Remedy(f"{rating} A at MSP main", lambda system: system, RemedyKind.SMALLER, "rating of MSP main") for rating in (150, 125)]
    other = Remedy("INV1 held to 30 A", lambda system: system, RemedyKind.SMALLER, "limit of INV1")
    judgement = require(fact=False, message="not met", remedies=(*main, other))
    assert Remedies(evaluation.given, frozenset()).that_pass(judgement, rule, finding.subject) == (main[0].text, other.text)
