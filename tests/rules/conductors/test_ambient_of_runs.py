"""What a run on a roof or in the open air is taken to be as warm as, where the file says little or says it too cool.

310.15(B)(2) of 2023: 33 °C are added to raceways less than 3/4 in above a roof in the sun. Table 310.15(B)(1)(1), 90 °C: 0.91 at 36 °C,
0.58 at 69 °C; Table 310.16: 12 AWG copper 30 A at 90 °C; 0.80 for four conductors (from memory). 30 x 0.58 x 0.80 = 13.92 A.
"""

from pathlib import Path

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.rules.given import Given
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity

HOUSE = Path(__file__).resolve().parents[2] / "topologies" / "b01_pv_load_side.yaml"


def system_with(folder, **changes):
    data = yaml.load(HOUSE.read_text("utf-8"), yaml.CBaseLoader)
    run = {key: value for key, value in (data["raceways"]["R3"] | changes).items() if value is not None}
    data["raceways"]["R3"] = run
    file = folder / "project.yaml"
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    return load_project(file).system


def judged(folder, **changes):
    system = system_with(folder, **changes)
    found = evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)
    return found.by_id["conductor-ampacity:C1"].judgement


def test_a_run_on_a_roof_without_its_height_is_not_taken_as_high_above_it(tmp_path):
    assert str(judged(tmp_path, above_roof="2 in").verdict) == "passes"
    low = judged(tmp_path, above_roof="1/2 in")
    assert str(low.verdict) == "violated"
    assert "13.92 A" in low.message
    unknown = judged(tmp_path, above_roof=None)
    assert str(unknown.verdict) == "not judged"
    assert unknown.missing == ("height of R3 above the roof",)


@pytest.mark.parametrize("shade", [{"within_array": "yes"}, {"in_sun": "no"}])
def test_in_the_shade_no_height_is_asked_for(shade, tmp_path):
    assert str(judged(tmp_path, above_roof=None, **shade).verdict) == "passes"


@pytest.mark.parametrize(
    ("place", "stated", "taken"),
    [
        ("roof", "-5 °C", 36),
        ("outdoors", "20 °C", 36),
        ("outdoors", "41 °C", 41),
        ("indoors", "30 °C", 30),
        ("underground", "20 °C", 20),
        ("underground", "5 °C", 20),
    ],
)
def test_no_run_is_cooler_than_what_the_site_says_is_around_it(place, stated, taken, tmp_path):
    height = {"above_roof": "2 in" if place == "roof" else None, "exposed": None}
    system = system_with(tmp_path, place=place, ambient=stated, **height)
    given = Given(system, CodeBook(2023))
    ambient = {each.run.tag: each.ambient_c.number for each in conductor_ampacity(given, system.circuits["C1"]).runs}
    assert ambient["R3"] == taken
