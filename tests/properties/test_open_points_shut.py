"""What is not checked shuts the gate of what rests on it: a plate says *stops* only of what was checked, a permit is decided by sizes.

Sources: 690.12(C), the off position starts rapid shutdown; 310.14 and 240.4, conductors have an ampacity and are protected at it; that a
plan with neither is sent back: common practice, no published source.
"""

from __future__ import annotations

import re

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.package.standing import hanging_mark, standing_of_project
from permitgen.rules.rule import all_rules
from permitgen.views.gates import gate_text, unchecked_lines
from permitgen.views.label_specs import load_label_specs
from permitgen.views.title import title_of
from tests.properties.houses import ROOT
from tests.reading_paper import put_reading

# Rules that deny words of a label which is not printed, or prints a line to fill in, until they are judged.
OF_WHAT_IS_JUDGED = {
    "busbar-sources": "the label hangs where the sum of all breakers is the method that holds",
    "interrupting-rating": "a series combination is stated, and its plate says no more than the statement",
    "short-circuit-current-rating": "the rating stands on the plate as it is stated, or as a line to fill in",
    "single-120-supply": "the label hangs where the voltage of every source of the island is known",
}
HOUSE = (ROOT / "tests/topologies/b04_partial_backup.yaml").read_text("utf-8")


@pytest.fixture
def tmp_path(same_place):
    return same_place


def opened_with(folder, pattern, instead):
    put_reading(folder)
    text, count = re.subn(pattern, instead, HOUSE)
    assert count == 1
    (folder / "project.yaml").write_text(text, "utf-8")
    return open_project(folder)


def test_what_may_deny_a_line_of_a_label_shuts_for_hanging_while_it_is_open():
    provisions = {rule.id: rule.provision for rule in all_rules()}
    denying = {rule for spec in load_label_specs().values() for rule in spec.denied_by}
    book = CodeBook("2023")
    silent = {rule for rule in denying if "hang" not in book.provision(provisions[rule]).open_shuts}
    assert silent == set(OF_WHAT_IS_JUDGED), silent ^ set(OF_WHAT_IS_JUDGED)


def test_a_switch_of_which_nobody_says_that_off_starts_shutdown_is_not_hung(tmp_path):
    opened = opened_with(tmp_path, ", fails_to_shutdown: yes", "")
    gate = standing_of_project(opened).gate("hang")
    assert set(gate.unchecked) == {"rapid-shutdown-initiator:PV1", "shutdown-loop:SD1", "ess-emergency-shutdown:ESS1"}
    assert not gate.is_open
    assert hanging_mark(opened) == "NOT FOR HANGING (3)"
    assert gate_text(gate).startswith("FOR HANGING: shut, 3 of ")
    (line,) = unchecked_lines([gate])
    assert line.startswith("FOR HANGING waits for: ")
    assert "rapid-shutdown-initiator of PV1" in line
    assert standing_of_project(opened).gate("permit").is_open


def test_conductors_of_a_new_circuit_that_nobody_can_judge_are_not_handed_in(tmp_path):
    opened = opened_with(tmp_path, r"(  F1: .*)insulation: [A-Z0-9-]+, ", r"\1")
    gate = standing_of_project(opened).gate("permit")
    assert set(gate.unchecked) == {"conductor-ampacity:F1", "conductor-protection:F1"}
    assert not opened.evaluation.has_violations
    assert title_of(opened.evaluation).banner.startswith("NOT FOR PERMIT. Checked: ")
    assert plan_set_of(opened).block.violation.startswith("NOT FOR PERMIT. Checked: ")


def test_an_existing_circuit_of_unknown_size_is_told_and_shuts_nothing(tmp_path):
    opened = opened_with(tmp_path, r"(  B1: .*conductors: \{)size: 6 AWG, ", r"\1")
    open_points = {finding.id for finding in opened.evaluation.findings if str(finding.verdict) == "not judged"}
    assert {"conductor-ampacity:B1", "conductor-protection:B1"} <= open_points
    gate = standing_of_project(opened).gate("permit")
    assert gate.is_open
    assert gate.not_judged == len(open_points)


def test_with_all_of_it_stated_nothing_is_shut(tmp_path):
    """The same house as it is: what is open of it, names in a panel's directory, is no provision of a gate."""
    opened = opened_with(tmp_path, r"\Z", "\n")
    assert opened.evaluation.counts[next(f.verdict for f in opened.evaluation.findings if str(f.verdict) == "not judged")] > 0
    assert all(standing_of_project(opened).gate(name).is_open for name in ("permit", "hang"))
    assert hanging_mark(opened) == ""


def test_a_text_that_nobody_read_shuts_nothing_that_the_edition_before_meets(tmp_path):
    opened = opened_with(tmp_path, "edition: 2023", "edition: 2026")
    gate = standing_of_project(opened).gate("hang")
    assert gate.not_judged > 0
    assert gate.unchecked == ()
