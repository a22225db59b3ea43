"""``permitgen new`` beside its questions: hardware of files, a finished job to begin with, and what its close verdicts hang on."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from permitgen.project.load import load_project
from permitgen.rules.judgement import Verdict
from tests.cli.new_houses import HERE, HOUSES, STRING_INVERTER, answers_of, judged, run

# One string of another length than the rows of the house.
FOURTEEN = ("--answer", "strings=14", "--answer", "array_layout=unknown")


def test_a_close_verdict_says_on_which_typed_values_it_hangs(tmp_path: Path) -> None:
    """13 °F is -10.56 °C, 35.56 K below 25 °C: 14 x 38.2 V x (1 + 0.0027 x 35.56) = 586.1 V, 2.3 % below 600 V (690.7(A)); by hand."""
    told = ["--answer", "record_low=13 °F", "--answer", "module_voc=38.2 V", "--answer", "module_coefficient=-0.27 %/°C"]
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES[STRING_INVERTER]), *told, *FOURTEEN)
    assert done.exit_code == 0, done.output
    close = done.output.partition("close to a limit")[2]
    on_zero = r"it hangs on .*climate: 13 °F above zero"
    assert re.search(r"pv-maximum-voltage passes, 586\S*\sV \(at most 600\sV\); " + on_zero, close), done.output
    cold = [*told, *FOURTEEN, "--answer", "record_low=-13 °F"]
    assert "above zero" not in run(str(tmp_path / "cold"), "--answers", str(HOUSES[STRING_INVERTER]), *cold).output


def test_far_from_every_limit_nothing_is_said_to_be_close(tmp_path: Path) -> None:
    """14 modules of 30 V stay 90 V below 600 V at any frost: their voltage is no close verdict."""
    thirty = ("--answer", "module_voc=30 V")
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES[STRING_INVERTER]), *thirty, *FOURTEEN)
    assert done.exit_code == 0, done.output
    assert "pv-maximum-voltage" not in done.output.partition("close to a limit")[2]


def test_picked_hardware_is_named_and_not_asked_for_again(tmp_path: Path) -> None:
    """The module and the inverter of the demo's hardware files: none of their figures is given, and the house is judged by them."""
    shutil.copytree(HERE.parents[1] / "demo_project" / "hardware", tmp_path / "company")
    kept = [key for key in answers_of(STRING_INVERTER) if not key.startswith("module_")]
    (tmp_path / "answers.yaml").write_text("".join(_lines_of(HOUSES[STRING_INVERTER], kept)), "utf-8")
    arguments = ["--answers", str(tmp_path / "answers.yaml"), "--hardware", "../company"]
    lacking = run(str(tmp_path / "lacking"), *arguments)
    assert lacking.exit_code == 2
    assert "module_voc: " in lacking.stderr
    done = run(str(tmp_path / "house"), *arguments, "--use", "module=module-390", "--use", "INV1=string-inverter-7")
    assert done.exit_code == 0, done.output
    text = (tmp_path / "house" / "project.yaml").read_text("utf-8")
    assert "module: module-390" in text
    assert "catalog: string-inverter-7" in text
    assert "voc:" not in text
    system = load_project(tmp_path / "house").system
    assert {each.tag for each in system.hardware} == {"module-390", "string-inverter-7"}
    array = system.equipment["PV1"]
    assert array.module.voc_v.number == pytest.approx(43.6)


@pytest.mark.parametrize(
    ("use", "message"),
    [
        ("module=module-930", '--use: no hardware file has an entry "module-930"; did you mean "module-390"?'),
        ("modul=module-390", '--use: the new file has nothing called "modul"; did you mean "module"?'),
        ("module=ev-32", '--use: "ev-32" is of kind ev_supply_equipment; module is of kind module'),
        ("module", '--use: "module" is no pick; expected THING=ENTRY, as module=module-405'),
    ],
)
def test_a_pick_that_cannot_be_taken_is_one_message(tmp_path: Path, use: str, message: str) -> None:
    shutil.copytree(HERE.parents[1] / "demo_project" / "hardware", tmp_path / "company")
    done = run(str(tmp_path / "house"), "--answers", str(HOUSES[STRING_INVERTER]), "--hardware", "../company", "--use", use)
    assert done.exit_code == 2
    assert done.stderr.splitlines() == [message]
    assert not (tmp_path / "house").exists()


def _lines_of(path: Path, keys: list[str]) -> list[str]:
    """Return the lines of the answers to some questions; an answer may go on below its key, indented."""
    found, is_kept = [], False
    for line in path.read_text("utf-8").splitlines(keepends=True):
        if line[:1].isalpha():
            is_kept = line.partition(":")[0] in keys
        if is_kept:
            found.append(line)
    return found


OTHER = ("Ida", "Wrenfield", "18 Quillfern", "HB-0142", "555-01", "EC-20417", "2026-0142", "reading.pdf", "permit_application", "revision")


def test_a_finished_job_is_duplicated_without_what_is_of_that_house(tmp_path: Path) -> None:
    demo = HERE.parents[1] / "demo_project"
    shutil.copytree(demo, tmp_path / "finished", ignore=shutil.ignore_patterns("package"))
    done = run(str(tmp_path / "next"), "--like", str(tmp_path / "finished"), "--answer", "job=Next house")
    assert done.exit_code == 0, done.output
    text = (tmp_path / "next" / "project.yaml").read_text("utf-8")
    said = [word for word in OTHER if word in "\n".join(line for line in text.splitlines() if not line.startswith("#"))]
    assert said == []
    assert not [file.name for file in (tmp_path / "next").iterdir() if file.name not in ("project.yaml", "project.schema.json")]
    system = load_project(tmp_path / "next").system
    assert system.project.name == "Next house"
    assert (system.project.address, system.project.revisions, system.project.people, system.built, system.record) == (
        "",
        (),
        (),
        None,
        None,
    )
    assert set(system.equipment) == set(load_project(demo).system.equipment)
    assert all(raceway.length_ft is None for raceway in system.raceways.values())
    assert all(item.place is None for item in system.equipment.values())
    assert {each.tag for each in system.hardware} == {each.tag for each in load_project(demo).system.hardware}


def test_no_verdict_of_a_duplicate_rests_on_a_fact_of_the_other_house(tmp_path: Path) -> None:
    """Fault current, loads, working space and lengths were read at the other house: none of them is judged at the new one."""
    shutil.copytree(HERE.parents[1] / "demo_project", tmp_path / "finished", ignore=shutil.ignore_patterns("package"))
    done = run(str(tmp_path / "next"), "--like", str(tmp_path / "finished"), "--answer", "job=Next house", "--answer", "address=3 Fen Row")
    assert done.exit_code == 0, done.output
    found = judged(tmp_path / "next").by_id
    for id_ in ("interrupting-rating:HP.main", "service-capacity:UTIL", "working-space:HP", "backup-capacity:islanded", "voltage-drop:S2"):
        assert found[id_].verdict in (Verdict.NOT_JUDGED, Verdict.DOES_NOT_APPLY), (id_, found[id_].judgement.message)


def test_what_like_does_not_take_is_a_message(tmp_path: Path) -> None:
    done = run(str(tmp_path / "next"), "--like", str(HERE / "small_house.yaml"), "--answer", "edition=2023")
    assert done.exit_code == 2
    assert "edition: is not asked with --like" in done.stderr
    assert "job: What is the new job called?" in done.stderr
    assert not (tmp_path / "next").exists()


def test_an_ordinance_goes_with_the_job_and_its_paper_too(tmp_path: Path) -> None:
    folder = tmp_path / "finished"
    folder.mkdir()
    text = (HERE / "small_house.yaml").read_text("utf-8")
    said = "jurisdiction: {amendments: rules/ours.yaml, name:"
    (folder / "project.yaml").write_text(text.replace("jurisdiction: {name:", said), "utf-8")
    (folder / "rules").mkdir()
    rule = (
        "ordinance: {name: Ours, date: 2025-01-01, number: 7, copy: rules/ours.pdf}\nservice_minimum_rating:\n  2023: {one_family_a: 225}\n"
    )
    (folder / "rules" / "ours.yaml").write_text(rule, "utf-8")
    (folder / "rules" / "ours.pdf").write_bytes(b"paper")
    done = run(str(tmp_path / "next"), "--like", str(folder), "--answer", "job=Next")
    assert done.exit_code == 0, done.output
    assert (tmp_path / "next" / "rules" / "ours.yaml").read_text("utf-8") == rule
    assert (tmp_path / "next" / "rules" / "ours.pdf").read_bytes() == b"paper"


def test_like_and_hardware_are_not_mixed(tmp_path: Path) -> None:
    done = run(str(tmp_path / "next"), "--like", str(HERE / "small_house.yaml"), "--answer", "job=Next", "--hardware", "x.yaml")
    assert done.exit_code == 2
    assert "leave out --hardware, --use and --all" in done.stderr
