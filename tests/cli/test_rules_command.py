"""``rules`` and ``check --why``: what a rule requires, and why it passes or does not apply here."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from permitgen.code.edition import Edition
from permitgen.rules.rule import all_rules
from permitgen.rules.rule_text import text_of
from permitgen.views.rule_page import rule_page
from tests.cli.in_process import run

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "demo_project")


def _run(*arguments):
    return run(*arguments)


def test_the_list_has_every_rule_with_section_and_grade():
    printed = " ".join(_run("rules", "--edition", "2020").stdout.split())
    for rule in all_rules():
        assert f"{rule.id} {rule.title} [" in printed
    assert "conduit-fill Conductors fill no more of a raceway than its table permits [NEC 2020 Chapter 9 Table 1;" in printed


def test_a_rule_says_its_five_things_and_every_edition():
    """240.4(D)(5): 20 A on 12 AWG copper; 110.9 in all editions."""
    printed = _run("rules", "interrupting-rating").stdout
    for word in ("requires ", "why ", "applies to ", "fails ", "passes "):
        assert re.search(rf"^{word}\s*\S", printed, re.MULTILINE), word
    assert all(re.search(rf"^{edition.book} .*\[", printed, re.MULTILINE) for edition in Edition)
    assert "NEC 2017 110.9  [" in printed


def test_no_rule_is_silent():
    for rule in all_rules():
        text = text_of(rule)
        assert all((text.requires, text.why, text.applies_to, text.fails, text.passes)), rule.id
        assert len(rule_page(rule.id).editions) == len(Edition)


def test_without_the_text_of_the_modules_it_says_so(monkeypatch):
    from permitgen.rules import rule_text

    monkeypatch.setattr(rule_text, "_written", lambda *_: "")
    text_of.cache_clear()
    printed = _run("rules", "conduit-fill")
    text_of.cache_clear()
    assert printed.returncode == 0
    assert printed.stdout.count("not at hand") == 5


@pytest.mark.parametrize("arguments", [["rules", "conduit-fil"], ["check", DEMO, "--why", "conduit-fil"]], ids=["rules", "check"])
def test_an_unknown_rule_names_the_nearest(arguments):
    done = _run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert 'did you mean "conduit-fill"?' in done.stderr


def test_an_unknown_edition_is_refused():
    done = _run("rules", "--edition", "1999")
    assert done.returncode == 2
    assert "2017, 2020, 2023, 2026" in done.stderr


def test_why_shows_both_numbers_and_the_reason_for_every_subject():
    """705.12(B)(3) at the interconnect device of the demo: its breakers together against its 200 A busbar; none at the house panel."""
    done = _run("check", DEMO, "--why", "busbar-sources")
    assert done.returncode == 0
    assert "MID: passes" in done.stdout
    assert "195 A ≤ 200 A" in done.stdout.replace("\N{NO-BREAK SPACE}", " ")
    assert "HP: N/A  HP: no source reaches this busbar from its load side" in done.stdout


def test_why_of_a_rule_that_judges_nothing_here_says_so():
    rule = next(rule.id for rule in all_rules() if rule.judges == "generator")  # the small house has none
    done = _run("check", str(ROOT / "tests" / "cli" / "small_house.yaml"), "--why", rule)
    assert done.stdout.strip() == f"{rule}: this project has nothing that it judges"


def test_why_is_text():
    assert _run("check", DEMO, "--why", "conduit-fill", "--format", "json").returncode == 2


def test_docstrings_taken_away_change_nothing():
    printed = [
        subprocess.run(
            [sys.executable, *flags, "-m", "permitgen", "rules", "conduit-fill"], cwd=ROOT, capture_output=True, text=True, check=True
        ).stdout
        for flags in ([], ["-OO"])
    ]
    assert printed[0] == printed[1]
    assert "not at hand" not in printed[0]
