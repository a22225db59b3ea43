"""Hostile and damaged results: one clear message, and nothing changes."""

from __future__ import annotations

import base64
import io
import json
import shutil
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given
from hypothesis import strategies as st
from PIL import Image

from permitgen.cli.main import cli
from permitgen.package.field_job import take_in_results
from permitgen.project.field_results import MOST_PHOTOS, results_of
from permitgen.project.jpeg import JpegError, without_metadata
from permitgen.reading.problems import ProblemsError
from tests.examples import examples

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
DIGEST = "ab" * 32
RECORD = "4H7PM2X9K3TB8WQD"


@pytest.fixture
def tmp_path(same_place):
    return same_place


def entry(**changes):
    base = {
        "id": f"{1:032x}",
        "line": "torque:C7@MID.PV:L1",
        "tag": "C7",
        "answer": "value",
        "value": "45",
        "unit": "lbf·in",
        "at": "2026-05-14T15:04:00.000Z",
    }
    return base | changes


def results(**changes):
    base = {
        "format": "permitgen field results",
        "version": "1.0",
        "project": "HB-0142",
        "revision": 1,
        "fingerprint": DIGEST,
        "entries": [entry()],
        "photos": [],
    }
    return base | changes


def jpeg(size=(8, 6), **more):
    out = io.BytesIO()
    Image.new("RGB", size, "gray").save(out, "JPEG", **more)
    return out.getvalue()


def encoded(content):
    return base64.b64encode(content).decode("ascii")


@pytest.fixture
def project(tmp_path):
    folder = tmp_path / "house"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("package", "field"))
    return folder


def refusal(project, content, name="r.json"):
    """Take ``content`` in and return the one message; the folder must be as before."""
    file = project.parent / f"{project.name}-{name}"
    file.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
    before = {path: path.is_file() and path.read_bytes() for path in project.rglob("*")}
    with pytest.raises(ProblemsError) as caught:
        take_in_results(project, file)
    assert {path: path.is_file() and path.read_bytes() for path in project.rglob("*")} == before
    assert len(caught.value.problems) == 1
    message = caught.value.problems[0].message
    assert "\n" not in message
    assert not message.endswith(".")
    return message


WHOLE = json.dumps(results(entries=[entry(id=f"{n:032x}") for n in range(50)])).encode()

HOSTILE = {
    "empty": (b"", "the file is empty"),
    "not json": (b"torque 45", "this is not JSON"),
    "cut off": (WHOLE[: len(WHOLE) // 2], "the file is cut off"),
    "utf-16": (WHOLE.decode().encode("utf-16"), "JSON text in UTF-8 was expected"),
    "picture": (jpeg(), "JSON text in UTF-8 was expected"),
    "deep": (b"[" * 200_000, "nested too deeply"),
    "long number": (b'{"format": ' + b"9" * 6000 + b"}", "a number too long"),
    "nan": (b'{"revision": NaN}', "NaN is not a number"),
    "twice": (b'{"format": "a", "format": "b"}', "a key stands twice"),
    "list": ([], "expected an object, found a list"),
    "other file": ({"format": "something"}, "not a results file of the checklist"),
    "newer form": (results(version="2.0"), "results of version"),
    "version of no use": (results(version=1), "expected text, found a number"),
    "no entries": ({k: v for k, v in results().items() if k != "entries"}, "expected a list, found nothing"),
    "entries a text": (results(entries="all fine"), "expected a list, found text"),
    "entry a number": (results(entries=[7]), "expected an object, found a number"),
    "value a number": (results(entries=[entry(value=45)]), "expected text, found a number"),
    "inputs a list": (results(entries=[entry(inputs=["a"])]), "expected an object, found a list"),
    "many inputs": (results(entries=[entry(inputs={f"a{'b' * n}": "1" for n in range(9)})]), "at most 6 named values"),
    "revision true": (results(revision=True), "expected a whole number"),
    "revision a fraction": (results(revision=1.5), "expected a whole number"),
    "many entries": (results(entries=[entry(id=f"{n:032x}") for n in range(5001)]), "5001 entries; at most 5000"),
    "ten thousand photos": (
        results(photos=[{"id": f"{n:032x}", "line": "photo:HP", "data": ""} for n in range(10_000)]),
        f"10000 photos; at most {MOST_PHOTOS}",
    ),
    "long note": (results(entries=[entry(note="x" * 1001)]), "1001 characters; at most 1000"),
    "hidden characters": (results(entries=[entry(note="a\u202eb")]), "invisible character U+202E"),
    "lone surrogate": (b'{"format": "permitgen field results", "version": "1.0", "entries": [], "project": "\\ud800"}', "U+D800"),
    "unknown answer": (results(entries=[entry(answer="pass")]), '"pass" is not one of'),
    "bad id": (results(entries=[entry(id="1")]), "expected 32 hexadecimal digits"),
    "bad time": (results(entries=[entry(at="yesterday")]), "expected a time such as"),
    "thirteenth month": (results(entries=[entry(at="2026-13-01T00:00:00Z")]), "expected a time such as"),
    "same id": (results(entries=[entry(), entry()]), "two entries have the same id"),
    "photo not base64": (results(photos=[{"id": f"{9:032x}", "line": "photo:HP", "data": "§"}]), "the photo is damaged"),
    "photo a program": (results(photos=[{"id": f"{9:032x}", "line": "photo:HP", "data": encoded(b"MZ\x90")}]), "the photo is not a JPEG"),
    "photo cut off": (results(photos=[{"id": f"{9:032x}", "line": "photo:HP", "data": encoded(jpeg()[:-40])}]), "cut off or damaged"),
    "photo too large": (
        results(photos=[{"id": f"{9:032x}", "line": "photo:HP", "data": "A" * 8_000_004}]),
        "expected a JPEG of at most 6 MB",
    ),
    "other project": (results(project="HB-0001"), 'these results are of the project "HB-0001"; the project file is "HB-0142"'),
    "older revision": (results(revision=0), "these results are of revision 0; the project is at revision 1"),
    "newer revision": (results(revision=2), "the project file is still at revision 1"),
    "a line that nobody asked": (
        results(entries=[entry(), entry(id=f"{2:032x}", line="torque:C77@MID.PV:L1")]),
        'the checklist of this project has no line "torque:C77@MID.PV:L1"; the results answer the checklist of another plan',
    ),
    "a key in place of a line": (results(entries=[entry(line="record.address", answer="built otherwise")]), 'no line "record.address"'),
    "photo of no line": (
        results(photos=[{"id": f"{9:032x}", "line": "photo:../../x", "data": encoded(jpeg())}]),
        'no line "photo:../../x"',
    ),
    "a form that nobody has": (results(entries=[entry(line="occasion:party:cake", answer="yes")]), 'no line "occasion:party:cake"'),
    "a point that no form has": (results(entries=[entry(line="occasion:yearly:shine", answer="yes")]), 'no line "occasion:yearly:shine"'),
    "the record's id with a checklist": (results(project=RECORD), f'of the project "{RECORD}"'),
    "a form and a checklist in one": (
        results(project=RECORD, entries=[entry(), entry(id=f"{2:032x}", line="occasion:yearly:look", answer="yes")]),
        f'of the project "{RECORD}"',
    ),
    "a form of another record": (
        results(project="7H7PM2X9K3TB8WQD", entries=[entry(line="occasion:yearly:look", answer="yes")]),
        'of the project "7H7PM2X9K3TB8WQD"',
    ),
    "a form of a revision to come": (
        results(revision=2, entries=[entry(line="occasion:yearly:look", answer="yes")]),
        "still at revision 1",
    ),
    "a form with a unit": (results(entries=[entry(line="occasion:yearly:found")]), "expected no unit"),
    "a form repeating what nobody said": (
        results(entries=[entry(line="occasion:yearly:look", answer="yes", unit="", repeats=f"{5:032x}", reason="again")]),
        "no earlier entry",
    ),
    "a form repeating without a reason": (
        results(entries=[entry(line="occasion:yearly:look", answer="yes", repeats=f"{5:032x}")]),
        "says what was changed in between",
    ),
    "a form signed at length": (results(entries=[entry(line="occasion:yearly:look", answer="yes", by="x" * 41)]), "41 characters"),
    "a photo of no form": (
        results(entries=[], photos=[{"id": f"{9:032x}", "line": "occasion:party:cake", "data": encoded(jpeg())}]),
        'no line "occasion:party:cake"',
    ),
    "a form with an answer of its own": (results(entries=[entry(line="occasion:fire:cleared", answer="maybe")]), '"maybe" is not one of'),
    "a tag too long": (results(entries=[entry(tag="C7" * 21)]), "42 characters"),
    "a file of the field folder": (results(format="permitgen field batch"), "not a results file of the checklist"),
    "an id in capitals": (results(entries=[entry(id="A" * 32)]), "expected 32 hexadecimal digits"),
    "a day that is none": (results(entries=[entry(at="2026-02-30T08:00:00Z")]), "the calendar has no such day"),
    "before there was a plan": (
        results(entries=[entry(at="2001-01-01T00:05:00Z")]),
        "answered on 2001-01-01, before the first revision of the plans (2026-03-02): set the clock of the phone",
    ),
    "two that repeat each other": (
        results(entries=[entry(id=f"{n:032x}", repeats=f"{3 - n:032x}", reason="again") for n in (1, 2)]),
        f'no earlier entry of "torque:C7@MID.PV:L1" has the id {1:032x}',
    ),
    "an hour too late": (results(entries=[entry(at="2026-05-14T24:00:00Z")]), "expected a time such as"),
    "no line at all": (results(entries=[entry(line=" ")]), "is empty"),
    "a fingerprint cut short": (results(fingerprint=DIGEST[:-1]), "expected 64 hexadecimal digits"),
    "other unit": (results(entries=[entry(unit="N·m")]), 'is given in "N·m"; expected "lbf·in"'),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_results_get_one_message_and_change_nothing(name, project):
    content, expected = HOSTILE[name]
    assert expected in refusal(project, content)


def test_what_was_answered_on_a_day_to_come_is_refused_where_the_day_is_known(project):
    """The newest day counts at later occasions and is the day of commissioning: one of 2099 would silence all that comes after it."""
    for day, today in (("2099-05-14", date(2027, 5, 14)), ("2027-05-16", date(2027, 5, 14))):
        file = project.parent / "to_come.json"
        file.write_text(json.dumps(results(entries=[entry(at=f"{day}T08:00:00Z")])), "utf-8")
        with pytest.raises(ProblemsError, match=rf"answered on {day}, which has not come yet \(2027-05-14 by the clock here\)"):
            take_in_results(project, file, today)
        assert not (project / "field").exists()
    assert take_in_results(project, file, date(2027, 5, 15)).added == 1  # already so where that phone is


def test_there_are_sixty_of_them():
    assert len(HOSTILE) >= 60


@pytest.mark.sample(every=13)
@pytest.mark.parametrize("name", HOSTILE)
def test_the_command_ends_with_2_and_one_line(name, project):
    content, expected = HOSTILE[name]
    file = project.parent / "hostile.json"
    file.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
    result = CliRunner().invoke(cli, ["record", str(project), str(file)])
    assert result.exit_code == 2
    assert result.stdout == ""
    assert len(result.stderr.strip().splitlines()) == 1
    assert expected in result.stderr


def test_a_huge_file_is_refused_before_it_is_parsed(project, monkeypatch):
    monkeypatch.setattr("permitgen.project.field_results.LARGEST_BYTES", 1000)
    assert "larger than" in refusal(project, WHOLE)


def problems_in(data):
    """How many problems reading gives; anything but a refusal goes through to the test."""
    try:
        results_of(data, "r.json")
    except ProblemsError as error:
        return len(error.problems)
    return 0


def refusal_of(content):
    """The message on a photo, None where it is taken."""
    try:
        without_metadata(encoded(content))
    except JpegError as error:
        return str(error)
    return None


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
FIELDS = ("format", "version", "project", "revision", "fingerprint", "entries", "photos")
ENTRY_FIELDS = (*entry(), "inputs", "reason", "note", "by", "instrument", "permitted")


@examples(300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(FIELDS), st.sampled_from(ENTRY_FIELDS), JSON, st.booleans())
def test_any_wrong_type_anywhere_is_a_message_never_a_crash(top, inner, value, deep):
    """Whatever stands in one field, reading either works or refuses with one problem."""
    data = results(entries=[entry(**{inner: value})]) if deep else results(**{top: value})
    assert problems_in(data) in (0, 1)


@examples(300)
@given(st.binary(max_size=200), st.integers(0, 700), st.integers(0, 255))
def test_a_damaged_photo_is_a_message_never_a_crash(tail, at, byte):
    content = bytearray(jpeg())
    content[min(at, len(content) - 1)] = byte
    for damaged in (bytes(content), jpeg()[:at] + tail, tail):
        assert refusal_of(damaged) != ""


def test_position_and_device_leave_the_photo():
    """The written file is read by an independent library: the picture is whole and holds no metadata."""
    exif = Image.Exif()
    exif[0x010F] = "Invented Camera"
    exif.get_ifd(0x8825)[1] = "N"
    source = jpeg(size=(40, 30), exif=exif, comment=b"18 Quillfern Lane")
    assert b"Invented Camera" in source
    cleaned = without_metadata(encoded(source))
    assert b"Invented Camera" not in cleaned
    assert b"Quillfern" not in cleaned
    picture = Image.open(io.BytesIO(cleaned))
    picture.load()
    assert picture.size == (40, 30)
    assert not picture.getexif()
