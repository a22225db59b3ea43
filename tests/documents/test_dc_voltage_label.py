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
