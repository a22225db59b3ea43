"""The highest dc voltage on the label of each PV system, worked by hand from NEC 690.7(A), (B) and (D); 690.53 before 2023."""

from pathlib import Path

import pytest

from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project
from tests.reading_paper import put_reading

TOPOLOGIES = Path(__file__).parents[1] / "topologies"
_CONVERTER = "catalog:\n  optimizer: {{kind: converter, output_voltage: 60 V, output: 15 A, largest_input: 80 V{more}}}\n"


def volts(tmp_path, house, changes, edition):
    text = (TOPOLOGIES / f"{house}.yaml").read_text("utf-8")
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new, 1)
    file = tmp_path / "project.yaml"
    file.write_text(text, "utf-8")
    put_reading(tmp_path)
    found = labels_of(open_project(file, edition=edition))
    told = {label.tag: label.panels[-1].lines[0].text for label in found.labels if label.id == "pv-max-dc-voltage"}
    return {tag: text.replace("\u00a0", " ") for tag, text in told.items()}, {
        note.tag for note in found.not_judged if note.id == "pv-max-dc-voltage"
    }


@pytest.mark.parametrize("edition", ["2020", "2023"])
@pytest.mark.parametrize(
    ("more", "expected"),
    # 10 modules with a converter each: 480 V and 380 V as instructed; else 10 x 60 = 600 V; one module in the cold would be 45.4 V.
    [(", string_voltage: 480 V", "480 V DC"), (", string_voltage: 380 V", "380 V DC"), ("", "600 V DC")],
)
def test_converters_in_series_stand_at_the_voltage_of_their_string(tmp_path, more, expected, edition):
    changes = {"catalog:\n": _CONVERTER.format(more=more), "    strings: {": "    converter: optimizer\n    strings: {"}
    assert volts(tmp_path, "b02_pv_supply_side", changes, edition) == ({"INV1": expected}, set())


def test_modules_in_series_stand_at_the_cold_voltage_of_their_string(tmp_path):
    """10 × 40 V × (1 − 0.0030 × (−20 − 25)) = 454 V."""
    assert volts(tmp_path, "b02_pv_supply_side", {}, "2023") == ({"INV1": "454 V DC"}, set())


def test_a_string_voltage_that_nobody_knows_is_not_that_of_one_module(tmp_path):
    changes = {
        "catalog:\n": _CONVERTER.format(more="").replace("output_voltage: 60 V, ", ""),
        "    strings: {": "    converter: optimizer\n    strings: {",
    }
    assert volts(tmp_path, "b02_pv_supply_side", changes, "2023") == ({}, {"INV1"})


def said_of_storage(tmp_path, edition, *, unknown):
    changes = {"maximum_voltage: 58.4 V": "maximum_voltage: unknown"} if unknown else {}
    text = (TOPOLOGIES / "b18_batteries_on_dc_bus.yaml").read_text("utf-8")
    for old, new in changes.items():
        text = text.replace(old, new)
    (tmp_path / "project.yaml").write_text(text, "utf-8")
    put_reading(tmp_path)
    found = labels_of(open_project(tmp_path / "project.yaml", edition=edition))
    words = [
        line.text.replace("\u00a0", " ") for each in found.labels if each.id == "ess-disconnect" for p in each.panels for line in p.lines
    ]
    return " ".join(words)


@pytest.mark.parametrize("unknown", [False, True])
def test_the_maximum_dc_voltage_of_a_battery_is_the_one_of_its_nameplate(tmp_path, unknown):
    """NEC 2020 706.15(C)(1): nominal ESS ac voltage and maximum ESS dc voltage; b18 has two dc batteries of 58.4 V."""
    said = said_of_storage(tmp_path, "2020", unknown=unknown)
    assert ("MAXIMUM DC VOLTAGE 58.4 V" in said) != unknown
    assert "NOMINAL" not in said


def test_an_ac_battery_says_its_nominal_voltage(open_once):
    """The same section; b10 has ac batteries on 120/240 V."""
    found = labels_of(open_once(TOPOLOGIES / "b10_battery_combining_panel.yaml", "2020"))
    said = [
        line.text.replace("\u00a0", " ") for each in found.labels if each.id == "ess-disconnect" for p in each.panels for line in p.lines
    ]
    assert "NOMINAL AC VOLTAGE 240 V" in " ".join(said)


@pytest.mark.parametrize("name", ["b15_meter_main", "b16_meter_main_40_a", "b10_battery_combining_panel", "b05_mid_service_equipment"])
def test_what_is_installed_in_an_enclosure_is_what_stands_in_it(open_once, name):
    """705.12(B)(3)(3) marks the equipment: a device beyond its lugs counts with the busbar and stands elsewhere."""
    opened = open_once(TOPOLOGIES / f"{name}.yaml")
    for label in labels_of(opened).labels:
        said = " ".join(line.text for panel in label.panels for line in panel.lines)
        if label.id == "sum-rule" and "NOW INSTALLED" in said:
            here = (each for each in opened.evaluation.system.devices.values() if each.enclosure == label.tag)
            own = sum(each.device.rating_a.number for each in here if each.tag != f"{label.tag}.main")
            assert f"NOW INSTALLED: {own:g}" in said.replace("\u00a0", " ")
