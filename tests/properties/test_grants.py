"""A written grant says who answers for a verdict, and changes none; it has to be about a finding, with a copy of the paper.

NEC 90.4: the authority having jurisdiction may waive a requirement by special permission, which Article 100 defines as its written
consent (both from memory). That shutdown, disconnects, bonds, interrupting ratings and the place of storage open no gate behind the
permit by it is the project's own choice: common practice, no published source.
"""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.evaluation.granting import is_of_life_safety
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.package.standing import standing_of_project
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules

ROOT = Path(__file__).resolve().parents[2]
SMALL = (ROOT / "tests/cli/small_house.yaml").read_text("utf-8")
HEAD = "jurisdiction: {name: Town of Harrow Bend, edition: 2023}\n"
PAPER = "what: the old riser stays, by: Ida Moor, office: Building Department, date: 2026-02-03, copy: grant.pdf"
WORDS = "granted by Ida Moor, Building Department, 2026-02-03: the old riser stays (grant.pdf)"
OVERFULL = ("R1: {kind: PVC-40, trade_size: 2 in", "R1: {kind: PVC-40, trade_size: 1 in")


@pytest.fixture
def tmp_path(same_place):
    return same_place


def house(folder, *grants, change=OVERFULL):
    """The small house with three 4/0 in a 1 in raceway, and grants."""
    head = "jurisdiction:\n  name: Town of Harrow Bend\n  edition: 2023\n" + ("  granted:\n" if grants else "")
    head += "".join(f"    - {{{grant}}}\n" for grant in grants)
    (folder / "grant.pdf").write_bytes(b"%PDF-1.4 signed")
    (folder / "project.yaml").write_text(SMALL.replace(HEAD, head).replace(*change), "utf-8")
    return folder


def finding(opened, id_):
    return opened.evaluation.by_id[id_]


def test_a_violation_that_was_granted_stays_one_and_opens_the_permit(tmp_path):
    shut = open_project(house(tmp_path))
    assert "conduit-fill:R1" in standing_of_project(shut).gate("permit").violated
    for about in ("rule: conduit-fill", 'section: "Chapter 9 Table 1"', 'section: "NEC 2023 Chapter 9 Table 1"'):
        opened = open_project(house(tmp_path, f"{about}, subject: R1, {PAPER}"))
        found = finding(opened, "conduit-fill:R1")
        assert found.verdict is Verdict.VIOLATED
        assert found.judgement.message.endswith(f"; {WORDS}")
        assert all("conduit-fill:R1" not in gate.violated for gate in standing_of_project(opened).gates)
        assert {f.id: f.verdict for f in opened.evaluation.findings} == {f.id: f.verdict for f in shut.evaluation.findings}


def test_check_says_that_it_fails_and_was_granted(tmp_path):
    run = CliRunner().invoke(cli, ["check", str(house(tmp_path, f"rule: conduit-fill, subject: R1, {PAPER}"))])
    assert (run.exit_code, "1 FAILS" in run.output) == (0, True), run.output
    assert re.search(r"^FAILS, granted .*R1: ", run.output, re.MULTILINE)
    assert WORDS in " ".join(run.output.split())
    assert CliRunner().invoke(cli, ["check", str(house(tmp_path))]).exit_code == 1
    run = CliRunner().invoke(cli, ["check", "--format", "json", str(house(tmp_path, f"rule: conduit-fill, subject: R1, {PAPER}"))])
    told = {each["id"]: each for each in json.loads(run.output)["findings"]}
    assert told["conduit-fill:R1"]["granted"] == WORDS
    assert told["conduit-fill:R1"]["verdict"] == "violated"
    assert {each["granted"] for name, each in told.items() if name != "conduit-fill:R1"} == {None}


def test_what_is_not_judged_stays_so(tmp_path):
    opened = open_project(house(tmp_path, f"rule: physical-damage, subject: R1, {PAPER}"))
    found = finding(opened, "physical-damage:R1")
    assert found.verdict is Verdict.NOT_JUDGED
    assert WORDS in found.judgement.message


def test_what_passes_needs_no_grant(tmp_path):
    opened = open_project(house(tmp_path, f"rule: conduit-fill, subject: R2, {PAPER}"))
    assert finding(opened, "conduit-fill:R2").granted is None
    assert "granted" not in finding(opened, "conduit-fill:R2").judgement.message


def test_the_cover_and_the_status_say_it(tmp_path):
    cover = plan_set_of(open_project(house(tmp_path, f"rule: conduit-fill, subject: R1, {PAPER}"))).cover
    assert f"conduit-fill, R1: FAILS, {WORDS}" in cover.codes
    assert "1 FAIL (granted in writing), " in cover.status


def test_a_grant_of_life_safety_opens_the_permit_alone(tmp_path):
    folder = shutil.copytree(ROOT / "demo_project", tmp_path / "demo")
    (folder / "grant.pdf").write_bytes(b"%PDF-1.4 signed")
    file = folder / "with_mistakes.yaml"
    granted = f"  granted:\n    - {{rule: rapid-shutdown-initiator, subject: PV1, {PAPER}}}\n"
    file.write_text(file.read_text("utf-8").replace("  fire_code: IRC 2021\n", f"  fire_code: IRC 2021\n{granted}"), "utf-8")
    standing = standing_of_project(open_project(file))
    shuts = [gate.name for gate in standing.gates if "rapid-shutdown-initiator:PV1" in gate.violated]
    assert shuts == ["hang", "energize"]


def test_life_safety_is_what_the_five_words_name():
    of = {rule.id for rule in all_rules() if is_of_life_safety(rule)}
    named = {"rapid-shutdown-initiator", "generator-emergency-shutdown", "source-disconnect", "emergency-disconnect", "ess-disconnect"}
    named |= {"single-neutral-bond", "main-bonding-jumper", "supply-side-bonding-jumper", "water-piping-bonding", "pv-equipment-bonding"}
    named |= {"interrupting-rating", "short-circuit-current-rating", "ess-dc-interrupting-rating", "storage-place", "storage-energy"}
    assert named | {"storage-openings", "storage-spacing"} <= of
    assert not of & {"conduit-fill", "working-space", "busbar-sources", "voltage-drop", "service-capacity"}


@pytest.mark.parametrize(
    ("grant", "message"),
    [
        (f"rule: conduit-fil, subject: R1, {PAPER}", 'rule: no rule is called "conduit-fil"; did you mean "conduit-fill"?'),
        (f"rule: conduit-fill, subject: R11, {PAPER}", 'subject: no finding of conduit-fill is about "R11"; did you mean "R1"?'),
        (f"rule: conduit-fill, subject: garage, {PAPER}", 'subject: no finding of conduit-fill is about "garage"; subjects: R1, R2'),
        (f'section: "Chapter 9 Table 11", subject: R1, {PAPER}', 'cites "Chapter 9 Table 11"; did you mean "Chapter 9 Table 1"?'),
        (f'section: "90.4", subject: R1, {PAPER}', 'section: no finding about R1 cites "90.4"'),
        (f'rule: conduit-fill, section: "90.4", subject: R1, {PAPER}', "granted[1]: a grant names a rule or a section, one of the two"),
        (f"subject: R1, {PAPER}", "granted[1]: a grant names a rule or a section, one of the two"),
        (f"rule: conduit-fill, subject: R1, {PAPER}".replace("grant.pdf", "grnt.pdf"), 'copy: there is no file "grnt.pdf"'),
        (f"rule: conduit-fill, subject: R1, {PAPER}".replace("grant.pdf", "../grant.pdf"), "copy: "),
        (f"rule: conduit-fill, subject: R1, {PAPER}".replace("date: 2026-02-03, ", ""), "date"),
        (f"rule: conduit-fill, subject: R1, {PAPER}".replace("by: Ida Moor, ", ""), "by"),
    ],
)
def test_a_grant_of_nothing_is_refused(tmp_path, grant, message):
    with pytest.raises(ProblemsError) as caught:
        open_project(house(tmp_path, grant))
    (problem,) = caught.value.problems
    assert message in str(problem)
    assert str(problem).split(":")[1] in ("9", "8"), problem


def test_another_edition_is_compared_though_its_sections_are_others(tmp_path):
    folder = house(tmp_path, f'section: "Chapter 9 Table 1", subject: R1, {PAPER}')
    assert open_project(folder, edition="2017").evaluation.granted_count == 1
