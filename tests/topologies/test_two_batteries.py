"""Two batteries at two buildings, in both orders of the file: each is judged by the building at which it stands.

Verdicts are reasoned by hand from the sections named at each test; nothing was taken from a run.
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from permitgen.evaluation.label_facts.facts import where_it_holds
from tests.topologies.test_two_buildings import evaluated, read, turned_over, verdicts

GARAGE_WITH_BATTERY = Path(__file__).parent / "b26_garage_with_battery.yaml"
ORDERS = {"as written": lambda data: data, "turned over": turned_over}


def two_batteries() -> dict[str, Any]:
    """ESS1 in the garage with a switch outside it; ESS2 of the same make in the house, with no switch but its own.

    Both panels stand indoors: a breaker outdoors would be a shutdown from outside by itself.
    """
    data = read(GARAGE_WITH_BATTERY)
    for tag in ("MSP", "DET"):
        data["equipment"][tag]["place"] |= {"space": "utility room", "outdoors": "no"}
    second = copy.deepcopy(data["equipment"]["ESS1"])
    second["name"] = "Second battery unit"
    second["place"] |= {"description": "house, utility room", "building": "house", "space": "utility room"}
    del second["place"]["map"], second["place"]["faces"], second["place"]["in_sight_of"]
    data["equipment"]["ESS2"] = second
    data["circuits"]["C5"] = copy.deepcopy(data["circuits"]["C4"]) | {"name": "Second battery", "from": "ESS2", "to": "MSP.5", "runs": "R7"}
    data["raceways"]["R7"] = copy.deepcopy(data["raceways"]["R5"]) | {"location": "house", "building": "house"}
    return data


def on_walls(data: dict[str, Any]) -> dict[str, Any]:
    """Both outdoors on the wall of their building, four units of 15 kWh each: 60 kWh at either."""
    for tag in ("ESS1", "ESS2"):
        data["equipment"][tag] |= {"units": "4", "unit_energy": "15 kWh", "energy": "60 kWh"}
        data["equipment"][tag]["place"] |= {"space": "outside wall", "outdoors": "yes"}
    return data


def stop_circuit(switch: str, source: str) -> dict[str, Any]:
    """The circuit by which a switch stops a battery: one that opens, and stops it where it is cut."""
    return {"purpose": "emergency shutdown", "device": switch, "source": source, "fails_to_shutdown": "yes", "opens": "yes"}


@pytest.mark.parametrize("order", ORDERS)
def test_the_energy_of_a_garage_counts_with_its_dwelling_and_that_of_a_second_dwelling_by_itself(order: str) -> None:
    """IRC 2021 R328.5: 80 kWh on outside walls of a dwelling and what belongs to it; 60 + 60 kWh are beyond, 60 kWh at each are within."""
    data = ORDERS[order](on_walls(two_batteries()))
    assert verdicts(evaluated(data))["storage-energy", "system"] == "violated"
    data["site"]["buildings"]["garage"] = {"use": "one-family", "attached_to": "none"}
    data["site"]["plan"]["buildings"]["garage"]["dwelling"] = "yes"
    assert verdicts(evaluated(data))["storage-energy", "system"] == "passes"
    data["equipment"]["ESS2"] |= {"units": "6", "energy": "90 kWh"}
    assert verdicts(evaluated(data))["storage-energy", "system"] == "violated"


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("edition", [2020, 2023])
def test_each_battery_is_shut_off_outside_its_own_building(order: str, edition: int) -> None:
    """706.15(A) (2020), 706.15(B) (2023): outside the building. The garage has its switch; the house has none, then one in the house."""
    data = ORDERS[order](two_batteries())
    found = verdicts(evaluated(data, edition))
    assert (found["ess-emergency-shutdown", "ESS1"], found["ess-emergency-shutdown", "ESS2"]) == ("passes", "violated")
    data["equipment"]["ESD"]["place"] |= {"outdoors": "no"}
    data["equipment"]["ESS2"]["place"] |= {"outdoors": "yes", "space": "outside wall"}
    found = verdicts(evaluated(data, edition))
    assert (found["ess-emergency-shutdown", "ESS1"], found["ess-emergency-shutdown", "ESS2"]) == ("violated", "passes")


@pytest.mark.parametrize("order", ORDERS)
def test_a_switch_outside_another_building_is_no_plain_pass(order: str) -> None:
    """706.15(B): outside *the* building. A switch on the house that stops the battery in the garage is looked at by the authority."""
    data = two_batteries()
    data["equipment"]["ESD"]["place"] |= {"outdoors": "no"}
    data["equipment"]["RSI"] = {
        "kind": "rapid_shutdown_initiator",
        "name": "Shutdown switch",
        "shuts_down": ["PV1"],
        "also_stops": ["ESS1", "ESS2"],
        "place": {"building": "house", "space": "outside wall", "outdoors": "yes", "readily_accessible": "yes"},
    }
    data["control"] = data.get("control", {}) | {"SX1": stop_circuit("RSI", "ESS1"), "SX2": stop_circuit("RSI", "ESS2")}
    found = verdicts(evaluated(ORDERS[order](data)))
    assert (found["ess-emergency-shutdown", "ESS1"], found["ess-emergency-shutdown", "ESS2"]) == ("caution", "passes")


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("edition", [2020, 2023])
def test_a_breaker_outdoors_is_a_shutdown_outside_its_own_building_alone(order: str, edition: int) -> None:
    """706.15(A) (2020), 706.15(B) (2023): the disconnect, outside *the* building. No switch is outside, one panel is.

    The feeder's breaker in the panel on the house does not disconnect the battery of the garage: the loads there stay on it.
    """
    data = two_batteries()
    data["equipment"]["ESD"]["place"] |= {"outdoors": "no"}
    outside = {"space": "outside wall", "outdoors": "yes", "readily_accessible": "yes"}
    data["equipment"]["MSP"]["place"] |= outside
    found = verdicts(evaluated(ORDERS[order](copy.deepcopy(data)), edition))
    assert (found["ess-emergency-shutdown", "ESS1"], found["ess-emergency-shutdown", "ESS2"]) == ("violated", "passes")
    data["equipment"]["DET"]["place"] |= outside
    data["equipment"]["MSP"]["place"] |= {"readily_accessible": "no"}
    found = verdicts(evaluated(ORDERS[order](data), edition))
    assert (found["ess-emergency-shutdown", "ESS1"], found["ess-emergency-shutdown", "ESS2"]) == ("passes", "violated")


@pytest.mark.parametrize("order", ORDERS)
def test_a_battery_at_an_apartment_house_asks_neither_for_the_switch_nor_for_its_mark(order: str) -> None:
    """706.15 binds one- and two-family dwellings: the battery of the apartment house on the same lot has its switch, and no mark is due."""
    data = two_batteries()
    data["site"]["buildings"]["garage"] = {"use": "other dwelling", "attached_to": "none"}
    data["site"]["plan"]["buildings"]["garage"]["dwelling"] = "yes"
    initiator = {
        "kind": "rapid_shutdown_initiator",
        "name": "Shutdown switch",
        "shuts_down": ["PV1"],
        "place": {"building": "garage", "space": "outside wall", "outdoors": "yes", "readily_accessible": "yes"},
    }
    data["equipment"]["RSI1"] = initiator | {"also_stops": ["ESS1"]}
    data["equipment"]["RSI2"] = copy.deepcopy(initiator) | {"shuts_down": [], "also_stops": ["ESS2"]}
    data["equipment"]["RSI2"]["place"]["building"] = "house"
    data["control"] = data.get("control", {}) | {"SX1": stop_circuit("RSI1", "ESS1"), "SX2": stop_circuit("RSI2", "ESS2")}
    evaluation = evaluated(ORDERS[order](data))
    found = verdicts(evaluation)
    assert (found["ess-emergency-shutdown", "ESS1"], found["ess-emergency-shutdown", "ESS2"]) == ("does not apply", "passes")
    marked = where_it_holds(evaluation, "is_ess_emergency_shutdown_initiator")
    assert {subject.equipment for subject in marked or ()} == {"RSI2"}
