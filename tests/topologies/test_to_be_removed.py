"""What is to be removed stands on the drawings and in the schedules, and is no part of the installation that is permitted.

States of things on plans (existing, new, to be removed): common practice, no published source.
"""

import json
from pathlib import Path

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.reading.problems import ProblemsError
from permitgen.views.label_set import label_set_of
from permitgen.views.one_line_notes import notes_of
from permitgen.views.plans.site import equipment_on_plan
from permitgen.views.schedules import equipment_schedules

HOUSE = Path(__file__).parent / "b01_pv_load_side.yaml"
OLD_PANEL = {
    "kind": "panelboard",
    "name": "Old sub-panel",
    "status": "to be removed",
    "busbar": "100 A",
    "main": "none",
    "spaces": "12",
    "neutral_bond": "installed",
    "existing_labels": ["busbar-backfed"],
    "place": {"description": "garage wall", "map": ["20", "20"], "outdoors": "no"},
}
OLD_INVERTER = {"kind": "inverter", "name": "Old inverter", "status": "to be removed", "output": "90 A", "energy": "photovoltaic"}
OLD_FEEDER = {
    "from": "MSP.20",
    "to": "OLD.main",
    "runs": "OLDR",
    "existing": "yes",
    "to_be_removed": "yes",
    "conductors": {"size": "14 AWG", "insulation": "THWN-2", "neutral": "yes"},
    "overcurrent": {"from_end": "2P 100 A"},
}
OLD_OUTPUT = OLD_FEEDER | {"from": "OLDINV", "to": "OLD.2", "overcurrent": {"to_end": "2P 125 A"}}
OLD_RUN = {"kind": "EMT", "trade_size": "1/2 in", "length": "30 ft", "place": "indoors"}


def data_of():
    return yaml.load(HOUSE.read_text("utf-8"), yaml.CBaseLoader)


def with_old(**changes):
    """The house with an old panel on too small a feeder and too large an inverter on it, all taken out in this work."""
    data = data_of()
    data["equipment"] |= {"OLD": OLD_PANEL, "OLDINV": OLD_INVERTER}
    data["raceways"] |= {"OLDR": OLD_RUN}
    data["circuits"] |= {"OLDF": OLD_FEEDER, "OLDC": OLD_OUTPUT} | changes
    return data


def loaded(data, folder):
    file = folder / "project.yaml"
    data = json.loads(json.dumps(data))  # what two entries share is written out twice
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    return load_project(file).system


def evaluated(data, folder):
    system = loaded(data, folder)
    return evaluate(system, CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def test_nothing_of_it_is_judged_or_labeled(tmp_path):
    before, after = evaluated(data_of(), tmp_path), evaluated(with_old(), tmp_path)

    def told(evaluation):
        return {finding.id: (finding.verdict, finding.judgement.message) for finding in evaluation.findings}

    assert told(before) == told(after)
    ends = ({(link.first, link.second, link.part) for link in each.system.graph.links} for each in (before, after))
    assert next(ends) == next(ends)
    assert [(label.id, label.places) for label in label_set_of(before).labels] == [
        (each.id, each.places) for each in label_set_of(after).labels
    ]


def test_drawings_and_schedules_show_it(tmp_path):
    after = evaluated(with_old(), tmp_path)
    assert [item.tag_words for item in equipment_on_plan(after.system) if item.is_removed] == ["OLD (E) TO BE REMOVED"]
    (schedule,) = (each for each in equipment_schedules(after) if each.title == "Existing, to be removed")
    assert [row[0] for row in schedule.rows] == ["OLD (E)", "OLDINV (E)", "OLDF (E)", "OLDC (E)"]
    assert any("OLD, OLDINV, OLDF, OLDC" in note for note in notes_of(after))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"circuits": {"OLDF": OLD_FEEDER | {"to_be_removed": "no"}}}, "circuits.OLDF.to: OLD is to be removed; expected to_be_removed"),
        ({"loads": {"RNG": {"panel": "OLD", "power": "8 kW", "category": "cooking"}}}, "loads.RNG.panel: OLD is to be removed"),
    ],
)
def test_what_stays_cannot_hang_on_it(change, message, tmp_path):
    data = with_old()
    for section, entries in change.items():
        data[section] = data.get(section, {}) | entries
    with pytest.raises(ProblemsError, match=message):
        loaded(data, tmp_path)


def test_a_directory_is_that_of_afterwards(tmp_path):
    data = with_old()
    data["equipment"]["MSP"]["directory"] = "20,22 blank\n"
    assert "OLDF" in loaded(data, tmp_path).removed_circuits
    data["equipment"]["MSP"]["directory"] = "20,22 100A 2P OLDF\n"
    with pytest.raises(ProblemsError, match="OLDF is to be removed; a directory shows what is there afterwards"):
        loaded(data, tmp_path)


def test_a_single_breaker_of_a_directory_is_shown_and_not_judged(tmp_path):
    data = data_of()
    data["equipment"]["MSP"]["directory"] = "20,22 blank\n"
    before = evaluated(data, tmp_path)
    data["equipment"]["MSP"]["directory"] = '20,22 ?A 2P 1kA "OLD SPA" to be removed\n20,22 blank\n'
    after = evaluated(data, tmp_path)
    told = [{finding.id: (finding.verdict, finding.judgement.message) for finding in each.findings} for each in (before, after)]
    assert told[0] == told[1]
    assert list(before.system.devices) == list(after.system.devices)
    (schedule,) = (each for each in equipment_schedules(after) if each.title == "Existing, to be removed")
    assert [(row[0], row[2]) for row in schedule.rows] == [("MSP.20 (E)", "MSP, spaces 20, 22")]
    assert "OLD SPA" in schedule.rows[0][1]
    assert any("not shown here: MSP.20; see E-604" in note for note in notes_of(after))


def test_another_breaker_may_take_the_space(tmp_path):
    data = data_of()
    data["equipment"]["MSP"]["directory"] = '20,22 50A 2P "OLD SPA" to be removed\n20 20A 1P "BELL" new\n'
    system = loaded(data, tmp_path)
    assert [(each.spaces, each.device.name) for each in system.equipment["MSP"].directory.further] == [((20,), "BELL")]
    assert [(each.spaces, each.device.name) for each in system.equipment["MSP"].directory.removed] == [((20, 22), "OLD SPA")]


def test_the_former_word_is_refused_with_the_new_one(tmp_path):
    data = with_old()
    data["equipment"]["OLD"] = OLD_PANEL | {"status": "removed"}
    with pytest.raises(ProblemsError, match='did you mean "to be removed"'):
        loaded(data, tmp_path)
