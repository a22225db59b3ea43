"""The survey on a phone: answered offline with a photo, closed and opened again, sent home, taken in, and put into the file."""

from __future__ import annotations

import io
import json
from pathlib import Path

import jsonschema
import pytest
from PIL import Image

from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from permitgen.package.survey_job import answers_taken, survey_files
from tests.browser.hands import line, ready, saved
from tests.surveyed import opened_house

pytestmark = pytest.mark.needs_program("chromium")
ROOT = Path(__file__).resolve().parents[2]
SCHEMA = json.loads((ROOT / "permitgen" / "project" / "field_results.schema.json").read_text("utf-8"))
AXE = (Path(__file__).parent / "axe.min.js").read_text("utf-8")
AT = "survey:equipment.MSP."


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    folder = opened_house(tmp_path_factory.mktemp("survey") / "house")
    for name, content in survey_files(open_project(folder)).items():
        (folder.parent / name).write_bytes(content)
    return folder


def picture():
    out = io.BytesIO()
    Image.new("RGB", (2400, 1800), "orange").save(out, "JPEG")
    return {"name": "plate.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def fill(page):
    depth = line(page, f"{AT}place.clear_depth")
    depth.get_by_label("Answer").fill("3 ft")
    depth.get_by_role("button", name="Save", exact=True).click()
    assert "Write your name" in depth.inner_text()
    page.fill("#by", "M. Tarn")
    depth.get_by_label("Answer").fill("three feet")
    depth.get_by_role("button", name="Save", exact=True).click()
    assert "This does not fit" in depth.inner_text()
    depth.get_by_label("Answer").fill("3 ft")
    saved(page, lambda: depth.get_by_role("button", name="Save", exact=True).click())
    saved(page, lambda: line(page, f"{AT}place.dedicated_space").get_by_role("button", name="clear", exact=True).click())
    hidden = line(page, f"{AT}place.clear_height")
    hidden.locator("summary").click()
    hidden.get_by_label("Why it could not be seen").fill("shelves")
    saved(page, lambda: hidden.get_by_role("button", name="Could not see it").click())
    run = line(page, "survey:raceways.R2.place")
    run.get_by_label("outdoors").check()
    saved(page, lambda: run.get_by_role("button", name="Save", exact=True).click())
    plate = line(page, f"{AT}busbar").locator("input[type=file]")
    saved(page, lambda: plate.set_input_files(picture()))


def test_from_the_panel_to_the_file(phone, house, tmp_path):
    context = phone()
    page = ready(context, house.parent / "survey.html")
    fill(page)
    context.close()
    page = ready(phone(), house.parent / "survey.html")
    assert "3 ft" in line(page, f"{AT}place.clear_depth").inner_text()
    assert line(page, f"{AT}place.clear_height").get_attribute("data-state") == "skipped"
    assert "Could not see it" in line(page, f"{AT}place.clear_height").inner_text()
    assert line(page, f"{AT}busbar").locator("img").count() == 1
    assert page.inner_text("#counts").startswith("4 of 12 entries done")
    with page.expect_download() as download:
        page.click("#send")
    results = tmp_path / download.value.suggested_filename
    assert results.name.startswith("survey-results-")
    download.value.save_as(results)
    jsonschema.validate(json.loads(results.read_text("utf-8")), SCHEMA, cls=jsonschema.Draft202012Validator)
    report = take_in_results(house, results)
    assert (report.added, len(report.photos)) == (4, 1)
    taken = answers_taken(open_project(house))
    assert taken.written == 3
    assert 'clear_depth: {3 ft: "survey, M. Tarn, ' in taken.after
    assert "place: outdoors" in taken.after
    assert taken.photos == (f"Busbar rating of MSP: {report.photos[0]}",)
    assert [sentence.partition(":")[0] for sentence in taken.unseen] == ["Clear height in front of MSP"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_fits_a_phone_and_is_accessible(open_page, house, scheme):
    page = open_page(house.parent / "survey.html", scheme=scheme)
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        "[...document.querySelectorAll('button,summary,input:not([type=file]):not([type=checkbox]),.checks label')]"
        ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 44).map(e => e.textContent)"
    )
    assert small == []
    page.evaluate(AXE)
    found = page.evaluate("axe.run().then(done => done.violations.map(each => [each.id, each.nodes.map(node => node.html)]))")
    assert found == []
