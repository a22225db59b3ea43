"""What people type for spaces, places, switches and counts when a project is begun."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.project.starting.answers import read_answer
from permitgen.project.starting.declarations import questions
from tests.cli.new_houses import HOUSES, run


def test_the_two_spaces_of_a_breaker_are_its_first() -> None:
    """Poles of a two-pole breaker stand two numbers apart (odd left, even right: common practice, no published source)."""
    asked = questions()["solar_space"]
    assert read_answer(asked, "22,24").value == read_answer(asked, "22").value == "22"
    with pytest.raises(ValueError, match="takes 22, 24: write 22"):
        read_answer(asked, "22, 23")


def test_what_hangs_on_the_array_is_at_no_building() -> None:
    told = read_answer(questions()["inverter_at"], "on the array: back of the frame").value
    assert told == {"description": "back of the frame", "outdoors": "yes", "on_array": "PV1"}


def _file_of(folder: Path, house: str, *answers: str) -> dict[str, Any]:
    given = [part for answer in answers for part in ("--answer", answer)]
    done = run(str(folder), "--answers", str(HOUSES[house]), *given)
    assert done.exit_code == 0, done.stderr
    found: dict[str, Any] = yaml.load((folder / "project.yaml").read_text("utf-8"), yaml.CBaseLoader)
    return found


def test_a_string_inverter_beside_its_panel_has_no_disconnect_between(tmp_path: Path) -> None:
    """The breaker at which it joins is its disconnect (690.13, 705.20 name no further one)."""
    found = _file_of(tmp_path / "house", "string_inverter", "pv_switch=none", "shutdown_by=service disconnect")
    assert "PVD" not in found["equipment"]
    assert (found["circuits"]["C1"]["from"], found["circuits"]["C1"]["to"]) == ("INV1.ac", "MSP.37")


def test_no_disconnect_starts_no_rapid_shutdown(tmp_path: Path) -> None:
    given = ("--answer", "pv_switch=none", "--answer", "shutdown_by=PV disconnect")
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES["string_inverter"]), *given)
    assert done.exit_code == 2
    assert "expected service disconnect, switch or nothing" in done.stderr


def test_all_units_behind_a_hybrid_inverter_are_counted(tmp_path: Path) -> None:
    unit = _file_of(tmp_path / "house", "b09_hybrid_inverter", "battery_count=2")["equipment"]["ESS1"]
    assert (unit["units"], unit["unit_energy"]) == ("2", "12.4 kWh")
