"""A results file that was changed in any one field is refused, or changes only the line that it names, and the log says who.

With answers of the checklist and of the short forms in one log; and nothing that was ever taken in is lost, however it was split.
"""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from permitgen.package.field_and_record import checklist_lines_of
from permitgen.package.field_job import _of_this_project, _require_own_lines, new_batch
from permitgen.package.opened_project import open_project
from permitgen.project.field_batches import batch_file, read_field_log
from permitgen.project.field_facts import with_results
from permitgen.project.field_results import results_of
from permitgen.reading.problems import ProblemsError
from permitgen.views.checklist.occasions import status_after
from permitgen.views.field_standing import line_states, occasion_states, results_by_line
from permitgen.views.record_keeping import keeping_of
from tests.examples import examples

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
RECORD = "4H7PM2X9K3TB8WQD"
SAID = (
    {"line": "conductor:C7", "permitted": "8 AWG", "answer": "as drawn"},
    {"line": "conductor:C7", "permitted": "8 AWG", "answer": "built otherwise", "value": "6 AWG", "reason": "found so"},
    {"line": "torque:C7@MID.PV:L1", "answer": "value", "value": "45", "unit": "lbf·in"},
    {"line": "torque:C7@MID.PV:L1", "answer": "value", "value": "12", "unit": "lbf·in"},
    {"line": "clean:MID", "answer": "yes"},
    {"line": "occasion:yearly:shutdown", "answer": "no"},
    {"line": "occasion:yearly:shutdown", "answer": "yes"},
    {"line": "occasion:yearly:found", "answer": "value", "value": "wasps"},
    {"line": "occasion:fire:what", "answer": "value", "value": "smoke"},
    {"line": "occasion:fire:cleared", "answer": "yes"},
    {"line": "occasion:removal:all", "answer": "no"},
)
ENTRIES = st.lists(
    st.fixed_dictionaries({"day": st.integers(1, 3), "by": st.sampled_from(("AA", "BB")), "said": st.sampled_from(SAID)}),
    min_size=1,
    max_size=6,
)
WORDS = st.sampled_from(
    ("", "46", "yes", "no", "8 AWG", "clean:MID", "conductor:C7", "occasion:yearly:look", "XX", "2027-05-09T10:00:00Z", "f" * 32, "lbf·in")
) | st.text(max_size=6)


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """The demo before anybody was there."""
    folder = tmp_path_factory.mktemp("demo") / "house"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("package", "field"))
    return open_project(folder)


def entries_of(drawn):
    """Entries as phones send them, each with an id of its own."""
    return [
        {"id": f"{n:031x}a", "at": f"2027-05-0{one['day']}T15:00:00.000Z", "by": one["by"], **one["said"]} for n, one in enumerate(drawn, 1)
    ]


def form(entries, **changes):
    head = {"format": "permitgen field results", "version": "1.0", "project": "HB-0142", "revision": 1, "fingerprint": "ab" * 32}
    return head | {"entries": entries, "photos": []} | changes


def taken(opened, files):
    """Take files in one after the other, as ``permitgen record`` does; return the log. Raises what it refuses."""
    lines = checklist_lines_of(opened).answerable
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "field").mkdir()
        for data in files:
            results = _of_this_project(results_of(data, "r.json"), opened.loaded)
            _require_own_lines(results, lines, opened.fingerprint)
            batch, _ = new_batch(results, lines, read_field_log(folder, "HB-0142"))
            if batch.entries:
                file, content = batch_file(batch)
                (folder / "field" / file).write_bytes(content)
        return read_field_log(folder, "HB-0142")


def state(opened, log):
    """What is then known: each line with all its answers and its verdict, what was reported later, what the record announces."""
    checklist = checklist_lines_of(opened)
    system = with_results(opened.loaded, log).system
    results = [replace(result, at=None) for result in system.built.results] if system.built is not None else []
    given = results_by_line(results)
    judged = {each.line.id: str(each.judged.verdict) for each in (*line_states(checklist, results), *occasion_states(checklist, results))}
    lines = {line: (judged.get(line), given.get(line)) for line in checklist.answerable}
    return lines, keeping_of(system, checklist, "").kept, status_after(results)


def one_message(error):
    """Whatever is refused is refused with one sentence."""
    assert len(error.problems) == 1
    assert error.problems[0].message


@pytest.mark.parametrize("examples", [pytest.param(8, id="some"), pytest.param(60, id="many", marks=pytest.mark.nightly)])
def test_any_interleaving_of_any_split_is_one_state_and_nothing_is_lost(opened, examples):
    @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))
    @given(ENTRIES, st.data())
    def holds(drawn, data):
        entries = entries_of(drawn)
        parts = [[e for e in entries if data.draw(st.booleans())] for _ in range(3)]
        missing = [e for e in entries if not any(e in part for part in parts)]
        files = [form(data.draw(st.permutations(part))) for part in data.draw(st.permutations([*parts, missing]))]
        log = taken(opened, files)
        assert set(log.by_id) == {entry["id"] for entry in entries}
        assert state(opened, log) == state(opened, taken(opened, [form(entries)]))

    holds()


@pytest.mark.parametrize("examples", [pytest.param(15, id="some"), pytest.param(150, id="many", marks=pytest.mark.nightly)])
def test_a_change_in_any_field_is_refused_or_stays_at_its_own_line(opened, examples):
    @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))
    @given(ENTRIES, st.data())
    def holds(drawn, data):
        entries = entries_of(drawn)
        which = data.draw(st.integers(0, len(entries) - 1))
        others = [entry for number, entry in enumerate(entries) if number != which]
        name = data.draw(st.sampled_from((*entries[which], "reason", "note", "instrument", "repeats", "tag", "nonsense")))
        changed = entries[which] | {name: data.draw(WORDS)}
        try:
            log = taken(opened, [form(others), form([changed])])
        except ProblemsError as error:
            one_message(error)
            return
        before, after = state(opened, taken(opened, [form(others)]))[0], state(opened, log)[0]
        assert {line for line in after if after[line] != before[line]} <= {changed["line"]}
        logged = [each.entry for each in log.entries if each.entry.id == changed["id"]]
        assert [(each.line, each.by) for each in logged] == [(changed["line"], " ".join(changed["by"].split()))]

    holds()


@examples(60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(("format", "version", "project", "revision", "fingerprint")), WORDS | st.integers(-2, 3) | st.just("cd" * 32))
def test_a_change_at_the_head_is_refused_or_changes_nothing(opened, name, value):
    entries = entries_of([{"day": 1, "by": "AA", "said": SAID[2]}, {"day": 2, "by": "BB", "said": SAID[5]}])
    try:
        log = taken(opened, [form(entries, **{name: value})])
    except ProblemsError as error:
        one_message(error)
        return
    assert set(log.by_id) == {entry["id"] for entry in entries}


def test_an_entry_that_was_taken_in_is_never_changed_by_its_like(opened):
    """The same id saying something else in any field is refused."""
    entries = entries_of([{"day": 1, "by": "AA", "said": said} for said in SAID])
    for entry in entries:
        for name in ("value", "by", "note", "instrument"):
            with pytest.raises(ProblemsError, match="taken in already and says something else"):
                taken(opened, [form(entries), form([entry | {name: "other"}])])
