"""A fact that a rule already judges, or that somebody asks for, brings its label: one change to a house, one label more.

Sections stand beside each case; which label belongs to which is in ``label_specs/``.
"""

from pathlib import Path

import pytest

from permitgen.cli.main import cli
from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project
from tests.reading_paper import put_reading

HERE = Path(__file__).parent

CASES = {
    "series combination at the main panel, 110.22(C), 240.86": (
        "b01_pv_load_side",
        {
            "to_end: {rating: 40 A, poles: 2, interrupting_rating: 22 kA": "to_end: {rating: 40 A, poles: 2, interrupting_rating: 5 kA",
            "    largest_breaker: 125 A\n    short_circuit_rating: 22 kA\n": (
                "    largest_breaker: 125 A\n    series_rating: 22 kA\n    short_circuit_rating: 22 kA\n"
            ),
        },
        "series-rating",
        ["MSP"],
    ),
    "dc circuits stated as ungrounded, 690.31(E) in the source of the specification": (
        "b02_pv_supply_side",
        {"dc_grounding: functionally grounded": "dc_grounding: ungrounded"},
        "ungrounded-dc",
        ["INV1"],
    ),
    "the disconnect of a generator inside its enclosure, 445.18(A) of 2023 (text read)": (
        "b06a_generator_on_mid",
        {"disconnect_inside_housing: no": "disconnect_inside_housing: yes"},
        "generator-disconnect-inside",
        ["GEN"],
    ),
    "a bipolar array, solidly grounded, 690.31": (
        "b02_pv_supply_side",
        {"dc_grounding: functionally grounded": "dc_grounding: solidly grounded", "    strings: {": "    bipolar: yes\n    strings: {"},
        "bipolar-array",
        ["PV1"],
    ),
    "a battery switch out of sight of the battery, 706.15(B)": (
        "b26_garage_with_battery",
        {"    disconnect: yes\n    listed_system: yes": "    disconnect: no\n    listed_system: yes", ", in_sight_of: [ESS1]}": "}"},
        "ess-disconnect-remote",
        ["ESS1"],
    ),
    "a battery that is no listed storage system, 480.7": (
        "b09_hybrid_inverter",
        {"    listed_system: yes": "    listed_system: no"},
        "battery-notification",
        ["ESS1"],
    ),
    "the disconnect of such a battery at a dwelling, 480.7(B)": (
        "b09_hybrid_inverter",
        {"    listed_system: yes": "    listed_system: no"},
        "battery-emergency-disconnect",
        ["ESS1"],
    ),
    "a generator whose neutral bond somebody changed, 445.11": (
        "b06a_generator_on_mid",
        {"bond_changed: no": "bond_changed: yes"},
        "generator-neutral-bond",
        ["GEN"],
    ),
    "strings within the roofing, 690.31(D)(1), in 2017 690.31(G)(1)": (
        "b09_hybrid_inverter",
        {"above_roof: 2 in, building: house, exposed: yes": "embedded_in_roofing: yes, building: house, exposed: yes"},
        "embedded-roof-circuits",
        ["R7"],
    ),
    "a mark that the fire code as adopted asks for": (
        "b01_pv_load_side",
        {"edition: 2023, fire_code": "edition: 2023, asks_for: [fire-code-main-disconnect], fire_code"},
        "fire-code-main-disconnect",
        ["MSP"],
    ),
    "a sign that the utility asks for, common practice, no published source": (
        "b02_pv_supply_side",
        {"edition: 2023, fire_code": "edition: 2023, asks_for: [utility-ac-disconnect], fire_code"},
        "utility-ac-disconnect",
        ["PVD"],
    ),
}


def changed(tmp_path, house, changes):
    text = (HERE / f"{house}.yaml").read_text("utf-8")
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    file = tmp_path / "project.yaml"
    file.write_text(text, "utf-8")
    put_reading(tmp_path)
    return file


@pytest.mark.parametrize(("house", "changes", "label", "on"), CASES.values(), ids=CASES)
def test_the_label_is_printed_where_the_fact_holds(tmp_path, house, changes, label, on):
    before = labels_of(open_project(HERE / f"{house}.yaml"))
    after = labels_of(open_project(changed(tmp_path, house, changes)))
    assert label not in {each.id for each in before.labels}
    assert [each.tag for each in after.labels if each.id == label] == on


NOT_KNOWN = {
    "nobody says whether the generator's bond was changed": (
        "b06a_generator_on_mid",
        {"    bond_changed: no\n": ""},
        "generator-neutral-bond",
    ),
    "nobody says where the generator's disconnect is": (
        "b06a_generator_on_mid",
        {"    disconnect_inside_housing: no\n": ""},
        "generator-disconnect-inside",
    ),
    "nobody says whether the strings lie in the roofing": (
        "b09_hybrid_inverter",
        {"above_roof: 2 in, building: house, exposed: yes, ": "building: house, "},
        "embedded-roof-circuits",
    ),
}


@pytest.mark.parametrize(("house", "changes", "label"), NOT_KNOWN.values(), ids=NOT_KNOWN)
def test_where_the_fact_is_not_known_the_label_is_not_judged(tmp_path, house, changes, label):
    """Neither printed nor left out in silence."""
    found = labels_of(open_project(changed(tmp_path, house, changes)))
    assert label not in {each.id for each in found.labels}
    assert label in {note.id for note in found.not_judged}


ONE_LEG = {
    "to_end: {rating: 40 A, poles: 2, interrupting_rating: 22 kA}}\n"
    "    conductors: {size: 8 AWG, insulation: THWN-2, equipment_ground: 10 AWG, neutral: no}": (
        "to_end: {rating: 40 A, poles: 1, interrupting_rating: 22 kA}}\n"
        "    conductors: {size: 8 AWG, ungrounded: 1, insulation: THWN-2, equipment_ground: 10 AWG, neutral: yes}"
    ),
}


def test_a_panel_that_the_island_supplies_with_120_volts_only_is_marked(tmp_path):
    """710.15(C): the warning stands on the equipment, and the rule asks its question of the same panels."""
    house = "../rules/bases/partial_backup"
    found = labels_of(open_project(changed(tmp_path, house, ONE_LEG)))
    assert [each.tag for each in found.labels if each.id == "single-120v-supply"] == ["BLP"]
    assert "single-120v-supply" not in {each.id for each in labels_of(open_project(HERE / f"{house}.yaml")).labels}


def test_a_rule_that_does_not_exist_has_no_findings_to_read(demo):
    """A label once read the findings of a rule under a name that no rule has, and was never printed."""
    with pytest.raises(KeyError):
        demo.evaluation.findings_of("single-120-volt-supply")


def test_a_mark_that_does_not_exist_is_a_message(tmp_path, capsys):
    file = changed(tmp_path, "b01_pv_load_side", {"edition: 2023, fire_code": "edition: 2023, asks_for: [fire-code-main], fire_code"})
    with pytest.raises(SystemExit) as done:
        cli.main(["check", str(file)], prog_name="permitgen")
    assert done.value.code == 2
    assert 'no label is called "fire-code-main"' in capsys.readouterr().err
