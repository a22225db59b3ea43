"""``permitgen new``: where the new runs pass, and where a transfer switch for the whole house stands."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from permitgen.project.starting.drafting import Mark, leaves
from permitgen.project.starting.new_project import AnswersError
from tests.cli.new_houses import STRING_INVERTER, answers_of, judged, made, started

# What each run passes stands in the topology under the same words.
SIZED = (
    "b04_partial_backup",
    "b06b_transfer_switch",
    "b08_ac_coupled_branches",
    "b12_bidirectional_ev",
    "meter_main_backup",
    STRING_INVERTER,
)


@pytest.mark.sample(every=2)
@pytest.mark.parametrize("name", SIZED)
def test_the_new_conductors_of_a_house_get_their_sizes(name: str, tmp_path: Path) -> None:
    """Batteries, generator, charger and feeders as well as the array: each lies in a run whose place was asked for."""
    system = judged(started(name, tmp_path / "house")).system
    new = [circuit for circuit in system.circuits.values() if circuit.tag[0] not in "ST"]  # service conductors and taps of it apart
    assert {circuit.tag for circuit in new if not circuit.runs or circuit.conductors.size is None} == set()


def test_what_the_new_runs_pass_is_asked_once_and_a_run_by_another_way_says_so() -> None:
    read = yaml.load(made(answers_of("b12_bidirectional_ev") | {"battery_run_place": "underground"}).text, Loader=yaml.CBaseLoader)
    assert {tag: run["place"] for tag, run in read["raceways"].items()} == {"R5": "underground", "R8": "indoors", "R10": "indoors"}


def test_the_height_above_the_roof_goes_to_the_runs_that_pass_it() -> None:
    read = yaml.load(made(answers_of("b08_ac_coupled_branches")).text, Loader=yaml.CBaseLoader)
    assert {tag: run.get("above_roof") for tag, run in read["raceways"].items() if "above_roof" in run} == {"R4": "2 in"}


def test_a_run_whose_place_nobody_knows_is_open() -> None:
    project = made(answers_of("b12_bidirectional_ev") | {"run_place": "unknown"})
    marks = {path[1]: leaf.mark for path, leaf in leaves(project.file) if path[0] == "raceways" and path[-1] == "place"}
    assert (marks["R5"], marks["R10"]) == (Mark.OPEN, Mark.STATED)


# A generator that carries the house, as a technician types it from plates; the house is that of the other generator.
WHOLE_HOUSE = {
    **{key: value for key, value in answers_of("b14_generator_inlet").items() if not key.startswith(("inlet", "interlock"))},
    "what": "standby generator",
    "generator_supplies": "whole house",
    "generator_breaker": "2P 90 A",
    "panel_bond": "removed",
    "switch_rating": "200 A",
    "switch_main": "2P 200 A",
    "switch_at": "outdoors, left of the meter",
    "switch_main_interrupting": "22 kA",
    "switch_bond": "installed",
    "switch_neutral": "no",
    "switch_listed_as": "transfer equipment, service equipment",
    "electrode_lands": "service disconnect",
}


def test_a_whole_house_transfer_switch_stands_between_meter_and_panel() -> None:
    """NEC 230.66 and 250.24(B), from memory: the service disconnect is marked for it and bonded; the panel behind it is a feeder's."""
    read = yaml.load(made(WHOLE_HOUSE).text, Loader=yaml.CBaseLoader)
    ends = {tag: (each["from"], each["to"]) for tag, each in read["circuits"].items()}
    assert ends["S2"] == ("MTR.load", "ATS.normal")
    assert ends["F1"] == ("ATS.load", "MSP.main")
    assert read["equipment"]["ATS"]["role"] == ["service equipment"]
    assert "role" not in read["equipment"]["MSP"]
    assert read["equipment"]["ATS"]["device"] == {"rating": "200 A", "poles": "2", "interrupting_rating": "22 kA"}
    assert read["equipment"]["GES"]["lands_at"] == ["ATS"]
    assert read["circuits"]["F1"]["runs"] == "R10"


def test_behind_a_meter_main_a_whole_house_transfer_switch_is_no_service_equipment() -> None:
    behind = {"second_panel_state": "existing", "second_panel_busbar": "200 A", "second_panel_main": "none", "second_panel_bond": "removed"}
    behind |= {"second_panel_at": "unknown"}
    read = yaml.load(made({**WHOLE_HOUSE, "service": "meter-main", **behind}).text, Loader=yaml.CBaseLoader)
    ends = {(each["from"], each["to"]) for each in read["circuits"].values()}
    assert ends >= {("MM.feed_through", "ATS.normal"), ("ATS.load", "HP.main"), ("GEN", "ATS.alternate")}
    assert "role" not in read["equipment"]["ATS"]


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"generator_supplies": "some circuits", "backup": "whole house"}, "generator_supplies: whole house"),
        ({"service": "two units"}, "a transfer switch for a whole duplex is not laid out"),
    ],
)
def test_what_a_generator_supplies_is_never_reduced_silently(told: dict[str, str], says: str) -> None:
    with pytest.raises(AnswersError, match=says):
        made({**WHOLE_HOUSE, **told})
