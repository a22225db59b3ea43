"""Hostile results of a survey: one message, nothing is taken in, and no key is reached that was not asked."""

from __future__ import annotations

import pytest

from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from permitgen.package.survey_job import answers_taken
from permitgen.reading.problems import ProblemsError
from tests.surveyed import answer, opened_house, sent

ASKED = "survey:equipment.MSP.place.clear_depth"
GOOD = answer(ASKED, "36 in")


@pytest.fixture
def tmp_path(same_place):
    return same_place


@pytest.fixture
def house(tmp_path):
    return opened_house(tmp_path / "house", "depth", "access")


@pytest.mark.parametrize(
    ("entry", "changes", "message"),
    [
        (answer("survey:equipment.MSP.main.rating", "400 A"), {}, "has no line"),
        (answer("survey:project.name", "Other"), {}, "has no line"),
        (answer("survey:equipment.MSP.place.clear_depht", "36 in"), {}, "clear_depth"),
        (answer("survey:../../x", "36 in"), {}, "has no line"),
        (answer(ASKED, "36 in", answer="yes"), {}, "does not answer a question"),
        (answer(ASKED, "36 in", answer="as drawn"), {}, "does not answer a question"),
        (answer(ASKED, "36 in", answer="sure"), {}, "is not one of"),
        (GOOD | {"value": " "}, {}, "answered with nothing"),
        (answer(ASKED, "36 in", by=""), {}, "expected a name"),
        (answer(ASKED, by=""), {}, "expected a name"),
        (answer(ASKED, "36 in", unit="ft"), {}, "expected no unit"),
        (GOOD | {"value": "3\u202e6 in"}, {}, "invisible"),
        (answer(ASKED, "36 in", permitted="Something else was shown"), {}, "this checklist shows"),
        (GOOD | {"at": "yesterday"}, {}, "expected a time"),
        (GOOD, {"project": "T-15"}, "of the project"),
        (GOOD, {"revision": 3}, "of revision 3"),
        (GOOD, {"photos": [{"id": "0" * 32, "line": ASKED, "media_type": "image/jpeg", "data": "AAAA"}]}, ""),
    ],
)
def test_one_message_and_nothing_is_taken_in(house, entry, changes, message):
    before = {path: path.read_bytes() for path in house.rglob("*") if path.is_file()}
    file = sent(house, [answer(ASKED, "40 in", by="K. Orr"), entry | {"id": "f" * 32}], **changes)
    with pytest.raises(ProblemsError) as caught:
        take_in_results(house, file)
    assert len(caught.value.problems) == 1
    assert message in caught.value.problems[0].message
    assert {path: path.read_bytes() for path in house.rglob("*") if path.is_file()} == before


def test_what_was_answered_may_be_sent_again_when_it_is_asked_no_more(house):
    """Phones send all they hold each time: the first answer is in the file by then, and the second is taken in beside it."""
    file = sent(house, [GOOD])
    take_in_results(house, file)
    taken = answers_taken(open_project(house))
    (house / "project.yaml").write_text(taken.after, "utf-8")
    more = answer("survey:equipment.MSP.place.readily_accessible", "yes")
    report = take_in_results(house, sent(house, [GOOD, more]))
    assert (report.added, report.already_there) == (1, 1)


@pytest.mark.parametrize("value", ["36 in}\n  evil: yes", "yes}, evil: {x: 1", "36 in: a", '"', "# 36 in", "{36 in: me}"])
def test_no_answer_reaches_another_key(house, value):
    """What cannot be read as the figure that was asked for is refused by the reader, and the file is not written."""
    take_in_results(house, sent(house, [answer(ASKED, value)]))
    with pytest.raises(ProblemsError) as caught:
        answers_taken(open_project(house))
    (problem,) = caught.value.problems
    assert problem.file.endswith(".json")
    assert problem.where == ASKED.removeprefix("survey:")
