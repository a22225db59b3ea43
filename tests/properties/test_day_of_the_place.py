"""The record tells the day of the place: at nine in the evening in Denver it is the next day by UTC (calendar, by hand)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from permitgen.project.field_batches import Batch, batch_file
from permitgen.project.field_results import ResultEntry, results_of
from permitgen.reading.problems import ProblemsError
from permitgen.system.built_state import FieldResult
from permitgen.system.time_of_place import time_of_place
from permitgen.views.record_results import commissioning_day

EVENING = "2026-05-15T03:04:00.000Z"


@pytest.mark.parametrize(
    ("at", "zone", "expected"),
    [
        (EVENING, "-06:00", "2026-05-14 21:04"),
        (EVENING, "+05:45", "2026-05-15 08:49"),
        (EVENING, "+00:00", "2026-05-15 03:04"),
        ("2026-12-31T23:30:00Z", "+01:00", "2027-01-01 00:30"),
        ("2028-03-01T02:00:00Z", "-05:00", "2028-02-29 21:00"),
        (EVENING, "", "2026-05-15 03:04 UTC"),
        ("2026-05-14", "", "2026-05-14"),
        ("9999-12-31T23:30:00Z", "+01:00", "9999-12-31 23:30 UTC"),
    ],
)
def test_time_of_a_place(at, zone, expected):
    assert time_of_place(at, zone) == expected


def test_what_was_answered_in_the_evening_is_of_that_day():
    entry = ResultEntry(id="1" * 32, line="clean:MID", answer="yes", at=EVENING, inputs={}, zone="-06:00")
    assert entry.day == "2026-05-14"
    result = FieldResult(kind="check", subject="MID", values=(("line", "clean:MID"), ("at", EVENING), ("zone", "-06:00")))
    assert commissioning_day([result]) == "2026-05-14"


def test_a_batch_keeps_the_zone_and_one_without_it_stays_as_it_was():
    with_zone = ResultEntry(id="1" * 32, line="clean:MID", answer="yes", at=EVENING, inputs={}, zone="-06:00")
    name, content = batch_file(Batch("P", 1, "ab" * 32, (with_zone,), ()))
    assert b'"zone": "-06:00"' in content
    other, without = batch_file(Batch("P", 1, "ab" * 32, (replace(with_zone, zone=""),), ()))
    assert b"zone" not in without
    assert name != other


@pytest.mark.parametrize("zone", ["-6", "Denver", "+15:00", "-06:60", 6])
def test_a_zone_that_is_none_is_refused(zone):
    entry = {"id": "1" * 32, "line": "clean:MID", "answer": "yes", "at": EVENING, "zone": zone}
    sent = {"format": "permitgen field results", "version": "1.0", "project": "P", "revision": 1, "fingerprint": "ab" * 32}
    with pytest.raises(ProblemsError, match=r"zone|text"):
        results_of({**sent, "entries": [entry], "photos": []}, "results.json")
