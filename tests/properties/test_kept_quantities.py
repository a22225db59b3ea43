"""What a trial keeps of an evaluation moves nothing: limits and suggestions are those that are found when all is computed anew."""

from pathlib import Path

import pytest

from permitgen.evaluation import remedies
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.kept_quantities import KeptQuantities, kept_quantities, things_in
from permitgen.evaluation.limits import limits_of
from permitgen.rules.given import Given
from permitgen.system.circuit import Circuit
from permitgen.system.raceway import Raceway
from permitgen.system.read_facts import Slot

ROOT = Path(__file__).resolve().parents[2]
TOPOLOGIES = {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("*.yaml"))}
PROJECTS = TOPOLOGIES | {path.stem: path for path in (ROOT / "demo_project" / "project.yaml", ROOT / "demo_project" / "with_mistakes.yaml")}


def _said(found):
    return None if found is None else (str(found.choice), found.by.id, found.by.verdict, found.by.judgement.message)


def _told(circuits):
    return [
        (
            circuit.tag,
            limit.aspect,
            limit.tag,
            str(limit.passes),
            _said(limit.below),
            _said(limit.above),
            [_said(each) for each in limit.others],
        )
        for circuit in circuits
        for limit in circuit.limits
    ]


# Among the sample: a garage with a battery. There a change builds the graph anew, whose links are told apart by being the same.
@pytest.mark.sample(every=12)
@pytest.mark.parametrize("name", sorted(PROJECTS, reverse=True))
def test_limits_are_the_same_where_nothing_is_kept(name, open_once, monkeypatch):
    evaluation = open_once(PROJECTS[name]).evaluation
    kept = _told(limits_of(evaluation))

    def nothing_kept(_self, system, _slots, **_how):
        return Given(system, evaluation.given.code)

    monkeypatch.setattr(KeptQuantities, "given_for", nothing_kept)
    assert _told(limits_of(evaluation)) == kept


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", sorted(PROJECTS))
def test_what_is_kept_while_sizes_change_holds_nothing_that_has_a_size(name, open_once):
    """A circuit in it would keep its old conductors, and would not be found by those who look for the new one."""
    _, of_topology = open_once(PROJECTS[name]).evaluation.given.remembered
    held = {key: thing.tag for key, value in of_topology.items() for thing in things_in(value) if isinstance(thing, (Circuit, Raceway))}
    assert of_topology
    assert held == {}


def test_trials_start_with_what_they_cannot_move(open_once):
    """The length of a run moves no current: what the circuit in it carries is kept, the impedance of its run is not."""
    given = open_once(PROJECTS["b16_meter_main_40_a"]).evaluation.given
    kept = kept_quantities(given)
    tag = next(key[1] for key in given.remembered[0] if key[0] == "run impedances" and given.system.circuits[key[1]].runs)
    run = given.system.raceways[given.system.circuits[tag].runs[0]]
    slot = Slot(kept.owners[id(run)], "length_ft")
    memory, of_topology = kept.given_for(given.system.with_raceway(run), (slot,), is_of_sizes=False).remembered
    assert ("current", tag) in of_topology
    assert ("run impedances", tag) not in memory
    assert any(key[0] == "run impedances" for key in memory)


@pytest.mark.nightly
@pytest.mark.parametrize("edition", [2023, pytest.param(2017, marks=pytest.mark.nightly)])
def test_suggestions_are_the_same_where_all_rules_are_asked(edition, open_once, monkeypatch):
    opened = open_once(PROJECTS["with_mistakes"], str(edition))
    found = {each.id: each.suggestions for each in opened.evaluation.findings}
    assert sum(map(len, found.values())) > 10
    monkeypatch.setattr(remedies, "_sizes_changed", lambda _given, _changed: ())
    assert {each.id: each.suggestions for each in evaluate(opened.loaded.system, opened.code).findings} == found
