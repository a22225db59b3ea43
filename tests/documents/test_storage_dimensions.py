"""A dimension between storage units bears the distance that is drawn; what is stated otherwise is told as stated (common practice)."""

import copy
import math
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.views.plans import plans_of
from permitgen.views.wording import feet_and_inches

HOUSE = Path(__file__).parents[1] / "topologies" / "b08_ac_coupled_branches.yaml"


def evaluated(stated):
    """The house with two batteries 4 ft apart, center to center, each 28 in wide: 20 in between; each states its distance to the next."""
    file = read_yaml_file(HOUSE)
    data = copy.deepcopy(file.data)
    for tag, distance in stated.items():
        data["equipment"][tag]["place"]["to_next_unit"] = distance
    system = build_project(ReadFile(file.file, file.text, data, file.positions), HOUSE.parent).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def between(plans):
    """The dimensions of the storage plan and of the elevations that a rule on the spacing of units gave its words."""
    drawn = [*plans.storage.dimensions, *(each for wall in plans.elevations.walls for each in wall.dimensions)]
    return [each for each in drawn if "R328" in each.words]


@pytest.mark.parametrize(("one", "other"), [("8 in", "5 ft"), ("5 ft", "8 in"), ("8 in", "8 in")])
def test_a_distance_that_is_not_drawn_is_told_as_stated(one, other):
    evaluation = evaluated({"ESS1": one, "ESS2": other})
    found = between(plans_of(evaluation))
    assert found
    for dimension in found:
        length = feet_and_inches(math.dist(dimension.start, dimension.end))
        assert dimension.words.startswith(f"{length} drawn; stated ")
    verdicts = {str(evaluation.by_id[f"plan-agrees-place:{tag}"].verdict) for tag in ("ESS1", "ESS2")}
    assert verdicts == {"violated"}


def test_a_distance_that_is_drawn_stands_alone():
    found = between(plans_of(evaluated({"ESS1": "20 in", "ESS2": "20 in"})))
    assert found
    assert not any("stated" in dimension.words for dimension in found)
