"""The steps that make a house dead, topology by topology.

Expected steps and remains were reasoned out by hand on each one-line diagram; common practice, no published source.
"""

import copy
from pathlib import Path

import yaml

from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.system.walks.isolation import load_nodes, possibly_live, service_handles, shutdown_steps
from permitgen.system.walks.stopped_sources import stopped_tags

BASES = Path(__file__).resolve().parents[1] / "bases"


def system(base, changes="", removed=()):
    """Load a base with changes, written as YAML of dotted paths."""
    read = read_yaml_file(BASES / f"{base}.yaml")
    data = copy.deepcopy(read.data)
    for path in removed:
        *above, last = path.split(".")
        found = data
        for step in above:
            found = found[step]
        del found[last]
    for path, value in (yaml.load(changes, Loader=yaml.CBaseLoader) or {}).items():
        *above, last = path.split(".")
        found = data
        for step in above:
            found = found.setdefault(step, {})
        found[last] = value
    return build_project(ReadFile(read.file, read.text, data, read.positions), BASES).system


def steps(found):
    return [handle.id for handle in shutdown_steps(found).steps]


def breaker_of(found, circuit):
    """Return the handle of the breaker by which a circuit lands on a panel."""
    ends = (f"{circuit}.start", f"{circuit}.finish")
    return next(link.handle for link in found.graph.links if link.handle and (link.first in ends or link.second in ends))


def test_pv_alone_needs_its_breaker_and_the_main():
    found = system("main_panel_with_source")
    assert steps(found) == [breaker_of(found, "C1"), "MSP.main"]
    assert shutdown_steps(found).still_live == ()


def test_main_alone_suffices_where_it_is_the_initiator_of_pv_alone():
    found = system("main_panel_with_source", "equipment.MSP.role: [service equipment, rapid shutdown initiator]")
    assert steps(found) == ["MSP.main"]
    assert shutdown_steps(found).still_live == ()


def test_a_pv_switch_comes_before_the_main():
    assert steps(system("string_inverter")) == ["ACD", "MSP.main"]


def test_main_is_no_initiator_with_a_battery_behind_an_interconnect_device():
    found = system(
        "partial_backup",
        """
        equipment.MSP.role: [service equipment, rapid shutdown initiator]
        catalog.module: {kind: module, name: module, voc: 40 V, isc: 12 A, voc_coefficient: -0.3 %/°C}
        equipment.PV1: {kind: pv_array, module: module, modules: 10, strings: {A: 10}, on_building: house}
        equipment.INV1: {kind: inverter, functions: interactive, energy: photovoltaic, output: 16 A, terminals: {ac: {}, mppt: {}}}
        equipment.MID.terminals.PV: {accepts: photovoltaic, relay: K2}
        circuits.D1: {from: PV1.A, to: INV1.mppt}
        circuits.P1: {from: INV1.ac, to: MID.PV, overcurrent: {to_end: {rating: 20 A, poles: 2}}}
        """,
    )
    assert "PV1" not in stopped_tags(found, ["MSP.main"])
    assert "BLP.bus" in possibly_live(found, ["MSP.main"])


def test_service_disconnect_alone_leaves_a_backup_panel_alive():
    found = system("partial_backup")
    assert "BLP.bus" in possibly_live(found, ["MSP.main"])
    assert steps(found) == ["ESS1.disconnect", "MSP.main"]
    assert shutdown_steps(found).still_live == ()


def test_a_battery_without_any_handle_is_told():
    found = system("partial_backup", "equipment.ESS1.disconnect: no", removed=("circuits.C1.overcurrent",))
    assert "MID.bus" in shutdown_steps(found).still_live


def test_a_battery_without_a_switch_is_cut_off_at_its_breaker():
    found = system("partial_backup", "equipment.ESS1.disconnect: no")
    assert steps(found) == ["MID.BAT", "MSP.main"]
    assert shutdown_steps(found).still_live == ()


def test_generator_stops_before_the_service_disconnect_that_would_start_it():
    found = system("whole_home_island")
    assert "HP.bus" in possibly_live(found, ["RSI", "MID.main"])
    assert steps(found) == ["RSI", "GEN.stop", "MID.main"]
    assert shutdown_steps(found).still_live == ()


def test_a_generator_without_an_outside_stop_is_cut_off_at_its_breaker():
    found = system("whole_home_island", "equipment.GEN.outside_stop: no")
    assert steps(found) == ["RSI", "GEN.breaker", "MID.main"]
    assert shutdown_steps(found).still_live == ()


def test_a_switch_for_the_pv_alone_leaves_a_step_for_the_battery():
    found = system("whole_home_island", "equipment.RSI.also_stops: []")
    assert steps(found) == ["RSI", "ESS1.disconnect", "GEN.stop", "MID.main"]


def test_legacy_pv_outside_the_initiator_gets_a_step_of_its_own():
    found = system(
        "whole_home_island",
        """
        equipment.INV2: {kind: inverter, functions: interactive, energy: photovoltaic, output: 16 A, status: existing}
        circuits.L1: {from: INV2.ac, to: HP.39, overcurrent: {to_end: {rating: 20 A, poles: 2}}}
        """,
    )
    assert steps(found) == ["RSI", "GEN.stop", "HP.39", "MID.main"]
    assert shutdown_steps(found).still_live == ()


def test_a_vehicle_that_can_give_back_gets_a_step():
    found = system(
        "whole_home_island",
        """
        equipment.EV1: {kind: ev_supply_equipment, current: 48 A, exports: yes, output: 40 A}
        circuits.V1: {from: HP.4, to: EV1, overcurrent: {from_end: {rating: 60 A, poles: 2}}}
        """,
    )
    assert "HP.4" in steps(found)
    assert "HP.bus" not in shutdown_steps(found).still_live


def test_ahead_of_an_interconnect_device_at_the_meter_only_the_utility_makes_dead():
    found = system(
        "partial_backup",
        """
        circuits.S1.to: MID.supply
        circuits.F2.to: MSP.main
        circuits.C2.from: MSP.2
        """,
        removed=("equipment.BLP", "circuits.F1", "loads.K2"),
    )
    shutdown = shutdown_steps(found)
    assert "MSP.main" in [handle.id for handle in shutdown.steps]
    assert shutdown.still_live == ()
    assert "MID.bus" in shutdown.stays_energized
    assert "MID.bus" not in load_nodes(found)


def test_service_conductors_stay_live():
    found = system("whole_home_island")
    stays = shutdown_steps(found).stays_energized
    assert {"UTIL.service_point", "MID.supply"} <= set(stays)
    assert "MID.bus" not in stays
    assert service_handles(found) == ("MID.main",)


def test_an_inverter_stops_with_the_last_string_that_feeds_it():
    found = system("string_inverter", "equipment.RSI: {kind: rapid_shutdown_initiator, shuts_down: [PV1]}")
    assert stopped_tags(found, ["RSI"]) == {"PV1", "INV1"}
    assert steps(found) == ["RSI", "MSP.main"]


def test_a_hybrid_inverter_runs_on_its_battery_when_its_strings_are_stopped():
    found = system("battery_inverter", "equipment.RSI: {kind: rapid_shutdown_initiator, shuts_down: [PV1]}")
    assert stopped_tags(found, ["RSI"]) == {"PV1"}
    assert steps(found) == ["RSI", "BAT1.disconnect", "MSP.main"]
    assert shutdown_steps(found).still_live == ()
