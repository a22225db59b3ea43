"""A whole house as an installer on a 360 px phone, without a network: every entry of the demo's checklist made by tapping and typing.

Counted are taps, numbers and photos; the time is computed: 1.2 s a tap, 3 s a number or a word, 8 s a photo (taken as such;
common practice, no published source). Looking and measuring take longer and are the same on paper.
"""

from __future__ import annotations

import io
import json
import sys

import pytest
from PIL import Image

pytestmark = [pytest.mark.needs_program("chromium"), pytest.mark.nightly]
TAP_S, NUMBER_S, PHOTO_S, MOST_MINUTES = 1.2, 3.0, 8.0, 25


class Hand:
    """Does what a hand does, and counts it."""

    def __init__(self, page):
        self.page = page
        self.taps = self.numbers = self.photos = 0

    def tap(self, place):
        place.click()
        self.taps += 1

    def type(self, place, words):
        place.fill(words)
        self.numbers += 1

    def shoot(self, place, picture):
        place.set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture})
        self.photos += 1

    @property
    def minutes(self):
        return (self.taps * TAP_S + self.numbers * NUMBER_S + self.photos * PHOTO_S) / 60


def picture():
    out = io.BytesIO()
    Image.new("RGB", (320, 240), "orange").save(out, "JPEG")
    return out.getvalue()


# What a good house shows at a line: the value and the further values that its rule lets pass.
READING = """id => {
  const rule = form.lines[id], inside = (least, most) => least == null ? 0 : most == null ? least + 1 : (least + most) / 2;
  const known = { marked: rule.base ?? 50, cell: rule.reference ?? 25, irradiance: 1000 };
  const also = name => (rule.also || []).find(one => one[0] === name);
  const inputs = (rule.inputs || []).map(([name]) => known[name] ?? (also(name) ? inside(also(name)[2], also(name)[3]) : 1));
  const good = { torque: rule.base ?? 50, insulation: 550, "string voltage": rule.count * rule.base, "string current": rule.base };
  const base = rule.kind === "number" ? inside(rule.least, rule.most) : good[rule.kind] ?? 5;
  return { kind: rule.kind, shot: Boolean(rule.shot), inputs: inputs.map(String), value: String(Number(base.toPrecision(6))) };
}"""


def answer(hand, article, shot):
    """Answer one line that is open."""
    reading = hand.page.evaluate(READING, article.get_attribute("data-line"))
    if reading["shot"]:
        hand.shoot(article.locator("input[type=file]").first, shot)
    elif reading["kind"] == "done":
        hand.tap(article.get_by_role("button", name="Yes, done"))
    elif reading["kind"] == "match":
        hand.tap(article.get_by_role("button", name="As drawn", exact=True))
    elif reading["kind"] == "text":
        hand.type(article.get_by_label("Value"), "A1")
        hand.tap(article.get_by_role("button", name="Save", exact=True))
    else:
        fields = article.locator("input[inputmode=decimal]:visible")
        for index, words in enumerate([*reading["inputs"], reading["value"]]):
            hand.type(fields.nth(index), words)
        if reading["inputs"] or not article.evaluate("e => Boolean(e.closest('.table'))"):
            hand.tap(article.get_by_role("button", name="Save", exact=True))
        else:
            fields.last.blur()  # the next field is touched anyway


def whole_house(hand, shot):
    """Answer every line in the order of the page; return how many answers that took."""
    page = hand.page
    decisions = 0
    for part in page.locator("#sections .part").all():
        assert part.locator(".steps").is_visible(), part.get_attribute("id")
        for block in part.locator(".look").all():
            tap = block.locator("> button.primary")
            if tap.is_visible():
                hand.tap(tap)
                tap.wait_for(state="hidden")
                decisions += 1
        for article in part.locator("[data-line]").all():
            if not article.get_attribute("data-state"):
                answer(hand, article, shot)
                decisions += 1
                page.wait_for_function("e => e.dataset.state", arg=article.element_handle())
    return decisions


def test_every_entry_of_the_demo_is_made_in_less_than_25_minutes(phone, pages, tmp_path, record_property):
    context = phone()
    page = context.new_page()
    page.goto((pages / "field_checklist.html").as_uri())
    page.wait_for_selector("html[data-ready]", state="attached")
    hand, shot = Hand(page), picture()
    hand.type(page.locator("#by"), "QX")
    hand.type(page.locator("#instrument"), "TD-7")
    decisions = whole_house(hand, shot)
    counts = page.locator("#counts").inner_text()
    done, of = counts.split(" entries")[0].split(" of ")
    assert done == of, counts
    with page.expect_download() as download:
        hand.tap(page.locator("#send"))
    download.value.save_as(tmp_path / "r.json")
    data = json.loads((tmp_path / "r.json").read_text("utf-8"))
    lines = page.evaluate("Object.keys(form.lines)")
    assert {entry["line"] for entry in data["entries"]} == set(lines)
    assert len(data["photos"]) == hand.photos
    told = f"{of} entries, {decisions} decisions, {hand.taps} taps, {hand.numbers} numbers, {hand.photos} photos: {hand.minutes:.1f} min"
    record_property("whole house", told)
    sys.stdout.write(f"{told}\n")
    assert hand.minutes < MOST_MINUTES, told
