"""What labels say of the equipment they hang on, topology by topology.

Each line was reasoned out on the one-line diagram before the program was asked: which sources can reach this busbar in some position of
the contactors and relays, which while the utility is away. NEC 705.12(C), from 2023 705.30(C): the presence of all sources of the
equipment; 230.85(D): all equipment that isolates other energy sources; 706.15(C): nominal voltage of the storage system.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project
from permitgen.views.label import LabelView
from permitgen.views.label_set import label_set_of
from permitgen.views.placard import placards_of
from tests.topologies.test_placard_reachability import evaluated

HERE = Path(__file__).parent


@lru_cache
def labels(name: str, edition: str) -> tuple[LabelView, ...]:
    return labels_of(open_project(HERE / f"{name}.yaml", edition=edition)).labels


def words(name: str, label_id: str, tag: str, edition: str = "2023") -> str:
    (label,) = [label for label in labels(name, edition) if label.id == label_id and label.tag == tag]
    return " / ".join(line.text for panel in label.panels for line in panel.lines)


# b06b: the transfer switch parts the emergency panel from the main panel, so the generator never reaches the main panel, and the
# array on the main panel never runs beside the generator.
@pytest.mark.parametrize(
    ("name", "tag", "sources"),
    [
        ("b01_pv_load_side", "MSP", "UTILITY AND SOLAR PANELS"),
        ("b06b_transfer_switch", "MSP", "UTILITY AND SOLAR PANELS"),
        ("b06b_transfer_switch", "EMP", "UTILITY, SOLAR PANELS AND GENERATOR"),
        ("b06a_generator_on_mid", "HP", "UTILITY, SOLAR PANELS, BATTERY UNIT AND GENERATOR"),
        ("b10_battery_combining_panel", "ECP", "UTILITY AND 3 BATTERY UNITS"),
        ("b12_bidirectional_ev", "HP", "UTILITY, BATTERY UNIT AND ELECTRIC VEHICLE"),
    ],
)
def test_sources_are_those_of_this_equipment(name: str, tag: str, sources: str) -> None:
    assert words(name, "multiple-source-equipment", tag).endswith(f"MULTIPLE SOURCES: / {sources}")


@pytest.mark.parametrize(
    ("name", "tag", "sources"),
    [
        ("b06b_transfer_switch", "EMP", "GENERATOR"),
        ("b04_partial_backup", "BLP", "SOLAR PANELS AND BATTERY UNIT"),
        ("b06a_generator_on_mid", "HP", "SOLAR PANELS, BATTERY UNIT AND GENERATOR"),
        ("b09_hybrid_inverter", "HP", "SOLAR PANELS AND BATTERY UNIT"),
    ],
)
def test_a_backup_panel_names_what_feeds_it_without_the_utility(name: str, tag: str, sources: str) -> None:
    assert f"SOURCES: {sources} / TO DE-ENERGIZE, IN THIS ORDER: / 1. " in words(name, "backup-panel", tag)


def test_a_transfer_switch_is_no_interconnect_device() -> None:
    assert words("b06b_transfer_switch", "mid", "ATS") == "TRANSFER SWITCH / ON STANDBY, LOADS REMAIN ENERGIZED BY: GENERATOR"
    assert words("b10_battery_combining_panel", "mid", "MID") == (
        "MICROGRID INTERCONNECT DEVICE / WHEN OPEN, THE PREMISES REMAIN ENERGIZED BY: 3 BATTERY UNITS"
    )


def test_voltage_of_a_battery_on_the_dc_side_of_a_hybrid_inverter() -> None:
    assert "NOMINAL OUTPUT VOLTAGE 400 V DC" in words("b09_hybrid_inverter", "ess-disconnect", "ESS1")
    # 2020 asks for the nominal ac and the maximum dc voltage, 706.15(C)(1).
    assert "MAXIMUM DC VOLTAGE 450 V" in words("b09_hybrid_inverter", "ess-disconnect", "ESS1", "2020")
    assert "NOMINAL AC VOLTAGE 240 V" in words("b03_whole_home", "ess-disconnect", "ESS1", "2020")
    assert "NOMINAL OUTPUT VOLTAGE 240 V AC" in words("b03_whole_home", "ess-disconnect", "ESS1")


def test_the_directory_lists_each_switch_once_with_its_sources() -> None:
    """The battery's own breaker behind the hybrid inverter does not isolate the array: strings and inverter stay connected."""
    said = words("b09_hybrid_inverter", "other-isolation-directory", "MID")
    assert (
        "EMERGENCY SHUTDOWN SWITCH: GARAGE, EAST WALL, LEFT OF THE METER (SOUTH ROOF ARRAY; HYBRID INVERTER, 7.68 kW; BATTERY UNIT)" in said
    )
    assert "BATTERY UNIT, ITS OWN SWITCH: GARAGE, EAST WALL INSIDE" in said
    assert "NOT STATED" not in said
    assert "SOUTH ROOF ARRAY, ITS BREAKER" not in said
    generator = words("b06a_generator_on_mid", "other-isolation-directory", "MID")
    assert generator.count("GENERATOR EMERGENCY SHUTDOWN") == 1
    assert "GENERATOR EMERGENCY SHUTDOWN: PAD NORTH-EAST OF THE GARAGE (STANDBY GENERATOR, 14 kW)" in generator


def test_a_back_fed_breaker_names_its_source_and_units_keep_their_prefix() -> None:
    assert words("b01_pv_load_side", "backfed-do-not-relocate", "MSP.37").endswith("SOURCE: SOLAR PV SYSTEM")
    assert words("b12_bidirectional_ev", "backfed-do-not-relocate", "HP.37").endswith("SOURCE: ELECTRIC VEHICLE")
    managed = words("b04_partial_backup", "load-managed-panel", "MSP")
    assert "LIMITED: PV INVERTER, 7.68 kW; BATTERY UNIT" in managed
    assert "CALCULATED AND SET ____________" in managed  # no revision of the plans is the day of the setting


def test_two_initiation_devices_are_numbered_as_on_the_picture() -> None:
    said = words("b07_pv_on_both_sides", "rapid-shutdown-building", "MSP")
    assert "SWITCH LOCATION: (1) GARAGE, EAST WALL, RIGHT OF THE MAIN PANEL; (2) GARAGE, EAST WALL, LEFT OF THE METER" in said
    (label,) = [label for label in labels("b07_pv_on_both_sides", "2023") if label.id == "rapid-shutdown-building"]
    assert label.diagram is not None
    assert [place for _, place in label.diagram.initiators] == [(86.0, 50.0), (86.0, 41.0)], "as the file places them"


def test_a_stop_of_batteries_alone_is_no_rapid_shutdown_switch() -> None:
    """b12 has no array: 690.12 and its 30 s do not reach the stop that 706.15 asks for."""
    opened = open_project(HERE / "b12_bidirectional_ev.yaml")
    (placard,) = placards_of(opened.evaluation)
    assert placard.text.steps[0].object == 'Battery emergency stop "ENERGY STORAGE SYSTEM EMERGENCY SHUTDOWN"', "the words of its label"
    assert placard.text.wait == ""
    assert "RAPID" not in placard.offline


def test_the_placard_speaks_of_one_source_in_the_singular() -> None:
    def warning(name: str) -> str:
        opened = open_project(HERE / f"{name}.yaml")
        return placards_of(opened.evaluation)[0].text.warning

    assert warning("b06b_transfer_switch").endswith("NOT enough: the generator then starts by itself and feeds the house.")
    assert warning("b10_battery_combining_panel") == "Turning off utility power is NOT enough: 3 battery units keep feeding the house."
    assert warning("b04_partial_backup").endswith("solar panels and a battery unit keep feeding the house.")


@pytest.mark.parametrize("name", ["b14_generator_inlet", "b23_inlet_sliding_plate"])
def test_a_panel_that_only_a_cord_can_feed_does_not_remain_energized(name: str) -> None:
    """With the utility lost and nobody there the panel is dead, by reasoning; common practice, no published source."""
    said = words(name, "backup-panel", "MSP")
    assert "REMAINS ENERGIZED" not in said
    assert "BACKUP LOADS PANEL" not in said
    assert "IF A PORTABLE GENERATOR RUNS AND ITS BREAKER IS CLOSED." in said


_CORD = {
    "equipment.GEN": {"kind": "generator", "portable": "yes", "output": "30 A", "breaker": {"rating": "30 A", "poles": "2"}},
    "equipment.INL": {"kind": "power_inlet", "rating": "30 A", "generator": "GEN", "male_contacts": "yes"},
    "equipment.MSP.interlocked_breaker": "2",
    "circuits.G1": {
        "from": "INL",
        "to": "MSP.2",
        "overcurrent": {"to_end": {"rating": "30 A", "poles": "2"}},
        "conductors": {"size": "10 AWG", "insulation": "THWN-2", "neutral": "10 AWG"},
    },
}


@pytest.mark.parametrize(("listed", "marked"), [("no", set()), ("unknown", set()), ("yes", {"GEN"})])
def test_a_portable_generator_meets_the_array_where_it_is_listed_to_run_beside_it(listed: str, marked: set[str]) -> None:
    """705.30(C) marks what several sources supply; only a machine listed for parallel operation is interconnected with another source."""
    changed = _CORD | {"equipment.GEN": {**_CORD["equipment.GEN"], "in_parallel_listed": listed}}
    found = label_set_of(evaluated("b01_pv_load_side", changed=changed)).labels
    of_several = {label.tag for label in found if label.id == "multiple-source-equipment"}
    assert of_several & {"GEN", "INL"} == marked
    assert "MSP" in of_several, "utility and array meet there"


def test_a_panel_remains_energized_by_what_runs_by_itself() -> None:
    """A cord is plugged in by somebody; the battery is there (by reasoning; common practice, no published source)."""
    changed = {"equipment.GEN.portable": "yes"}
    (label,) = [each for each in label_set_of(evaluated("b06a_generator_on_mid", changed=changed)).labels if each.id == "backup-panel"]
    said = " / ".join(line.text for panel in label.panels for line in panel.lines)
    assert "REMAINS ENERGIZED WHEN UTILITY POWER IS OFF. / SOURCES: SOLAR PANELS AND BATTERY UNIT / " in said
