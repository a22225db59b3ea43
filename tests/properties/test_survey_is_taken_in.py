"""Whatever subset of facts is open and however its survey is answered: what was answered stands in the file and is asked no more."""

from __future__ import annotations

import difflib
import random

import pytest

from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from permitgen.package.survey_job import answers_taken, survey_of_project, write_answers
from permitgen.reading.reader import read_text
from permitgen.reading.yaml_tree import tree_at
from tests.surveyed import OPENED, answer, comments_in, opened_house, plausible, sent

PEOPLE = ("M. Tarn", 'J. "Jo" O\'Brien', "K: {x}, #2", "Ünal – 測量")


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.mark.parametrize("number", [pytest.param(n, marks=[pytest.mark.nightly] * (n > 3)) for n in range(60)])
def test_any_answered_survey(number, seed, tmp_path):
    chance = random.Random(f"{seed} {number}")
    names = chance.sample(list(OPENED), chance.randint(1, len(OPENED)))
    folder = opened_house(tmp_path / "house", *names)
    before = (folder / "project.yaml").read_text("utf-8")
    lines = survey_of_project(open_project(folder)).questions
    assert lines, names
    seen = {line.id: plausible(line, chance) if chance.random() < 0.75 else "" for line in lines if chance.random() < 0.9}
    entries = [answer(id_, value, by=chance.choice(PEOPLE), at=at) for at, (id_, value) in enumerate(seen.items())]
    report = take_in_results(folder, sent(folder, entries))
    assert report.added == len(entries)
    assert report.departures == ()
    assert (folder / "project.yaml").read_text("utf-8") == before
    batches = {path: path.read_bytes() for path in (folder / "field").glob("*.json")}

    taken = answers_taken(open_project(folder))
    assert (folder / "project.yaml").read_text("utf-8") == before
    write_answers(folder, taken)
    after = (folder / "project.yaml").read_text("utf-8")
    keys = {line.id: line.path.split(".") for line in lines if line.path and seen.get(line.id)}
    _says_what_was_answered(after, keys, seen)
    _changes_nothing_else(before, after, keys)

    again = open_project(folder)
    left = {line.id: line for line in survey_of_project(again).questions}
    assert not keys.keys() & left.keys()
    told = {id_ for id_ in seen if id_ not in keys}
    assert all(left[id_].earlier for id_ in told & left.keys())
    assert answers_taken(again).written == 0
    assert {path: path.read_bytes() for path in batches} == batches


def _says_what_was_answered(after, keys, seen):
    data = read_text(after, "").data
    for id_, path in keys.items():
        found = tree_at(data, path)
        if isinstance(found, dict):  # a figure with who stated it
            ((found, source),) = found.items()
            assert source.startswith("survey, ")
            assert source.endswith(", 2026-05-11")
        assert found == seen[id_]


def _changes_nothing_else(before, after, keys):
    """Lines that hold no answered key stand as they were, byte by byte; a comment that a person wrote stands behind its line still."""
    difference = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    gone = [line for line in difference if line.startswith("- ")]
    come = [line for line in difference if line.startswith("+ ")]
    last = {path[-1] for path in keys.values()} | {path[-2] for path in keys.values()}
    assert len(gone) <= len(come) <= len(gone) + len(keys)
    assert all(any(key in line for key in last) for line in come)
    kept = [comment for comment in comments_in(before) if "open (" not in comment]
    assert all(any(found.startswith(comment) for found in comments_in(after)) for comment in kept)
