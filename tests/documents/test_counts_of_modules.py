"""How many modules an array has is told once: what strings or branches count, cover, diagrams, material list and roof plan print.

The counts are summed by hand from the file; that a plane told in rows and columns holds their product is arithmetic.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.package.material_job import material_list_of_project
from permitgen.package.opened_project import OpenedProject, open_project
from permitgen.reading.problems import ProblemsError
from permitgen.rules.quantities.system_size import pv_power_w
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.views.one_line_ratings import rating_lines
from permitgen.views.plans import plans_of

TOPOLOGIES = Path(__file__).parents[1] / "topologies"


def changed(name: str, folder: Path, change: Any) -> OpenedProject:
    data = yaml.load((TOPOLOGIES / name).read_text("utf-8"), Loader=yaml.CBaseLoader)
    change(data)
    (folder / "project.yaml").write_text(yaml.safe_dump(data, sort_keys=False), "utf-8")
    return open_project(folder)


def without_total(data: Any) -> None:
    """Strings and branches stay; the total that a person would have to add up does not."""
    for item in data["equipment"].values():
        item.pop("modules", None)


@pytest.mark.parametrize(("name", "modules"), [("b02_pv_supply_side.yaml", 20), ("b15_meter_main.yaml", 20)])
def test_what_strings_or_branches_give_is_printed_everywhere(name: str, modules: int, tmp_path: Path) -> None:
    opened = changed(name, tmp_path, without_total)
    array = opened.evaluation.system.equipment["PV1"]
    assert isinstance(array, PVArray)
    assert array.module is not None
    assert array.module.power_w is not None
    assert f"{modules} × " in rating_lines(array)[0].replace("\u00a0", " ")
    rows = [row for part in material_list_of_project(opened).sections for row in part.rows if "PV1" in str(row) and "odule" in str(row)]
    assert rows
    assert all("not stated" not in str(row) for row in rows)
    assert any(str(modules) in str(row) for row in rows)
    power = pv_power_w(opened.evaluation.system)
    assert power is not None
    assert power.number == pytest.approx(modules * array.module.power_w.number)


def two_planes(first: int, second: int) -> Any:
    def change(data: Any) -> None:
        without_total(data)
        module = data["catalog"][data["equipment"]["PV1"]["module"]]
        module |= {"length": "68 in", "width": "44 in"}
        data["equipment"]["PV1"]["roof_planes"] = ["house front", "house back"]
        data["equipment"]["PV1"]["on_building"] = "house"
        block = {"rows": "2", "modules": "portrait", "gap": "1/2 in", "from": "left rake", "distance": "3 ft", "below_ridge": "18 in"}
        data["site"]["plan"] = {
            "front_faces": "south",
            "lot": "120 ft x 110 ft",
            "buildings": {
                "house": {
                    "size": "48 ft x 32 ft",
                    "setback": {"left": "16 ft", "front": "40 ft"},
                    "roof": {"ridge": "along the length", "pitch": "6/12"},
                }
            },
            "roof_planes": {
                "house front": {"layout": [{**block, "columns": str(first)}]},
                "house back": {"layout": [{**block, "columns": str(second)}]},
            },
        }
        for item in data["equipment"].values():
            item.pop("place", None)
        for run in data.get("raceways", {}).values():
            run.pop("building", None)

    return change


def test_planes_told_in_rows_and_columns_hold_their_modules(tmp_path: Path) -> None:
    """2 rows of 6 in front and 2 of 4 behind are the 20 modules of both strings."""
    roof = plans_of(changed("b02_pv_supply_side.yaml", tmp_path, two_planes(6, 4)).evaluation).roof
    assert {plane.name: len(plane.modules) for plane in roof.planes} == {"house front": 12, "house back": 8}
    assert not [text for text in roof.missing if "how many modules" in text]


@pytest.mark.parametrize("columns", [(6, 5), (11, 1)])
def test_rows_and_columns_that_contradict_the_strings_are_refused(columns: tuple[int, int], tmp_path: Path) -> None:
    with pytest.raises(ProblemsError, match="rows and columns hold"):
        changed("b02_pv_supply_side.yaml", tmp_path, two_planes(*columns))
