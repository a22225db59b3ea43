"""``permitgen new`` where answers are left open: silence never fails, and what nobody drew earns no pass."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import build_project
from permitgen.project.starting.answers import read_answer
from permitgen.project.starting.conditions import all_hold
from permitgen.project.starting.declarations import questions
from permitgen.project.starting.drafting import Mark, leaves
from permitgen.project.starting.new_project import NewProject
from permitgen.reading.reader import read_text
from permitgen.rules.judgement import Verdict
from tests.cli.new_houses import STRING_INVERTER, answers_of, judged, made, violated


def _all_left_open(layout: dict[str, str]) -> dict[str, Any]:
    spaces = {"charger_space": "21", "detached_feeder_space": "23", "solar_space": "37", "battery_space": "29, 31", "inlet_space": "2"}
    spaces |= {"backup_space": "33", "branch_spaces": "25, 27", "strings": "10, 9", "branches": "8, 7", "battery_count": "2"}
    decided = {
        "job": "A",
        "town": "B",
        "edition": "2023",
        "service_voltage": "120/240 V",
        "meter_state": "existing",
        "service_existing": "yes",
        "electrodes_state": "existing",
        "detached_state": "new",
        "detached_feeder_existing": "no",
        "second_panel_state": "new",
    }
    given: dict[str, Any] = dict(layout)
    answers = {}
    for key, question in questions().items():
        if all_hold(question.when, answers) and (key in given or not question.is_later):
            device = "yes" if question.reads == "breaker or none" else "unknown"
            given.setdefault(key, (spaces | decided).get(key, device))
            answers[key] = read_answer(question, given[key])
    return given


TRUE_OF_THE_LAYOUT: dict[tuple[str, str], set[str]] = {}
SOLAR = {"solar_on": "house", "solar_joins": "main panel", "shutdown_by": "service disconnect", "branches_land": "combiner panel"}
LAYOUTS = [
    {"what": "string inverter"},
    {"what": "string inverter", "service": "meter-main"},
    {"what": "string inverter", "service": "two units"},
    {"what": "string inverter", "solar_joins": "ahead of the main", "shutdown_by": "PV disconnect"},
    {"what": "string inverter", "solar_on": "ground"},
    {"what": "microinverters"},
    {"what": "microinverters", "branches_land": "breakers of the panel"},
    {"what": "microinverters, detached panel", "solar_on": "detached building", "solar_joins": "detached building"},
    {"what": "microinverters, ac battery", "backup": "whole house", "solar_joins": "interconnect device", "shutdown_by": "switch"},
    {"what": "string inverter, ac battery", "backup": "some circuits", "solar_joins": "interconnect device", "shutdown_by": "switch"},
    {"what": "hybrid inverter", "backup": "some circuits", "shutdown_by": "switch"},
    {"what": "hybrid inverter", "backup": "whole house", "solar_joins": "interconnect device", "shutdown_by": "switch"},
    {"what": "hybrid inverter", "backup": "nothing", "shutdown_by": "switch"},
    {"what": "ac battery", "backup": "nothing"},
    {"what": "portable generator"},
    {"what": "standby generator"},
    {"what": "standby generator", "generator_supplies": "whole house"},
    {"what": "standby generator", "generator_supplies": "whole house", "service": "meter-main"},
    {"what": "vehicle charger"},
    {"what": "detached panel"},
]


def _layout(told: dict[str, str]) -> dict[str, str]:
    """Fill in the layout questions of a house that ``told`` leaves out."""
    usual = {**SOLAR, "service": "meter and main panel", "emergency_stop": "switch", "generator_supplies": "some circuits"}
    given: dict[str, str] = {}
    answers: dict[str, Any] = {}
    for key, question in questions().items():
        if question.choices and not question.is_later and all_hold(question.when, answers):
            given[key] = told.get(key) or usual[key]
            answers[key] = read_answer(question, given[key])
    return given


@pytest.mark.sample(every=6)
@pytest.mark.parametrize("told", LAYOUTS, ids=lambda told: ", ".join(told.values()))
def test_of_what_nobody_knows_nothing_is_violated(told: dict[str, str], tmp_path: Path) -> None:
    """Every layout builds with all else left open, and silence never fails."""
    folder = tmp_path / "house"
    folder.mkdir()
    (folder / "project.yaml").write_text(made(_all_left_open(_layout(told))).text, "utf-8")
    assert violated(judged(folder)) == TRUE_OF_THE_LAYOUT.get((told["what"], told.get("backup", "")), set())


@pytest.mark.nightly
def test_a_missing_plan_earns_no_pass() -> None:
    """What passes without a plan passes with a first plan of lot, house and roof, too: no requirement is met by what nobody drew."""
    given = answers_of(STRING_INVERTER)
    told = {
        "panel_at": "outdoors: house, right wall",
        "inverter_at": "outdoors: house, right wall",
        "pv_switch_at": "outdoors: house, right wall",
    }
    drawn = {"front_faces", "lot_size", "house_size"}
    without = {key: value for key, value in given.items() if key not in {"house_at", "roof_ridge", "roof_pitch", "roof_planes"}}
    without |= told | dict.fromkeys(drawn, "unknown")
    passed = {name: _passes(made(answers)) for name, answers in (("drawn", given), ("not drawn", without))}
    assert passed["not drawn"] <= passed["drawn"]


def _passes(project: NewProject) -> set[str]:
    system = build_project(read_text(project.text, "project.yaml"), Path()).system
    evaluation = evaluate(system, CodeBook("2023", fire_code=system.jurisdiction.fire_code), with_suggestions=False)
    return {finding.id for finding in evaluation.findings if finding.judgement.verdict is Verdict.PASSES}


SPACES = ("solar_space", "charger_space", "detached_feeder_space", "backup_space")


@pytest.mark.parametrize(
    "told", [{"what": "string inverter, vehicle charger, detached panel"}, {"what": "hybrid inverter", "backup": "some circuits"}]
)
def test_a_space_that_nobody_knows_is_open_and_violates_nothing(told: dict[str, str], tmp_path: Path) -> None:
    given = _all_left_open(_layout({"shutdown_by": "switch", **told}))
    given |= {key: "unknown" for key in SPACES if key in given} | {"panel_busbar": "200 A", "panel_main": "2P 200 A", "panel_fed_at": "top"}
    given |= {"solar_breaker": "2P 40 A", "inverter_output": "32 A"}
    project = made(given)
    told_open = {path: leaf for path, leaf in leaves(project.file) if leaf.question in SPACES}
    assert {leaf.mark for leaf in told_open.values()} == {Mark.OPEN}
    assert "MSP" in {leaf.text for leaf in told_open.values()}
    folder = tmp_path / "house"
    folder.mkdir()
    (folder / "project.yaml").write_text(project.text, "utf-8")
    evaluation = judged(folder)
    assert violated(evaluation) == set()
    # 705.12(B)(3)(2), 2023: 120 % of the busbar holds only where supply and source stand at opposite ends.
    ends = {finding.judgement.verdict for finding in evaluation.findings if finding.rule == "busbar-sources"}
    assert Verdict.PASSES not in ends
