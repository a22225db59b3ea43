"""Each fact that has a limit, moved to just beyond it, is found; moved to just within, it is not.

Source: ``just_beyond_just_within.yaml``, each row with its section, written from docs/demands.yaml and the books.
Run as a program it prints which demands with a limit are tried this way.
"""

import sys
from pathlib import Path

import pytest
import yaml

from permitgen.rules.judgement import Verdict
from tests.properties.moved_facts import COVERAGE, ROWS, cases, judged, rules_of, violated

ROOT = Path(__file__).resolve().parents[2]
DEMANDS = [
    entry
    for entries in yaml.load((ROOT / "docs" / "demands.yaml").read_text("utf-8"), yaml.CSafeLoader)["demands"].values()
    for entry in entries
]
KNOWN = yaml.load((Path(__file__).with_name("just_beyond_known.yaml")).read_text("utf-8"), yaml.CSafeLoader)
LEAST_TRIED = 338
CASES = cases()


def _is_known(case, what):
    """Whether the list of what is still to be mended names a case: by its demand, and by project where it says one."""
    return any(
        entry["what"] == what and entry["demand"] == case.row["demand"] and case.project in entry.get("projects", [case.project])
        for entry in KNOWN
    )


@pytest.mark.sample(every=170)
@pytest.mark.parametrize("case", CASES, ids=str)
def test_just_beyond_is_found_and_just_within_is_not(case):
    beyond, within = (judged(case, value) for value in (case.beyond, case.within))
    assert "refused" not in within, within
    # What is violated whatever the fact is says nothing of its limit.
    assert not violated(within) or not violated(within) - violated(judged(case, None)) or _is_known(case, "found within")
    found = violated(beyond) - violated(within)
    if not found and any(verdict is Verdict.NOT_JUDGED for verdict in beyond.values()):
        return  # another fact is missing there; that a row is decided somewhere is asked below
    assert found or "refused" in beyond or _is_known(case, "not found beyond"), f"{case.beyond} passes; {case.row['section']}"


@pytest.mark.nightly
@pytest.mark.parametrize("number", range(len(ROWS)), ids=lambda number: ROWS[number]["demand"])
def test_each_row_is_decided_in_some_project(number):
    """A row of which every project leaves another fact open proves nothing."""
    mine = [case for case in CASES if case.number == number]
    assert any(violated(judged(case, case.beyond)) - violated(judged(case, case.within)) for case in mine) or _is_known(
        mine[0], "not found beyond"
    )


def test_rows_speak_of_demands_and_of_rules_that_answer_them():
    limits = {entry["id"]: entry["limit"] for entry in DEMANDS}
    assert not [row for row in ROWS if row["demand"] not in limits or not row["section"]]
    assert not [row["demand"] for row in ROWS if not set(rules_of(row)) <= set(COVERAGE[row["demand"]]["rules"])]
    assert not [row["demand"] for number, row in enumerate(ROWS) if not any(case.number == number for case in CASES)]


def test_what_is_known_is_still_to_be_mended():
    assert not [entry for entry in KNOWN if set(entry) - {"projects"} != {"demand", "what", "section", "why"}]
    assert not {entry["demand"] for entry in KNOWN} - {row["demand"] for row in ROWS}


def tried():
    """Return the demands that a row tries, and those with a limit that some rule answers."""
    answered = {entry["id"] for entry in DEMANDS if not entry["limit"].startswith("none") and COVERAGE.get(entry["id"], {}).get("rules")}
    return sorted({row["demand"] for row in ROWS}), sorted(answered)


def test_no_fewer_demands_are_tried():
    assert len(tried()[0]) >= LEAST_TRIED


if __name__ == "__main__":
    rows, answered = tried()
    sys.stdout.write(f"{len(rows)} demands are tried in {len(CASES)} cases; {len(answered)} have a limit and a rule\n")
    sys.stdout.write("not tried:\n" + "".join(f"  {demand}\n" for demand in answered if demand not in rows))
