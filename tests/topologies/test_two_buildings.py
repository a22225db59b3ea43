"""A dwelling and a barn, in every order: service at the dwelling, at the barn, on a pole; each limit is that of its own building.

Verdicts are reasoned by hand from the sections named at each row; nothing was taken from a run.
"""

from __future__ import annotations

import copy
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.label_facts.facts import where_it_holds
from permitgen.project.load import load_project

BASE = Path(__file__).parents[1] / "rules" / "bases" / "pole_and_two_buildings.yaml"
WORKSHOP = Path(__file__).parent / "b11_detached_building.yaml"
NAMES = {"house": "east lodge", "barn": "house"}
"""Other names for the same buildings; the barn takes the word that the dwelling had, which must not make it one."""


def read(path: Path) -> dict[str, Any]:
    """Return a project file as text of scalars, as the program reads it."""
    with path.open(encoding="utf-8") as file:
        data = yaml.load(file, Loader=yaml.CBaseLoader)
    assert isinstance(data, dict)
    return data


def pole_first() -> dict[str, Any]:
    """Service on a pole, feeders F1 to the house and F2 to the barn."""
    return read(BASE)


def house_first() -> dict[str, Any]:
    """The pole's panel hangs on the house instead; F1 leads to a panel in the house, F2 to the barn."""
    data = pole_first()
    data["equipment"]["PM"]["place"] = {"building": "house", "space": "outside wall", "outdoors": "yes", "readily_accessible": "yes"}
    return data


def barn_first() -> dict[str, Any]:
    """It hangs on the barn; F1 leads to the house, F2 to a panel in the barn."""
    data = pole_first()
    data["equipment"]["PM"]["place"] = {"building": "barn", "space": "outside wall", "outdoors": "yes", "readily_accessible": "yes"}
    return data


ORDERS = {"pole": pole_first, "house": house_first, "barn": barn_first}


def evaluated(data: dict[str, Any], edition: int = 2023) -> Evaluation:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "project.yaml"
        path.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
        project = load_project(path, edition=str(edition))
        return evaluate(project.system, CodeBook(edition))


def verdicts(evaluation: Evaluation) -> dict[tuple[str, str], str]:
    return {(finding.rule, finding.subject): str(finding.verdict) for finding in evaluation.findings}


# (rule, subject): verdict with the service on the pole, at the house, at the barn.
EXPECTED = {
    # 225.31, 225.39: what a feeder from another structure supplies has a disconnect; a panel of the same building is no second building.
    ("outside-disconnect", "F1"): ("passes", "does not apply", "passes"),
    ("outside-disconnect", "F2"): ("passes", "passes", "does not apply"),
    # 225.41, 225.42 (2023): the dwelling behind a feeder from another structure; never the barn.
    ("outside-dwelling", "F1"): ("passes", "does not apply", "passes"),
    ("outside-dwelling", "F2"): ("does not apply", "does not apply", "does not apply"),
    # 250.32: electrodes at the building that the feeder supplies, 4 AWG for 2/0 copper, 8 AWG for 6 AWG copper (Table 250.66).
    ("outside-grounding", "F1"): ("passes", "does not apply", "passes"),
    ("outside-grounding", "F2"): ("passes", "passes", "does not apply"),
    # 250.24(A): electrodes that land beyond the service disconnect of the same building are wrong, at a second building they are right.
    ("grounding-electrode-connection", "GES"): ("does not apply", "violated", "does not apply"),
    ("grounding-electrode-connection", "GES1"): ("passes", "passes", "passes"),
    # 310.12: 2/0 copper, 175 A, on 200 A carries the entire load of the dwelling: 0.83 x 200 = 166 A. At the house the service panel PM
    # holds no other breaker than those of F1 and F2, but it is a panel of the dwelling, so that F1 does not carry all of it.
    ("conductor-protection", "F1"): ("passes", "violated", "passes"),
}


@pytest.mark.parametrize("order", ORDERS)
def test_each_building_is_judged_for_itself(order: str) -> None:
    found = verdicts(evaluated(ORDERS[order]()))
    place = list(ORDERS).index(order)
    assert {key: found[key] for key in EXPECTED} == {key: row[place] for key, row in EXPECTED.items()}


def renamed(data: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    """Return the project with its buildings called otherwise, wherever a name of a building stands."""
    data = copy.deepcopy(data)
    site = data["site"]
    for holder in (site, site["plan"]):
        holder["buildings"] = {names.get(name, name): entry for name, entry in holder.get("buildings", {}).items()}
    places = [item["place"] for item in data["equipment"].values() if "place" in item]
    for said in (*places, *data["raceways"].values(), *site["plan"].get("roof_planes", {}).values(), *data["equipment"].values()):
        for key in ("building", "on_building"):
            if key in said:
                said[key] = names.get(said[key], said[key])
    return data


def turned_over(data: dict[str, Any]) -> dict[str, Any]:
    """Return the project with equipment, runs, circuits, loads and buildings in the opposite order of the file."""
    data = copy.deepcopy(data)
    for section in ("equipment", "raceways", "circuits", "loads"):
        data[section] = dict(reversed(data[section].items()))
    for holder in (data["site"], data["site"]["plan"]):
        holder["buildings"] = dict(reversed(holder.get("buildings", {}).items()))
    return data


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("edition", [2017, 2020, 2023])
@pytest.mark.parametrize("order", ORDERS)
def test_names_of_buildings_and_the_order_of_the_file_change_no_verdict(order: str, edition: int) -> None:
    data = ORDERS[order]()
    before = verdicts(evaluated(data, edition))
    assert verdicts(evaluated(renamed(data, NAMES), edition)) == before
    assert verdicts(evaluated(turned_over(data), edition)) == before


@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_names_change_no_verdict_where_an_array_stands_on_a_workshop(edition: int) -> None:
    data = read(WORKSHOP)
    before = verdicts(evaluated(data, edition))
    names = {"house": "workshop", "workshop": "house", "garage": "annex"}
    assert verdicts(evaluated(renamed(data, names), edition)) == before
    assert verdicts(evaluated(turned_over(data), edition)) == before


def test_the_dwelling_behind_a_pole_gets_its_own_emergency_label() -> None:
    """225.41(C) (2023) asks for EMERGENCY DISCONNECT at the dwelling that a feeder supplies, and for none at the barn."""
    found = where_it_holds(evaluated(pole_first()), "is_feeder_emergency_disconnect")
    assert {subject.equipment for subject in found or ()} == {"HP"}


def test_only_the_building_with_two_feeders_has_more_than_one_supply() -> None:
    """225.37: a plaque where a building has more than one supply, naming those of that building; the barn has one feeder alone."""
    data = pole_first()
    assert where_it_holds(evaluated(data), "building_has_more_than_one_supply") == ()
    data["equipment"]["HP2"] = {**copy.deepcopy(data["equipment"]["HP"]), "name": "Second house panel"}
    data["circuits"]["F3"] = {**copy.deepcopy(data["circuits"]["F1"]), "from": "PM.2", "to": "HP2.main"}
    found = where_it_holds(evaluated(data), "building_has_more_than_one_supply")
    assert {subject.equipment for subject in found or ()} == {"HP", "HP2"}


def test_a_dwelling_that_nobody_calls_one_is_not_guessed() -> None:
    """Two buildings drawn apart, neither said to be a dwelling: what binds a dwelling alone (225.41, 310.12) is not judged for either."""
    data = pole_first()
    del data["site"]["plan"]["buildings"]["house"]["dwelling"], data["site"]["buildings"]
    found = verdicts(evaluated(data))
    assert {found["outside-dwelling", tag] for tag in ("F1", "F2")} == {"not judged"}
    assert found["conductor-protection", "F1"] == "not judged"
