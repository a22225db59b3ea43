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
from permitgen.reading.problems import ProblemsError

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


INSIDE = {"description": "bedroom closet", "building": "house", "space": "closet", "outdoors": "no", "readily_accessible": "yes"}


@pytest.mark.parametrize(
    ("place", "ahead", "found"),
    [
        ({}, {}, {"HP"}),
        (INSIDE, {}, set()),
        (INSIDE, {"in_sight_of": ["HP"]}, {"PM"}),
        ({"readily_accessible": "no"}, {}, set()),
        ({"readily_accessible": "unknown"}, {}, None),
        ({"outdoors": "unknown"}, {}, None),
    ],
)
def test_the_emergency_label_hangs_on_a_disconnect_outdoors_and_at_hand(
    place: dict[str, str], ahead: dict[str, Any], found: set[str] | None
) -> None:
    """225.41(A) and (C) (2023): a readily accessible outdoor location, the building's disconnect or one ahead of it in sight."""
    data = pole_first()
    data["equipment"]["HP"]["place"] |= place
    data["equipment"]["PM"]["place"] |= ahead
    holds = where_it_holds(evaluated(data), "is_feeder_emergency_disconnect")
    assert (None if holds is None else {subject.equipment for subject in holds}) == found


def test_the_emergency_label_waits_for_whether_the_buildings_are_apart() -> None:
    """What a rule has not checked for want of a fact, a label does not print as one."""
    data = house_first()
    data["equipment"]["GP"] = {**copy.deepcopy(data["equipment"]["BP"]), "place": {"building": "annex", "outdoors": "yes"}}
    data["circuits"]["F3"] = {**copy.deepcopy(data["circuits"]["F2"]), "from": "PM.3", "to": "GP.main"}
    data["site"]["buildings"]["annex"] = {"use": "one-family"}
    assert where_it_holds(evaluated(data), "is_feeder_emergency_disconnect") is None
    data["site"]["buildings"]["annex"]["attached_to"] = "none"
    data["equipment"]["GP"]["place"]["readily_accessible"] = "yes"
    holds = where_it_holds(evaluated(data), "is_feeder_emergency_disconnect")
    assert {subject.equipment for subject in holds or ()} == {"GP"}


def _with_rack(place: dict[str, str]) -> dict[str, Any]:
    """Microinverters on a rack in the field, their combiner panel beside it, on a breaker of the barn's panel."""
    data = pole_first()
    del data["site"]["plan"]
    data["site"]["buildings"] = {"house": {"use": "one-family", "attached_to": "none"}, "barn": {"use": "barn", "attached_to": "none"}}
    data.setdefault("catalog", {})["mi"] = {"kind": "module_inverter", "output": "1.5 A", "ac_voltage": "240 V", "output_power": "360 VA"}
    data["catalog"]["mod"] = {"kind": "module", "power": "400 W", "voc": "40 V", "isc": "12 A"}
    data["equipment"]["PV1"] = {
        **{"kind": "pv_array", "module": "mod", "module_inverter": "mi", "modules": "8", "branches": {"A": "8"}, "on_building": "none"},
        "place": {"space": "ground", "outdoors": "yes"},
    }
    data["equipment"]["CP"] = {"kind": "panelboard", "busbar": "100 A", "main": "none", "spaces": "8", "all_breakers_in_file": "yes"}
    data["equipment"]["CP"]["place"] = {"description": "at the rack", "outdoors": "yes", "readily_accessible": "yes"} | place
    breaker = {"rating": "20 A", "poles": "2", "interrupting_rating": "10 kA"}
    wires = {"size": "10 AWG", "insulation": "THWN-2", "equipment_ground": "10 AWG", "neutral": "no"}
    data["circuits"]["A1"] = {"from": "PV1.A", "to": "CP.1", "overcurrent": {"to_end": dict(breaker)}, "conductors": dict(wires)}
    data["circuits"]["A2"] = {"from": "CP.main", "to": "BP.5", "overcurrent": {"to_end": breaker}, "conductors": wires}
    return data


@pytest.mark.parametrize("place", [{"space": "ground"}, {"space": "open ground"}, {"building": "house", "space": "outside wall"}])
def test_an_array_in_the_field_is_no_supply_of_the_house(place: dict[str, str]) -> None:
    """225.30, 225.37: what a building is supplied by is no circuit of sources, and a rack on the ground is no building."""
    found = evaluated(_with_rack(place))
    assert where_it_holds(found, "building_has_more_than_one_supply") == ()
    counted = found.by_id["outside-supply-count:system"].judgement
    assert counted.computed is not None
    assert counted.computed.number == 1


def test_the_ground_of_several_buildings_is_of_none_of_them() -> None:
    system = evaluated(_with_rack({"space": "ground"})).system
    assert [item.place.building for tag in ("CP", "PV1") if (item := system.equipment[tag]).place is not None] == ["", ""]


def test_a_building_that_is_said_to_stand_alone_does() -> None:
    """``attached_to: none`` tells what outlines would: nothing is left to be asked."""
    system = evaluated(_with_rack({"space": "ground"})).system
    assert {building.attached_to for building in system.site.buildings if building.name in ("house", "barn")} == {"none"}


def in_the_field(place: dict[str, str]) -> dict[str, Any]:
    """The service at the house; the second panel stands on a rack in a field, away from every building."""
    data = house_first()
    data["site"]["buildings"] = {"house": {"use": "one-family", "attached_to": "none"}, "barn": {"use": "barn", "attached_to": "none"}}
    del data["site"]["plan"]["buildings"]["barn"]
    data["equipment"]["BP"]["place"] = {"description": "rack in the field", "outdoors": "yes", "readily_accessible": "yes", **place}
    return data


def test_what_stands_in_a_field_belongs_to_no_building_where_the_file_says_so():
    """225.30 to 225.33 speak of buildings that are supplied; where nobody says at which a panel stands, nothing is judged."""
    said = verdicts(evaluated(in_the_field({"space": "ground", "building": "none"})))
    silent = verdicts(evaluated(in_the_field({"space": "ground"})))
    at_the_barn = verdicts(evaluated(in_the_field({"space": "ground", "building": "barn"})))
    rule = ("outside-disconnect", "F2")
    assert (said[rule], silent[rule], at_the_barn[rule]) == ("does not apply", "not judged", "passes")


@pytest.mark.parametrize("contradiction", [{"outdoors": "no"}, {"wall": "house right", "from": "front corner", "distance": "3 ft"}])
def test_no_building_contradicts_a_wall_and_a_place_indoors(contradiction):
    data = in_the_field({"building": "none", **contradiction})
    data["site"]["plan"]["front_faces"] = "south"
    with pytest.raises(ProblemsError, match="building: none"):
        evaluated(data)
