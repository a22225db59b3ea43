"""Two phones on one house: what one sends, the other loads; both answers stand, and whose file comes first never matters."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from permitgen.package.field_job import take_in_results
from tests.browser.hands import line, ready, sent

pytestmark = pytest.mark.needs_program("chromium")
ROOT = Path(__file__).resolve().parents[2]
TORQUE, CLEAN, OPEN = "torque:C7@MID.PV:L1", "clean:MID", "neutral-open:HP"
# A picture of one gray point, as a phone sends it.
DOT = (
    "/9j/4AAQSkZJRgABAQEASABIAAD/2wBDAAMCAgICAgMCAgIDAwMDBAYEBAQEBAgGBgUGCQgKCgkICQkKDA8MCgsOCwkJDRENDg8QEBEQCgwSExIQEw8QEBD/"
    "yQALCAABAAEBAREA/8wABgAQEAX/2gAIAQEAAD8A0s8g/9k="
)


@pytest.fixture
def phones(browser, pages):
    """Two phones without a network, each with a memory of its own, on the same page."""
    contexts = [browser.new_context(viewport={"width": 360, "height": 640}, offline=True, accept_downloads=True) for _ in range(2)]
    yield [ready(context, pages / "field_checklist.html") for context in contexts]
    for context in contexts:
        context.close()


def say(page, by, id_, answer, value=""):
    page.fill("#by", by)
    page.evaluate(
        "([id, answer, value]) => record(id, { answer, value, reason: answer === 'could not test' ? 'no time' : '' })", [id_, answer, value]
    )
    page.wait_for_timeout(5)  # entries stand in the order of their time, in milliseconds


def load(page, file):
    page.set_input_files("#other-phone", file)
    page.wait_for_selector("#banner-other")
    return page.locator("#banner-other").inner_text()


def shown(page):
    """What a person sees of each line that was answered, whoever did it."""
    return {id_: line(page, id_).inner_text() for id_ in (TORQUE, CLEAN, OPEN)}


def test_two_answers_both_stand_whichever_phone_is_loaded_first(phones, tmp_path):
    one, other = phones
    say(one, "AA", TORQUE, "value", "45")
    say(one, "AA", CLEAN, "yes")
    say(other, "BB", TORQUE, "value", "12")
    say(other, "BB", OPEN, "could not test")
    of_one, of_other = sent(one, tmp_path / "one.json"), sent(other, tmp_path / "other.json")
    assert "2 entries by BB" in load(one, of_other)
    assert "2 entries by AA" in load(other, of_one)
    # Who and when stand with each answer, the worse one counts, and nothing was overwritten.
    words = line(one, TORQUE).inner_text()
    assert all(said in words for said in ("45 lbf·in", "12 lbf·in", "AA", "BB", "Both answers stand; the worse one counts"))
    assert line(one, TORQUE).get_attribute("data-state") == "fails"
    assert shown(one) == shown(other)
    assert "0 entries" in load(one, of_other)  # again is nothing new
    for page in phones:
        page.reload()
        page.wait_for_selector("html[data-ready]", state="attached")
    assert shown(one) == shown(other)
    assert words == line(one, TORQUE).inner_text()
    # Either phone now sends the whole, and the program takes both in as the same.
    project = tmp_path / "house"
    shutil.copytree(ROOT / "demo_project", project, ignore=shutil.ignore_patterns("package", "field"))
    whole = [sent(page, tmp_path / f"whole{number}.json") for number, page in enumerate(phones)]
    first, second = (take_in_results(project, file) for file in whole)
    assert (first.added, second.added, second.already_there) == (4, 0, 4)


def test_a_file_of_something_else_is_refused_whole_with_one_message(phones, tmp_path):
    """Another project, revision or plan, a line nobody asks, an entry that changed: one sentence, and nothing of it is taken."""
    one, other = phones
    say(one, "AA", TORQUE, "value", "45")
    good = json.loads(sent(one, tmp_path / "one.json").read_text("utf-8"))
    first = good["entries"][0]
    file = tmp_path / "wrong.json"
    wrong = {
        "of the project “HB-0001”": good | {"project": "HB-0001"},
        "of revision 7": good | {"revision": 7},
        "their digest is not that of this page": good | {"fingerprint": "ab" * 32},
        "not a results file": good | {"format": "permitgen field batch"},
        "a line that this checklist does not have": good | {"entries": [first, first | {"id": "0" * 32, "line": "constructor"}]},
        "entry 1 is of 2099-05-14, a day to come": good | {"entries": [first | {"at": "2099-05-14T08:00:00Z"}]},
        "entry 1 is damaged": good | {"entries": [first | {"at": "yesterday"}]},
        "two entries have the same id": good | {"entries": [first, first]},
        "photo 1 is damaged": good | {"photos": [{"id": "1" * 32, "line": TORQUE, "data": "<svg onload=alert(1)>"}]},
    }
    for said, data in wrong.items():
        file.write_text(json.dumps(data), "utf-8")
        message = load(other, file)
        assert message.startswith("Nothing was taken from wrong.json: ")
        assert said in message
        assert message.count(".") == 2  # that of the file's name, and one at the end
        assert line(other, TORQUE).get_attribute("data-state") == ""
    file.write_text(json.dumps(good)[:-40], "utf-8")
    assert "cut off" in load(other, file)
    file.write_text(json.dumps(good | {"entries": [first | {"value": "12"}]}), "utf-8")
    assert "is here already and says something else" in load(one, file)
    assert "45 lbf·in" in line(one, TORQUE).inner_text()
    assert json.loads(sent(other, tmp_path / "none.json").read_text("utf-8"))["entries"] == []


def test_photos_of_the_other_phone_stand_at_their_line(phones, tmp_path):
    one, other = phones
    say(one, "AA", CLEAN, "yes")
    data = json.loads(sent(one, tmp_path / "one.json").read_text("utf-8"))
    data["photos"] = [{"id": "2" * 32, "line": CLEAN, "media_type": "image/jpeg", "width": 1, "height": 1, "data": DOT}]
    file = tmp_path / "with_photo.json"
    file.write_text(json.dumps(data), "utf-8")
    assert "1 photo." in load(other, file)
    assert line(other, CLEAN).locator("img").count() == 1
    back = json.loads(sent(other, tmp_path / "back.json").read_text("utf-8"))
    assert [photo["data"] for photo in back["photos"]] == [DOT]
