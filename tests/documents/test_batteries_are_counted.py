"""What holds energy is counted as a battery, by units; the inverter beside it never is, in whatever document it appears.

The house is ``topologies/b18_batteries_on_dc_bus.yaml``: two batteries of 15 kWh, one battery inverter. Numbers are counted by hand.
"""

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.views.checklist.before_power import before_power
from permitgen.views.cover import cover_of
from permitgen.views.emergency import emergency_of
from permitgen.views.label_set import label_set_of
from permitgen.views.placard import placards_of
from permitgen.views.plans.storage import storage_plan_of
from permitgen.views.record_owner import owner_text
from permitgen.views.source_names import grouped_sources

HOUSE = Path(__file__).resolve().parents[1] / "topologies" / "b18_batteries_on_dc_bus.yaml"
ENERGY = "    energy: 15 kWh\n"


def plain(text):
    """Return text with common spaces, for numbers are tied to their units."""
    return text.replace("\u00a0", " ")


def words_of(label):
    """Return all that a label says, in one line."""
    return plain(" ".join(line.text for panel in label.panels for line in panel.lines))


def with_batteries(folder, *energies):
    """Return the evaluation of the house with other words for the energies of its batteries, in their order."""
    text = HOUSE.read_text("utf-8")
    for energy in energies:
        before, _, after = text.partition(ENERGY)
        text = before + energy + after
    path = folder / "house.yaml"
    path.write_text(text, "utf-8")
    return evaluate(load_project(path).system, CodeBook(2023), with_suggestions=False)


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    return with_batteries(tmp_path_factory.mktemp("two"))


@pytest.fixture(scope="module")
def five(tmp_path_factory):
    """A battery of three cabinets of 5 kWh each beside one of two of 7.5 kWh: five units, 30 kWh."""
    energies = ("    units: 3\n    unit_energy: 5 kWh\n", "    units: 2\n    unit_energy: 7.5 kWh\n")
    return with_batteries(tmp_path_factory.mktemp("five"), *energies)


def test_the_placard_counts_batteries(two):
    english, spanish = (emergency_of(two).texts[language] for language in ("en", "es"))
    assert english.sources == ("utility power", "2 battery units")
    assert spanish.sources == ("la corriente de la calle", "las 2 baterías")
    assert english.warning == "Turning off utility power is NOT enough: 2 battery units keep feeding the house."
    assert [(step.tag, step.stops) for step in english.steps] == [("RSI", "stops 2 battery units"), ("MID", "cuts off utility power")]
    assert [(line.units, plain(line.energy), line.tags) for line in english.storage] == [("2 units", "30 kWh", ("ESS1", "ESS2"))]


def test_the_directory_names_each_battery_once(two):
    names = [entry.source for entry in placards_of(two)[0].directory]
    assert names == ["Utility service point", "Battery inverter, 7.68 kW", "Battery unit 1", "Battery unit 2"]


def test_the_map_marks_batteries(two):
    assert [(source.kind, source.tag) for source in emergency_of(two).map.sources] == [
        ("energy storage", "ESS1"),
        ("energy storage", "ESS2"),
    ]


def test_labels_name_and_hang_on_batteries(two):
    labels = label_set_of(two).labels
    assert {label.tag for label in labels if label.id in ("ess-disconnect", "ess-service-contact")} == {"ESS1", "ESS2"}
    lists = [words_of(label) for label in labels if label.id in ("backup-panel", "multiple-source-equipment")]
    assert len(lists) == 3
    assert all("2 BATTERY UNITS" in text and "INVERTER" not in text for text in lists)
    mark = next(label for label in labels if label.id == "ungrounded-dc")
    assert mark.tag == "DCB"
    assert "OPERATING 51 VOLTS BETWEEN CONDUCTORS" in words_of(mark)


def test_the_record_of_the_owner_tells_them_apart(two):
    lines = owner_text(two, emergency_of(two).english, "", may_energize=True).have
    assert [line for line in lines if line.startswith("Battery")] == [
        "Battery inverter: Battery inverter, 7.68 kW, garage, east wall inside, north end",
        "Battery: Battery unit 1, garage, east wall inside, unit 1",
        "Battery: Battery unit 2, garage, east wall inside, unit 2",
    ]


def test_cover_storage_plan_and_checklist(two):
    assert "Energy storage: 30 kWh rated energy" in map(plain, cover_of(two).scope)
    assert [row[0] for row in storage_plan_of(two).unit_rows] == ["ESS1", "ESS2"]
    locked = {line.tag: line.instruction for line in before_power(two).lines if line.id.startswith("locked:")}
    assert "Inverter switched off" in locked["INV1"]
    assert "Unit switched off" in locked["ESS1"]
    dead = next(line for line in before_power(two).lines if line.id == "dead:DCB")
    assert "pole to pole" in dead.instruction


def test_units_of_one_system_count_each(five):
    english = emergency_of(five).english
    assert english.sources == ("utility power", "5 battery units")
    assert [(line.units, line.unit_count, plain(line.energy)) for line in english.storage] == [("5 units", 5, "30 kWh")]
    assert "Energy storage: 30 kWh rated energy" in map(plain, cover_of(five).scope)
    assert [plain(row[2]) for row in storage_plan_of(five).unit_rows] == ["3 x 5 kWh = 15 kWh", "2 x 7.5 kWh = 15 kWh"]
    assert {"ESS1: 3 units, drawn as one.", "ESS2: 2 units, drawn as one."} <= set(storage_plan_of(five).notes)
    nameplates = {line.id for line in before_power(five).lines}
    assert {"unit_energy:ESS1", "units:ESS1"} <= nameplates
    assert "energy:ESS1" not in nameplates


def test_a_count_that_nobody_knows_is_not_made_up(tmp_path):
    evaluation = with_batteries(tmp_path, "    units: unknown\n    unit_energy: 5 kWh\n")
    english = emergency_of(evaluation).english
    assert english.sources == ("utility power", "? battery units")
    assert [plain(line.energy) for line in english.storage] == ["? kWh"]
    energy = next(finding for finding in evaluation.findings if finding.rule == "storage-energy")
    assert str(energy.judgement.verdict) == "not judged"


def test_an_inverter_whose_battery_is_not_described_is_named_as_what_it_is(two):
    system, phrases = two.system, emergency_of(two).english.phrases
    inverter = tuple(source for source in system.sources.values() if source.tag == "INV1")
    assert grouped_sources(system, inverter, phrases) == ["the battery inverter"]
