"""``permitgen memory``: what a department asked for is kept with its file, and looked for in every later project that names the file.

That a comment of a plan review comes back at the next permit is common practice, no published source; departments, numbers and comments
here are invented. A memory line is no verdict of the code: exit status and gates stay what the rules make them.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import get_args

import pytest

from permitgen.package.asked_job import asked_of
from permitgen.package.opened_project import open_project
from permitgen.project import asked_demands, choice_references
from permitgen.project.asked_file import Kept, with_demand
from permitgen.project.written_answer import NoPlaceError
from permitgen.reading.reader import read_text
from permitgen.system.asked import Demand
from permitgen.views.plan_sheets import SHEETS
from permitgen.views.presence import Thing
from tests.cli.in_process import ROOT, run

SMALL = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
PLACE = """# Kept by Dov, 2026.
format: jurisdiction 1
jurisdiction:
  name: Town of Eddle
  edition: 2023   # since January
"""
ASKED = """  asked:
{entries}
"""


def house(folder: Path, *entries: str, change=lambda text: text) -> Path:
    """A small house of a department that asked for what the entries say, each on one line."""
    folder.mkdir()
    listed = ASKED.format(entries="\n".join(f"    - {entry}" for entry in entries)) if entries else ""
    (folder / "eddle.yaml").write_text(PLACE + listed, "utf-8")
    text = SMALL.replace("jurisdiction: {name: Town of Harrow Bend, edition: 2023}", "jurisdiction: {file: eddle.yaml}")
    (folder / "project.yaml").write_text(change(text.replace("name: Small house", "name: Small house\n  number: E-7")), "utf-8")
    return folder


def found(folder):
    return {point.about: (point.found, point.detail) for point in asked_of(open_project(folder))}


IN = "in: {E-1: 2026-03-02}"


@pytest.mark.parametrize(
    ("entry", "expected", "detail"),
    [
        (f"{{for: x, states: site.climate.record_low, {IN}}}", "met", ""),
        (f"{{for: x, states: site.floor_area, {IN}}}", "missing", "site.floor_area is not stated"),
        (f"{{for: x, states: busbar, of: panelboard, at_least: 200 A, {IN}}}", "met", ""),
        (f"{{for: x, states: busbar, of: panelboard, at_least: 225 A, {IN}}}", "missing", "busbar is 200 A, asked for: at least 225 A"),
        # The same length in another unit: 10.7 m are 35.1 ft.
        (f"{{for: x, states: length, of: raceways, at_most: 62 ft, {IN}}}", "met", ""),
        (f"{{for: x, states: length, of: raceways, at_most: 18.8 m, {IN}}}", "missing", "raceways.R1.length is 62 ft"),
        (f"{{for: x, states: place.handle_height, of: panelboard, {IN}}}", "missing", "equipment.MSP.place.handle_height is not stated"),
        (f"{{for: x, states: name, of: transfer_switch, {IN}}}", "not asked for here", "no transfer_switch here"),
        (f"{{for: x, attaches: Fault Current, {IN}}}", "missing", 'no attached document is called "Fault Current"'),
        (f"{{for: x, shows: 'main   panel', on: E-604, {IN}}}", "met", ""),
        (f"{{for: x, shows: a moat, on: E-604, {IN}}}", "missing", 'E-604 does not say "a moat"'),
        (f"{{for: x, shows: a moat, on: labels, with: [generator], {IN}}}", "not asked for here", "only with generator"),
        (f"{{for: x, shows: a moat, on: labels, without: [energy storage], {IN}}}", "not asked for here", "without energy storage"),
        (f"{{for: x, answer: It is inside., section: 706.15, with: [energy storage], {IN}}}", "answer ready", "It is inside. (706.15)"),
    ],
)
def test_what_was_asked_for_is_looked_for(tmp_path, entry, expected, detail):
    ((is_found, says),) = found(house(tmp_path / "house", entry)).values()
    assert is_found == expected, says
    assert detail in says


def test_a_key_that_nobody_knows_is_not_stated(tmp_path):
    entry = f"{{for: x, states: available_fault_current, of: utility_service, {IN}}}"
    folder = house(
        tmp_path / "house", entry, change=lambda text: text.replace("available_fault_current: 9.2 kA", "available_fault_current: unknown")
    )
    assert found(folder)["x"][0] == "missing"


def test_check_says_what_is_still_missing_and_stays_what_the_rules_make_it(tmp_path):
    entries = (f"{{for: the living area, states: site.floor_area, {IN}}}", f"{{for: a fence, answer: None stands there., {IN}}}")
    plain, asked = run("check", house(tmp_path / "plain")), run("check", house(tmp_path / "asked", *entries))
    assert "asked on 2026-03-02 in E-1, still missing here: the living area (site.floor_area is not stated)" in asked.stdout
    assert "eddle.yaml:7]" in asked.stdout
    assert "a fence. Answer ready: None stands there." in asked.stdout
    assert "Asked by the department" not in plain.stdout
    assert asked.returncode == plain.returncode
    # The last lines count the verdicts and say how the gates stand.
    assert asked.stdout.splitlines()[-3:] == plain.stdout.splitlines()[-3:]


def test_other_programs_are_told(tmp_path):
    folder = house(tmp_path / "house", f"{{for: the living area, states: site.floor_area, {IN}}}")
    told = json.loads(run("check", folder, "--format", "json").stdout)["asked"]
    assert told == [
        {"about": "the living area", "asked": "on 2026-03-02 in E-1", "found": "missing", "detail": "site.floor_area is not stated"}
    ]


@pytest.mark.parametrize(
    ("entry", "column", "message"),
    [
        (f"{{for: x, {IN}}}", 7, "a demand is looked for in one way: states, shows, attaches, answer; none is told"),
        (f"{{for: x, shows: y, on: placard, attaches: z, {IN}}}", 7, "2 are told (shows, attaches)"),
        (f"{{for: x, shows: y, {IN}}}", 23, "expected on: the document that shows it"),
        (f"{{for: x, shows: y, on: plackard, {IN}}}", 30, 'no document is called "plackard"; did you mean "placard"?'),
        (f"{{for: x, shows: y, on: E-699, {IN}}}", 30, 'no document is called "E-699"; known: placard, labels, calculations'),
        (f"{{for: x, states: site.flor_area, {IN}}}", 24, 'site has no key "flor_area"; did you mean "floor_area"?'),
        (f"{{for: x, states: busbar, of: panelbord, {IN}}}", 36, 'no kind of equipment and no section is called "panelbord"'),
        (f"{{for: x, states: equipment.MSP.busbar, {IN}}}", 24, "equipment holds several things; name their kind or section with of:"),
        (f"{{for: x, states: busbar, of: panelboard, at_least: 3 ft, {IN}}}", 58, '"3 ft" is no limit of busbar'),
        (f"{{for: x, states: name, of: panelboard, at_least: 3 ft, {IN}}}", 56, "name is no figure, and has no limit"),
        (f"{{for: x, shows: y, on: placard, at_least: 3 ft, {IN}}}", 39, "at_least says more of a key that is stated"),
        (f"{{for: x, attaches: y, section: 1.1, {IN}}}", 29, "a section is that of an answer"),
        (
            f"{{for: x, attaches: y, with: [genrator], {IN}}}",
            35,
            '"genrator" is nothing that an installation has; did you mean "generator"?',
        ),
        (f"{{for: x, attaches: y, {IN}, answered: {{E-2: G-001}}}}", 63, 'it was not asked in "E-2"'),
        ("{for: x, attaches: y, in: {E-1: yesterday}}", 39, "yesterday"),
        (f"{{attaches: y, {IN}}}", 7, '"for"'),
    ],
)
def test_a_demand_that_cannot_be_looked_for_is_one_message_at_its_place(tmp_path, entry, column, message):
    done = run("check", house(tmp_path / "house", entry))
    assert (done.returncode, done.stdout) == (2, "")
    lines = done.stderr.splitlines()
    assert len(lines) == 1, lines
    assert lines[0].split(": ", 1)[0].endswith(f"eddle.yaml:7:{column}"), lines[0]
    assert message in lines[0]


def test_it_stands_in_the_file_of_the_department_alone(tmp_path):
    folder = house(tmp_path / "house")
    text = (folder / "project.yaml").read_text("utf-8")
    asked = f"jurisdiction: {{file: eddle.yaml, asked: [{{for: x, attaches: y, {IN}}}]}}"
    (folder / "project.yaml").write_text(text.replace("jurisdiction: {file: eddle.yaml}", asked), "utf-8")
    done = run("check", folder)
    assert done.returncode == 2
    assert "what a department asked for is kept in its jurisdiction file" in done.stderr


REVIEW = """
plan_review:
  - comment: "Say how large the house is!"
    answer: It stands on the cover.
    sheet: G-001
    date: 2026-05-04
    keep: {for: the living area, states: site.floor_area}
  - comment: "Why no fence?"
    answer: None stands there.
    date: 2026-05-04
    keep: {for: "a fence: \\"where?\\" # {x}", answer: None stands there., section: R109}
"""


def test_a_comment_is_kept_with_one_more_line_and_found_again_in_the_next_project(tmp_path):
    first = house(tmp_path / "first", change=lambda text: text + REVIEW)
    before = (first / "eddle.yaml").read_bytes()
    shown = run("memory", "--take", first)
    assert shown.returncode == 0
    assert "+    - for: the living area" in shown.stdout
    assert "2 to keep; --write writes it" in shown.stdout
    assert (first / "eddle.yaml").read_bytes() == before
    assert run("memory", "--take", first, "--write").returncode == 0
    after = (first / "eddle.yaml").read_text("utf-8")
    assert after.startswith(PLACE)
    assert "Say how large" not in after  # what was asked for is kept, not the words of the letter
    assert run("memory", "--take", first).stdout == "0 to keep; nothing to write\n"

    second = house(tmp_path / "second")
    (second / "eddle.yaml").write_text(after, "utf-8")
    assert found(second)["the living area"][0] == "missing"
    assert found(second)['a fence: "where?" # {x}'] == ("answer ready", "None stands there. (R109)")


def test_what_is_asked_again_is_counted_and_not_said_twice(tmp_path):
    first = house(tmp_path / "first", change=lambda text: text + REVIEW)
    run("memory", "--take", first, "--write")
    second = house(tmp_path / "second", change=lambda text: (text + REVIEW).replace("E-7", "E-9").replace("2026-05-04", "2026-08-01"))
    (second / "eddle.yaml").write_text((first / "eddle.yaml").read_text("utf-8"), "utf-8")
    run("memory", "--take", second, "--write")
    listed = run("memory", second)
    assert listed.returncode == 0
    assert "2 times: the living area" in listed.stdout
    assert "asked on 2026-08-01 in E-9, on 2026-05-04 in E-7" in listed.stdout
    assert "answered by E-7: G-001; E-9: G-001" in listed.stdout


@pytest.mark.parametrize(
    ("review", "message"),
    [
        (REVIEW.replace("    date: 2026-05-04\n", "", 1), "the comment has no date"),
        (REVIEW.replace("states: site.floor_area", "states: site.flor_area"), 'site has no key "flor_area"'),
    ],
)
def test_a_comment_that_cannot_be_kept_is_one_message(tmp_path, review, message):
    done = run("check", house(tmp_path / "house", change=lambda text: text + review))
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert message in done.stderr


KEPT = Kept(Demand(about="x", attaches="y"), "E-1", "2026-05-04", "")
HEAD = "format: jurisdiction 1\njurisdiction:\n  name: X\n  edition: 2023"
ON_ONE_LINE = "\n  asked:\n    - {for: q, attaches: y, in: {E-0: 2025-01-01}}\n"
ON_LINES = "\n  asked:\n    - for: q\n      attaches: y\n      in:\n        E-0: 2025-01-01  # call\n"
NOT_INDENTED = "\n  asked:\n  - for: a\n    attaches: b\n    in: {E-0: 2025-01-01}\n  fire_code: IRC 2021\n"


@pytest.mark.parametrize(
    "text",
    [HEAD, f"{HEAD}  # here\n# end\n".replace("\n", "\r\n"), HEAD + NOT_INDENTED, HEAD + ON_ONE_LINE, HEAD + ON_LINES],
    ids=["no line end", "CR LF", "not indented", "on one line", "on lines"],
)
def test_nothing_else_of_a_file_changes_and_it_reads_back(text):
    changed = with_demand(text, KEPT)
    lost = [line for line in text.splitlines() if line not in changed.splitlines()]
    assert len(lost) == (text == HEAD + ON_ONE_LINE)  # the line with the projects of a demand that is made again
    entries = read_text(changed, "").data["jurisdiction"]["asked"]
    assert next(entry for entry in entries if entry["attaches"] == "y")["in"]["E-1"] == "2026-05-04"
    assert with_demand(changed, KEPT) == changed


@pytest.mark.parametrize("text", ["format: jurisdiction 1\njurisdiction: {name: X}\n", "format: jurisdiction 1\nsettings: {a: b}\n"])
def test_a_file_without_a_place_for_it_is_refused(text):
    with pytest.raises(NoPlaceError):
        with_demand(text, KEPT)


def test_without_a_file_of_its_department_nothing_can_be_kept(tmp_path):
    folder = house(tmp_path / "house", change=lambda text: (text + REVIEW).replace("{file: eddle.yaml}", "{name: Eddle, edition: 2023}"))
    assert run("check", folder).returncode != 2
    done = run("memory", "--take", folder)
    assert done.returncode == 2
    assert "the project names no jurisdiction file" in done.stderr


def test_a_folder_without_a_jurisdiction_file_is_a_message(tmp_path):
    done = run("memory", tmp_path)
    assert done.returncode == 2
    assert "no jurisdiction file is here" in done.stderr
    assert run("memory", "--write").returncode == 2


def test_what_can_be_named_is_what_there_is():
    assert set(asked_demands.THINGS) == set(get_args(Thing))
    assert set(choice_references._PLAN_SHEETS) == set(SHEETS)
