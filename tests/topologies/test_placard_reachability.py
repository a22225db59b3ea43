"""What stays live when somebody opens one switch, topology by topology, and whether the placard's steps make the house dead.

Each case was reasoned out on the one-line diagram of its topology before the program was asked; common practice, no published
source. The limits named are those of NEC 690.12(B): 80 V inside the array boundary.
"""

from __future__ import annotations

import copy
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.system.walks.isolation import load_nodes, possibly_live, service_handles, shutdown_steps, sources_on_utility
from permitgen.views.emergency import emergency_of
from permitgen.views.placard import Placard, placards_of

HERE = Path(__file__).parent
NAMES = tuple(sorted(path.stem for path in HERE.glob("*.yaml")))
SEVERAL_MAINS = {"b21_two_service_panels"}  # no main alone cuts off the utility, so only the last says what it stops


@lru_cache
def read(name: str) -> ReadFile:
    return read_yaml_file(HERE / f"{name}.yaml")


def evaluated(name: str, *, without: tuple[str, ...] = (), changed: dict[str, Any] | None = None) -> Evaluation:
    """Evaluate a topology ``without`` some keys and with others ``changed``, both dotted paths."""
    file = read(name)
    data = copy.deepcopy(file.data)
    for path in without:
        above, last = _entry(data, path)
        del above[last]
    for path, value in (changed or {}).items():
        above, last = _entry(data, path)
        above[last] = value
    system = build_project(ReadFile(file.file, file.text, data, file.positions), HERE).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def _entry(data: dict[str, Any], path: str) -> tuple[dict[str, Any], str]:
    *steps, last = path.split(".")
    for step in steps:
        data = data[step]
    return data, last


def placard(evaluation: Evaluation) -> Placard:
    return placards_of(evaluation)[0]


def live_loads(evaluation: Evaluation, *opened: str) -> set[str]:
    """Return the load nodes that are possibly live with the handles ``opened`` open, with the source that reaches each."""
    live = possibly_live(evaluation.system, opened)
    return {f"{node} from {live[node].tag}" for node in load_nodes(evaluation.system) if node in live}


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", NAMES)
def test_the_steps_of_every_topology_make_it_dead(name: str) -> None:
    evaluation = evaluated(name)
    assert live_loads(evaluation, *(handle.id for handle in shutdown_steps(evaluation.system).steps)) == set()
    assert placard(evaluation).refusal == ""


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", [name for name in NAMES if name not in SEVERAL_MAINS])
def test_no_step_is_for_nothing(name: str) -> None:
    assert [step.handle for step in placard(evaluated(name)).text.steps if not step.stops] == []


def test_pv_on_the_load_side_dies_with_the_main_that_initiates_its_shutdown() -> None:
    evaluation = evaluated("b01_pv_load_side")
    assert live_loads(evaluation, "MSP.main") == set()
    stays = shutdown_steps(evaluation.system).stays_energized
    assert {"UTIL.service_point", "MTR.through", "MSP.main"} <= set(stays), "service conductors stay live up to the open main"
    inside = evaluation.by_id["rapid-shutdown-inside-array:PV1"].judgement
    assert inside.computed is not None
    assert inside.computed.number <= 80


def test_without_an_initiator_the_pv_breaker_is_a_step_too() -> None:
    evaluation = evaluated("b01_pv_load_side", changed={"equipment.MSP.role": ["service equipment"]})
    assert live_loads(evaluation, "MSP.main") == {"MSP.bus from PV1"}
    assert [step.handle for step in placard(evaluation).text.steps] == ["MSP.37", "MSP.main"]


def test_a_source_on_the_supply_side_has_a_handle_among_the_service_disconnects() -> None:
    evaluation = evaluated("b02_pv_supply_side")
    assert set(service_handles(evaluation.system)) == {"MSP.main", "PVD"}
    assert [step.handle for step in placard(evaluation).text.steps] == ["PVD", "MSP.main"]


def test_opening_the_main_does_not_stop_an_inverter_tapped_ahead_of_it() -> None:
    """NEC 705.11, 705.10: with no rapid-shutdown initiator the fused switch of the tap is still the only thing that parts the inverter."""
    evaluation = evaluated("b02_pv_supply_side", changed={"equipment.PVD.role": ["service equipment"]})
    assert live_loads(evaluation, "MSP.main") == set()
    assert {source.tag for source in sources_on_utility(evaluation.system, ["MSP.main"])} == {"PV1"}
    text = placard(evaluation).text
    assert [(step.handle, step.stops) for step in text.steps] == [("PVD", "cuts off solar panels"), ("MSP.main", "cuts off utility power")]
    assert [step.object for step in text.steps] == ['Disconnect switch "PV SYSTEM DISCONNECT"', "Service disconnect (main breaker)"]
    assert {step.tag for step in emergency_of(evaluation).map.steps} == {"PVD", "MSP"}
    assert str(evaluation.by_id["placard-complete:system"].verdict) == "passes"


def test_an_inverter_that_no_switch_parts_from_the_utility_is_no_placard() -> None:
    evaluation = evaluated(
        "b02_pv_supply_side",
        without=("equipment.PVD", "circuits.T1"),
        changed={"circuits.C1.to": "JT", "equipment.PV1.rapid_shutdown_listed": "yes"},
    )
    assert f"{evaluation.system.equipment['PV1'].name} may stay live" in placard(evaluation).refusal
    finding = evaluation.by_id["placard-complete:system"]
    assert str(finding.verdict) == "violated"
    assert "PV1 may still feed the utility" in finding.judgement.message


@pytest.mark.parametrize(
    ("name", "panel", "changed"),
    [
        ("b01_pv_load_side", "PVC", {"equipment.MSP.role": ["service equipment"]}),
        ("b10_battery_combining_panel", "ECP", {"equipment.RSI.also_stops": []}),
    ],
)
def test_a_panel_of_sources_alone_is_told_by_its_breakers_as_by_its_role(name: str, panel: str, changed: dict[str, Any]) -> None:
    """A panel that shows every breaker, each of a source, feeds no load: nobody is sent to it for its own sake."""
    told = changed | {f"equipment.{panel}.all_breakers_in_file": "yes"}
    role, breakers, nothing = (
        evaluated(name, changed=changed),
        evaluated(name, without=(f"equipment.{panel}.role",), changed=told),
        evaluated(name, without=(f"equipment.{panel}.role",), changed=changed),
    )
    assert f"{panel}.bus" not in load_nodes(role.system)
    assert load_nodes(breakers.system) == load_nodes(role.system)
    assert f"{panel}.bus" in load_nodes(nothing.system), "breakers that the file does not show may be of loads"
    assert [step.handle for step in placard(breakers).text.steps] == [step.handle for step in placard(role).text.steps]


@pytest.mark.parametrize(
    ("name", "live"),
    [
        ("b03_whole_home", {"MID.bus from PV1", "MSP.bus from PV1"}),
        ("b04_partial_backup", {"MSP.bus from INV1", "MID.bus from INV1", "BLP.bus from INV1"}),
        ("b10_battery_combining_panel", {"MID.bus from ESS1", "HP.bus from ESS1"}),
    ],
)
def test_the_service_disconnect_alone_leaves_the_backup_panel_live(name: str, live: set[str]) -> None:
    evaluation = evaluated(name)
    found = live_loads(evaluation, *service_handles(evaluation.system))
    assert {entry.split(" ")[0] for entry in live} <= {entry.split(" ")[0] for entry in found}
    assert "NOT enough" in placard(evaluation).text.warning


def test_a_placard_whose_only_step_is_the_service_disconnect_is_refused() -> None:
    """A battery without switch, breaker or stop: nothing but the service disconnect is left to open."""
    evaluation = evaluated(
        "b10_battery_combining_panel",
        without=("circuits.C1.overcurrent", "circuits.C2.overcurrent", "circuits.C3.overcurrent", "circuits.C4.overcurrent"),
        changed={f"equipment.ESS{i}.disconnect": "no" for i in (1, 2, 3)} | {"equipment.RSI.also_stops": []},
    )
    refused = placard(evaluation)
    assert refused.refusal
    assert "Microgrid interconnect device may stay live" in refused.refusal
    assert str(evaluation.by_id["placard-complete:system"].verdict) == "violated"


@pytest.mark.parametrize(("name", "panel"), [("b06a_generator_on_mid", "HP"), ("b06b_transfer_switch", "EMP")])
def test_opening_the_service_disconnect_starts_the_generator(name: str, panel: str) -> None:
    evaluation = evaluated(name)
    others = [handle.id for handle in shutdown_steps(evaluation.system).steps if handle.id != "GEN.stop"]
    assert f"{panel}.bus from GEN" in live_loads(evaluation, *others)
    steps = [step.handle for step in placard(evaluation).text.steps]
    assert "GEN.stop" in steps[:-1], "the engine is stopped before the service disconnect is opened"


def test_pv_that_a_generator_cannot_reach_needs_no_step() -> None:
    assert [step.handle for step in placard(evaluated("b06b_transfer_switch")).text.steps] == ["GEN.stop", "MSP.main"]


def test_older_pv_outside_the_common_initiator_has_a_step_of_its_own() -> None:
    evaluation = evaluated("b07_pv_on_both_sides")
    assert live_loads(evaluation, "RSI", "MSP.main") == {"MSP.bus from PV1", "MID.bus from PV1", "BLP.bus from PV1"}
    assert [step.handle for step in placard(evaluation).text.steps] == ["RSI", "PVD1", "MSP.main"]


def test_a_hybrid_inverter_stops_with_both_of_its_sources() -> None:
    evaluation = evaluated("b09_hybrid_inverter", changed={"equipment.RSI.also_stops": []})
    assert "HP.bus from ESS1" in live_loads(evaluation, "RSI", "MID.main"), "the strings are stopped, the battery is not"
    assert live_loads(evaluated("b09_hybrid_inverter"), "RSI", "MID.main") == set()


def test_the_initiator_of_a_detached_building_is_a_step() -> None:
    evaluation = evaluated("b11_detached_building")
    assert live_loads(evaluation, "MSP.main") == {"MSP.bus from PV1", "DET.bus from PV1"}
    assert [step.handle for step in placard(evaluation).text.steps] == ["DET.main", "MSP.main"]


def test_a_vehicle_that_gives_back_is_a_source() -> None:
    evaluation = evaluated("b12_bidirectional_ev")
    assert "HP.bus from EV1" in live_loads(evaluation, "RSI", "MID.main")
    text = placard(evaluation).text
    assert "EVD" in [step.handle for step in text.steps]
    assert any("Unplug" in line for line in text.stays_live)


def test_only_the_utility_makes_an_interconnect_device_in_the_meter_socket_dead() -> None:
    evaluation = evaluated("b13_meter_socket_adapter")
    text = placard(evaluation).text
    # The battery's breaker is a service disconnect beside the main: closed, the utility keeps the battery's wires live (NEC 230.70).
    assert [step.handle for step in text.steps] == ["RSI", "MID.BAT", "MSP.main"]
    assert "MID.bus" in shutdown_steps(evaluation.system).stays_energized
    assert any("Only the utility can disconnect it" in line for line in text.stays_live)


def test_a_portable_generator_is_parted_by_its_own_breaker_or_by_its_plug() -> None:
    assert [step.handle for step in placard(evaluated("b14_generator_inlet")).text.steps] == ["GEN.breaker", "MSP.main"]
    without = placard(evaluated("b14_generator_inlet", without=("equipment.GEN.breaker",))).text.steps
    assert [step.handle for step in without] == ["INL", "MSP.main"]
    assert without[0].action == "Stop the generator, pull its plug"
    assert placard(evaluated("b14_generator_inlet")).text.warning.endswith("the generator keeps feeding the house.")


def test_breakers_without_a_name_are_counted():
    """B11 lands two branches of microinverters on two breakers of the workshop's panel: opening the first of them leaves one on."""
    (entry,) = [entry for entry in placards_of(evaluated("b11_detached_building"))[0].directory if entry.source.endswith("array")]
    assert "2 breakers in Workshop panel" in entry.disconnects
