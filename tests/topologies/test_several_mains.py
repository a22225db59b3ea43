"""Where a house has several service disconnects, each step says what the walk finds dead behind it, and none is called a source."""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.package.label_job import labels_of
from permitgen.views.emergency import emergency_of

HERE = Path(__file__).parent


def stops(open_once, name):
    steps = emergency_of(open_once(HERE / f"{name}.yaml").evaluation).english.steps
    return {step.handle: step.stops for step in steps}


@pytest.mark.parametrize(
    ("name", "said"),
    [
        # Read off the one-line by hand: a meter ahead of two panels; a trough ahead of two meters, PV behind the main of unit A.
        ("b21_two_service_panels", {"MSP1.main": "Service panel 1", "MSP2.main": "Service panel 2"}),
        ("b25_duplex", {"MSPA.main": "Panel of unit A", "MSPB.main": "Panel of unit B"}),
    ],
)
def test_each_main_is_said_to_cut_off_its_own_panel(open_once, name, said):
    found = stops(open_once, name)
    for handle, panel in said.items():
        assert f"cuts off utility power to {panel}" in found[handle]
        assert not any(other in found[handle] for other in said.values() if other != panel)


def test_the_main_of_unit_a_stops_its_solar_too(open_once):
    assert "stops solar panels" in stops(open_once, "b25_duplex")["MSPA.main"]


@pytest.mark.parametrize("name", ["b01_pv_load_side", "b02_pv_supply_side", "b11_detached_building", "b26_garage_with_battery"])
def test_one_main_cuts_off_the_utility_and_no_panel_need_be_told(open_once, name):
    (said,) = [said for said in stops(open_once, name).values() if "utility" in said]
    assert said.startswith("cuts off utility power")
    assert " to " not in said


def test_the_other_main_is_no_other_energy_source(open_once):
    """230.85(D): where the isolation of other energy sources is; the other main isolates the utility, as this one does."""
    labels = [
        label for label in labels_of(open_once(HERE / "b21_two_service_panels.yaml")).labels if label.id == "other-isolation-directory"
    ]
    assert [label.tag for label in labels] == ["MSP1", "MSP2"]
    for label in labels:
        text = " ".join(line.text for panel in label.panels for line in panel.lines)
        assert "PV DISCONNECT" in text
        assert "UTILITY" not in text
        assert "MAIN" not in text
