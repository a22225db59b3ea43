"""The checklist in a real browser: filled offline, killed, opened again, sent home, taken in, and the record shows it."""

from __future__ import annotations

import contextlib
import io
import json
import shutil
from pathlib import Path

import jsonschema
import pytest
from PIL import Image
from playwright.sync_api import Error

from permitgen.documents.record_folder import record_files
from permitgen.package.field_and_record import record_alone
from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from tests.browser.hands import line, ready, saved, sent
from tests.documents.drawn import files_of
from tests.record_pages import pages_of

pytestmark = pytest.mark.needs_program("chromium")
ROOT = Path(__file__).resolve().parents[2]
VALIDATOR = jsonschema.Draft202012Validator(json.loads((ROOT / "permitgen" / "project" / "field_results.schema.json").read_text("utf-8")))
SCRIPT = '<img src=x onerror="document.title=1"><script>document.title=2</script>'


@pytest.fixture
def project(tmp_path):
    folder = tmp_path / "project"
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("field"))
    return folder


def otherwise(page, id_):
    """A line of a look, with what it holds beside the one tap."""
    found = line(page, id_)
    found.get_by_role("button", name="Otherwise", exact=True).click()
    return found


def picture():
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "Invented Camera"
    Image.new("RGB", (3000, 2000), "orange").save(out, "JPEG", exif=exif)
    return out.getvalue()


def fill(page):
    """What one person does in a garage: some of it right, some otherwise, some not possible."""
    page.fill("#by", "QX")
    page.fill("#instrument", "TD-7")
    torque = line(page, "torque:C7@MID.PV:L1")
    torque.locator("input[inputmode=decimal]").first.fill("44,5")
    saved(page, lambda: torque.get_by_role("button", name="Save", exact=True).click())
    conductor = otherwise(page, "conductor:C7")
    conductor.get_by_role("button", name="Different from plans", exact=True).click()
    conductor.locator("select").select_option("6 AWG")
    conductor.get_by_label("Reason").fill("8 AWG was not on the truck")
    saved(page, lambda: conductor.get_by_role("button", name="Save: different from plans").click())
    serial = line(page, "serial:ESS1")
    serial.get_by_label("Value").fill("INV-SERIAL-48151623")
    saved(page, lambda: serial.get_by_role("button", name="Save", exact=True).click())
    bond = line(page, "neutral-open:HP")
    bond.locator(".entry summary").click()
    bond.get_by_label("Why it could not be tested").fill("utility had to stay on")
    saved(page, lambda: bond.get_by_role("button", name="Could not test", exact=True).click())
    clean = otherwise(page, "clean:MID")
    clean.locator(".entry summary").click()
    clean.get_by_label("Note").fill(SCRIPT)
    saved(page, lambda: clean.get_by_role("button", name="Save note").click())
    clean = otherwise(page, "clean:MID")
    saved(page, lambda: clean.get_by_role("button", name="Yes, done").click())
    photo = line(page, "photo:HP:open")
    saved(page, lambda: photo.locator("input[type=file]").set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture()}))


def test_from_the_garage_to_the_record(phone, pages, project, tmp_path):
    """Filled offline, the browser killed, opened again, sent, taken in, built again: measured torque and departure are in the record."""
    context = phone()
    page = ready(context, pages / "field_checklist.html")
    fill(page)
    context.close()
    page = ready(phone(), pages / "field_checklist.html")
    assert page.title() not in ("1", "2")
    assert line(page, "torque:C7@MID.PV:L1").get_attribute("data-state") == "passes"
    assert line(page, "conductor:C7").get_attribute("data-state") == "differs"
    assert line(page, "neutral-open:HP").get_attribute("data-state") == "skipped"
    assert "utility had to stay on" in line(page, "neutral-open:HP").inner_text()
    assert line(page, "photo:HP:open").locator("img").count() == 1
    assert page.input_value("#by") == "QX"
    results = sent(page, tmp_path / "results.json")
    data = json.loads(results.read_text("utf-8"))
    VALIDATOR.validate(data)
    assert b"Invented Camera" not in results.read_bytes()
    assert max(data["photos"][0]["width"], data["photos"][0]["height"]) == 1600

    report = take_in_results(project, results)
    assert report.departures == ("circuits.C7.conductors.size: 6 AWG",)
    assert len(report.photos) == 1
    assert (project / report.photos[0]).is_file()
    opened = open_project(project)
    # Without the list of Document IDs, for which every other document has to be made.
    files = record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)
    shows_what_was_built(files)
    keeps_to_itself_what_is_private(files)


def shows_what_was_built(files):
    record = json.loads(files["record/record.json"])
    torque = next(test for test in record["tests"] if test["id"] == "torque:C7@MID.PV:L1")
    assert (torque["measured"], torque["verdict"]) == ({"value": 44.5, "unit": "lbf·in"}, "passes")
    difference = record["differences"][0]
    assert (difference["path"], difference["permitted"], difference["built"]) == ("/circuits/C7/conductors/size", "8 AWG", "6 AWG")
    public = pages_of(files)
    assert "44,5 lbf·in" in public
    assert "8 AWG was not on the truck" not in public  # typed in the garage: private until somebody releases it
    assert "8 AWG was not on the truck" in pages_of(files, "record_professional")


def keeps_to_itself_what_is_private(files):
    public = pages_of(files) + files["record/record.json"].decode()
    for secret in ("INV-SERIAL-48151623", "QX", "TD-7", "onerror"):
        assert secret not in public
    private = pages_of(files, "record_professional")
    assert "INV-SERIAL-48151623" in private
    assert "&lt;img src=x onerror=" in private
    assert SCRIPT not in private


def test_a_tab_that_crashes_loses_nothing(phone, pages):
    """Chromium's own crash page ends the renderer at once, without a word to the page."""
    context = phone()
    page = ready(context, pages / "field_checklist.html")
    clean = otherwise(page, "clean:HP")
    saved(page, lambda: clean.get_by_role("button", name="Yes, done").click())
    with page.expect_event("crash"), contextlib.suppress(Error):
        page.goto("chrome://crash")
    again = ready(context, pages / "field_checklist.html")
    assert line(again, "clean:HP").get_attribute("data-state") == "passes"


def test_pass_needs_its_number(fresh_phone, pages):
    page = ready(fresh_phone, pages / "field_checklist.html")
    torque = line(page, "torque:C7@MID.PV:L2")
    for typed in ("", "tight", "4 5", "1e2"):
        torque.locator("input[inputmode=decimal]").first.fill(typed)
        torque.get_by_role("button", name="Save", exact=True).click()
        assert torque.get_attribute("data-state") == ""
        assert torque.get_by_role("alert").inner_text() == "A number is needed here."
    assert torque.get_by_role("button", name="Yes").count() == 0
    torque.get_by_role("button", name="More").click()
    torque.locator(".entry summary").click()
    torque.get_by_role("button", name="Could not test", exact=True).click()
    assert torque.get_by_role("alert").inner_text() == "Say why it could not be tested."
    assert torque.get_attribute("data-state") == ""


@pytest.mark.nightly
def test_a_correction_keeps_the_old_entry(fresh_phone, pages, tmp_path):
    page = ready(fresh_phone, pages / "field_checklist.html")
    torque = line(page, "torque:C7@PVC.main:L1")
    for typed in ("30", "45"):
        if torque.get_by_role("button", name="Correct or add").count():
            torque.get_by_role("button", name="Correct or add").click()
            torque.locator("input[inputmode=decimal]").first.fill(typed)
            torque.get_by_role("button", name="Save", exact=True).click()
            assert "Say what was changed since the entry before" in torque.get_by_role("alert").inner_text()
            torque.get_by_label("What was changed since, or what was wrong").fill("read the wrong scale")
        torque.locator("input[inputmode=decimal]").first.fill(typed)
        saved(page, lambda: torque.get_by_role("button", name="Save", exact=True).click())
    assert torque.get_attribute("data-state") == "passes"
    assert "30" in torque.locator(".history").inner_text()
    entries = json.loads(sent(page, tmp_path / "results.json").read_text("utf-8"))["entries"]
    assert [entry["value"] for entry in entries] == ["30", "45"]


@pytest.mark.nightly
def test_one_tap_answers_what_is_seen_of_one_enclosure_with_a_name(fresh_phone, pages, tmp_path):
    """Nothing without initials; then each visible line of that look has an entry of its own, and no torque, bond or photo has one."""
    page = ready(fresh_phone, pages / "field_checklist.html")
    look = page.locator('[id="part-at:HP"] .look').nth(1)
    tap = look.locator("> button.primary")
    tap.click()
    assert "initials" in look.locator("> .missing").inner_text()
    page.fill("#by", "QX")
    saved(page, tap.click)
    look.locator('[data-line="clean:HP"][data-state=passes]').wait_for()
    tap.wait_for(state="hidden")
    entries = json.loads(sent(page, tmp_path / "results.json").read_text("utf-8"))["entries"]
    shown = {article.get_attribute("data-line") for article in look.locator("[data-line]").all()}
    assert {entry["line"] for entry in entries} == {id_ for id_ in shown if not id_.startswith("photo:")}
    assert {entry["by"] for entry in entries} == {"QX"}
    assert {entry["answer"] for entry in entries} == {"yes", "as drawn"}


@pytest.mark.nightly
def test_a_photo_is_its_own_answer(fresh_phone, pages, tmp_path):
    page = ready(fresh_phone, pages / "field_checklist.html")
    photo = line(page, "photo:HP:closed")
    photo.locator("input[type=file]").set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": picture()})
    page.wait_for_selector('[data-line="photo:HP:closed"][data-state=passes]')
    assert [entry["answer"] for entry in json.loads(sent(page, tmp_path / "results.json").read_text("utf-8"))["entries"]] == ["yes"]


def test_power_is_offered_only_after_every_test_without_it(fresh_phone, pages):
    page = ready(fresh_phone, pages / "field_checklist.html")
    assert page.locator("[data-needs-power] .steps:visible").count() == 0
    assert "offered once every test that needs no power has passed" in page.locator("#part-energize .lock").inner_text()
    answered = """async () => { for (const [line, rule] of Object.entries(form.lines)) {
      const article = document.querySelector(`[data-line="${CSS.escape(line)}"]`);
      if (!rule.safety || article.closest("[data-needs-power]")) continue;
      const value = rule.kind === "done" ? "" : String(rule.least ?? (rule.most === undefined ? 550 : 0));
      await record(line, { answer: rule.kind === "done" ? "yes" : "value", value, inputs: { marked: "100" } });
    } }"""
    opened = line(page, "neutral-open:HP")
    for field, said in (("#by", "Write your initials"), ("#instrument", "Write the number of your meter")):
        opened.locator("input[inputmode=decimal]").last.fill("5000")
        opened.get_by_role("button", name="Save", exact=True).click()
        assert said in opened.get_by_role("alert").inner_text()
        page.fill(field, "QX")
    page.fill("#by", "QX")
    page.fill("#instrument", "TD-7")
    page.evaluate(answered)
    assert page.locator("#part-energize .steps").is_visible()
    assert page.locator("#part-island .steps").is_visible()
    page.evaluate("record('neutral-open:HP', { answer: 'value', value: '0.1', inputs: {} })")
    assert page.locator("[data-needs-power] .steps:visible").count() == 0, "a failed test shuts it again"


@pytest.mark.nightly
def test_numbers_are_read_as_people_type_them(fresh_phone, pages):
    """A decimal comma, the unit behind it; another unit and a comma that may part thousands are asked about, not guessed."""
    page = ready(fresh_phone, pages / "field_checklist.html")
    torque = line(page, "torque:C7@MID.PV:L1")
    for typed, said in (("5 N·m", "This line is in lbf·in"), ("1,450", "write 1450, or 1.450 with a point")):
        torque.locator("input[inputmode=decimal]").first.fill(typed)
        torque.get_by_role("button", name="Save", exact=True).click()
        assert said in torque.get_by_role("alert").inner_text()
    numbers = (("44 1/2 inch pounds", "44.5"), ("44½", "44.5"), ("120/240", "120/240"), ("5/4", "5/4"))
    units = (
        ("25 C", "°C", "25"),
        ("550 megohms", "MΩ", "550"),
        ("240 VAC", "V", "240"),
        ("800 W/m2", "W/m²", "800"),
        ("12 sec", "s", "12"),
    )
    for typed, unit, number in (*((typed, "lbf·in", number) for typed, number in numbers), *units):
        assert page.evaluate("([typed, unit]) => asTyped(typed, unit)", [typed, unit]) == {"text": number, "fault": ""}, typed
    for typed, unit in (("550 mΩ", "MΩ"), ("77 F", "°C"), ("800 kΩ", "MΩ"), ("100 mΩ", "Ω"), ("45 ft-lb", "lbf·in")):
        assert page.evaluate("([typed, unit]) => asTyped(typed, unit).fault", [typed, unit]), typed
    # A cell of 60 °C is common, and so is a day of 60 °F: a bare number that may be either is asked about.
    for typed, is_asked in (("60", True), ("104", True), ("46", True), ("45", False), ("60 C", False), ("-5", False)):
        assert bool(page.evaluate("typed => asTyped(typed, '°C').fault", typed)) is is_asked, typed
    torque.locator("input[inputmode=decimal]").first.fill("44,5 lb-in")
    saved(page, lambda: torque.get_by_role("button", name="Save", exact=True).click())
    assert torque.get_attribute("data-state") == "passes"
    assert "44,5 lbf·in" in torque.inner_text()


@pytest.mark.nightly
def test_a_departure_shows_what_follows_at_once_and_each_line_why_it_is_there(fresh_phone, pages):
    """30 A on 10 AWG copper (240.4(D)): the larger breaker is refused before anything is saved."""
    page = ready(fresh_phone, pages / "field_checklist.html")
    device = otherwise(page, "device:C8@MID.BAT1")
    device.get_by_role("button", name="Different from plans", exact=True).click()
    assert "not 35 A" in device.inner_text().replace("\u00a0", " ")
    assert "240.4(D)" in device.inner_text()
    lifted = line(page, "neutral-open:HP")
    lifted.locator(".here summary").first.click()
    assert "before that neutral is landed" in lifted.inner_text()


def test_a_phone_whose_clock_is_before_the_plans_says_so_before_anything_is_entered(phone, pages):
    """Its entries would be refused at home, all of them."""
    page = phone().new_page()
    page.clock.set_fixed_time("2001-01-01T08:00:00Z")
    page.goto((pages / "field_checklist.html").as_uri())
    page.wait_for_selector("html[data-ready]", state="attached")
    assert "before these plans were made (2026-03-23)" in page.locator("#banner-clock").inner_text()
    page.clock.set_fixed_time("2026-04-01T08:00:00Z")
    page.reload()
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.locator("#banner-clock").count() == 0


def test_full_storage_warns_and_still_sends(phone, pages, tmp_path):
    page = phone().new_page()
    page.add_init_script(
        """const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (thing) {
          if (this.name === 'session') return put.call(this, thing);
          throw new DOMException('full', 'QuotaExceededError');
        };"""
    )
    page.goto((pages / "field_checklist.html").as_uri())
    page.wait_for_selector("html[data-ready]", state="attached")
    clean = otherwise(page, "clean:PVC")
    saved(page, lambda: clean.get_by_role("button", name="Yes, done").click())
    assert "storage of this browser is full" in page.locator("#banner-storage").inner_text()
    entries = json.loads(sent(page, tmp_path / "results.json").read_text("utf-8"))["entries"]
    assert [entry["line"] for entry in entries] == ["clean:PVC"]


def test_gloves_can_hit_every_control_at_360_pixels(open_page, pages):
    """Targets of 44 CSS px and more (WCAG 2.2, 2.5.5 enhanced); nothing wider than the screen."""
    page = open_page(pages / "field_checklist.html")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        """[...document.querySelectorAll('button, input:not([type=file]), select, textarea, summary, .file span')]
        .filter(e => e.offsetParent).map(e => [e.getBoundingClientRect().height, e.outerHTML.slice(0, 80)]).filter(([h]) => h < 44)"""
    )
    assert small == []


def test_without_scripts_it_can_be_read_and_says_so(open_page, pages):
    page = open_page(pages / "field_checklist.html", scripts=False)
    assert "Scripts are off" in page.locator("noscript").inner_text() + page.content()
    assert page.get_by_text("45 lbf·in").first.is_visible()


@pytest.mark.nightly
def test_results_of_an_older_revision_are_refused_by_the_newer_project(project, pages, fresh_phone, tmp_path):
    page = ready(fresh_phone, pages / "field_checklist.html")
    saved(page, lambda: otherwise(page, "clean:HP").get_by_role("button", name="Yes, done").click())
    results = sent(page, tmp_path / "results.json")
    file = project / "project.yaml"
    text = file.read_text("utf-8")
    marked = "    - number: 1\n      date: 2026-03-23"
    assert marked in text
    file.write_text(text.replace(marked, "    - {number: 2, date: 2026-04-20, reason: Breaker moved, by: M. Tarn}\n" + marked), "utf-8")
    with pytest.raises(Exception, match="these results are of revision 1; the project is at revision 2"):
        take_in_results(project, results)
    assert not (project / "field").exists()
    assert files_of(open_project(project), "field_checklist")
