"""``permitgen new`` where one answer tells several things of a kind: the modules of each roof plane, the places of all batteries."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from permitgen.project.starting.answers import read_answer
from permitgen.project.starting.declarations import questions
from permitgen.project.starting.drafting import Mark, leaves
from permitgen.project.starting.new_project import AnswersError
from tests.cli.new_houses import STRING_INVERTER, answers_of, made


def _made(name: str, **told: str) -> Any:
    return yaml.load(made(answers_of(name) | told).text, Loader=yaml.CBaseLoader)


def test_rows_and_columns_place_the_modules_on_their_planes() -> None:
    """Both planes of a gable roof, each with its own rows; the plan reader draws them from the module's size."""
    layouts = "1 x 10 portrait, 3 ft from left rake, 3 ft below ridge, 1 in gap; "
    layouts += "2 x 5 landscape, 4 ft from the right rake, 2 ft above eave, gap 1 in"
    planes = _made(STRING_INVERTER, roof_planes="house front, house back", array_layout=layouts)["site"]["plan"]["roof_planes"]
    first = {
        "rows": "1",
        "columns": "10",
        "modules": "portrait",
        "distance": "3 ft",
        "from": "left rake",
        "below_ridge": "3 ft",
        "gap": "1 in",
    }
    assert planes["house front"]["layout"] == [first]
    other = planes["house back"]["layout"][0]
    assert (other["rows"], other["columns"], other["from"], other["above_eave"]) == ("2", "5", "right rake", "2 ft")


@pytest.mark.parametrize(
    "layout", ["2 x 10", "2 x 10 portrait", "2 x 10 portrait, 3 ft from left rake, 3 ft below ridge", "twenty modules"]
)
def test_a_layout_that_does_not_say_where_the_modules_lie_is_no_layout(layout: str) -> None:
    """No distance is taken that nobody measured: the pathways are judged around the modules."""
    with pytest.raises(ValueError, match="is no layout of modules; write 2 x 10 portrait, 3 ft from left rake"):
        read_answer(questions()["array_layout"], layout)


def test_each_plane_needs_its_layout_and_the_modules_have_to_fit() -> None:
    with pytest.raises(AnswersError, match="array_layout: 1 in a row; expected 2, as roof_planes has"):
        _made(STRING_INVERTER, roof_planes="house front, house back")
    with pytest.raises(AnswersError, match="array_layout: rows and columns hold 18 modules, and PV1 has 20"):
        _made(STRING_INVERTER, array_layout="2 x 9 portrait, 3 ft from left rake, 3 ft below ridge, 1 in gap")
    with pytest.raises(AnswersError, match="array_layout"):
        _made(STRING_INVERTER, array_layout="2 x 10 portrait, 3 ft from the long rake, 3 ft below ridge, 1 in gap")


def test_a_layout_that_nobody_knows_draws_nothing() -> None:
    assert "roof_planes" not in _made(STRING_INVERTER, array_layout="unknown")["site"]["plan"]


def test_every_battery_has_its_place() -> None:
    read = _made("b08_ac_coupled_branches")["equipment"]
    assert [read[tag]["place"]["description"][-10:] for tag in ("ESS1", "ESS2")] == ["south unit", "north unit"]
    read = _made("b08_ac_coupled_branches", battery_others_at="beside the first")["equipment"]
    assert read["ESS2"]["place"] == {"description": "beside battery unit 1"}
    assert read["ESS1"]["place"]["outdoors"] == "no"


def test_the_place_of_another_battery_that_nobody_knows_is_open() -> None:
    file = made(answers_of("b08_ac_coupled_branches") | {"battery_others_at": "unknown"}).file
    assert {path[1]: leaf.mark for path, leaf in leaves(file) if leaf.question == "battery_others_at"} == {"ESS2": Mark.OPEN}
