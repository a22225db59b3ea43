"""A house with very many violations is checked by work that grows with its circuits, not with their square; counted, not timed."""

from collections import Counter
from copy import deepcopy
from pathlib import Path

import yaml

from permitgen.evaluation import remedies
from permitgen.package.opened_project import open_project
from permitgen.rules.quantities import raceway_contents
from permitgen.rules.subjects import tag_of

BASE = Path(__file__).resolve().parents[1] / "rules" / "bases" / "one_branch.yaml"


def crowded(tmp_path, number):
    """Write a house whose ``number`` branch circuits lie in one raceway: each is adjusted below its load, and the raceway is too full."""
    house = yaml.load(BASE.read_text(encoding="utf-8"), yaml.BaseLoader)
    appliance, circuit = house["equipment"].pop("W1"), house["circuits"].pop("C1")
    house["equipment"]["MSP"]["spaces"] = "200"
    for index in range(number):
        tag = f"W{index + 1}"
        house["equipment"][tag] = deepcopy(appliance)
        house["circuits"][f"C{index + 1}"] = deepcopy(circuit) | {"from": f"MSP.{index // 2 * 4 + 1 + index % 2}", "to": tag}
    path = tmp_path / f"crowded_{number}.yaml"
    path.write_text(yaml.safe_dump(house, sort_keys=False), encoding="utf-8")
    return path


def counted(path, monkeypatch):
    """Return how often each rule judged each subject in each changed state, and the circuits whose conductors were laid out."""
    judged, laid_out = Counter(), Counter()
    run_rule, groups_of_circuit = remedies.run_rule, raceway_contents.groups_of_circuit

    def run(rule, subject, given):
        sizes = tuple((tag, each.conductors.size, each.conductors.egc_size) for tag, each in given.system.circuits.items())
        runs = tuple((tag, each.trade_size) for tag, each in given.system.raceways.items())
        judged[sizes, runs, rule.id, tag_of(subject)] += 1
        return run_rule(rule, subject, given)

    def groups(given, circuit, sets):
        laid_out[circuit.tag] += 1
        return groups_of_circuit(given, circuit, sets)

    with monkeypatch.context() as patch:
        patch.setattr(remedies, "run_rule", run)
        patch.setattr(raceway_contents, "groups_of_circuit", groups)
        evaluation = open_project(path).evaluation
    assert sum(bool(each.suggestions) for each in evaluation.findings) >= len(evaluation.system.circuits) - 1
    return judged, laid_out


def test_what_findings_offer_alike_is_evaluated_once(tmp_path, monkeypatch):
    judged, _ = counted(crowded(tmp_path, 12), monkeypatch)
    assert set(judged.values()) == {1}


def test_work_grows_with_the_circuits(tmp_path, monkeypatch):
    (few, few_groups), (many, many_groups) = (counted(crowded(tmp_path, number), monkeypatch) for number in (12, 24))
    assert sum(many.values()) < 2.2 * sum(few.values())
    # Another size in one circuit leaves the conductors of the others in the raceway as they were.
    assert sum(many_groups.values()) < 2.2 * sum(few_groups.values())
