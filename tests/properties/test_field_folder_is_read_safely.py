"""The folder ``field/`` comes from anywhere: what is wrong in it is one message with the file's name, never a hang or a crash."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.project import field_batches
from permitgen.project.field_batches import Batch, PhotoReference, batch_file, read_field_log
from permitgen.project.field_results import ResultEntry, results_of
from permitgen.project.new_file import create_file
from permitgen.reading.problems import ProblemsError
from tests.examples import examples


def batch(number=1, **changes):
    facts = {"id": f"{number:032x}", "line": "clean:MID", "answer": "yes", "at": "2026-05-14T15:00:00Z", "inputs": {}}
    return Batch("HB-0142", 1, "ab" * 32, (ResultEntry(**facts | changes),), ())


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "field").mkdir()
    return tmp_path


def put(folder, batch):
    name, content = batch_file(batch)
    (folder / "field" / name).write_bytes(content)
    return folder / "field" / name


def refusal(folder):
    with pytest.raises(ProblemsError) as caught:
        read_field_log(folder, "HB-0142", "house/")
    assert len(caught.value.problems) == 1
    text = str(caught.value)
    assert text.startswith("house/field")
    assert "\n" not in text
    return text


def test_a_folder_that_is_not_there_says_nothing(tmp_path):
    assert read_field_log(tmp_path, "HB-0142").entries == ()


def test_what_is_no_batch_is_left_alone(folder):
    put(folder, batch())
    (folder / "field" / "photos").mkdir()
    (folder / "field" / "notes.txt").write_text("call back")
    (folder / "field" / ".2026-05-14-0000000000000000.json.77.new").write_text("{")
    assert len(read_field_log(folder, "HB-0142").entries) == 1


def test_an_entry_in_two_files_counts_once(folder):
    put(folder, batch())
    put(folder, Batch("HB-0142", 1, "ab" * 32, (*batch().entries, *batch(2).entries), ()))
    assert [logged.entry.id for logged in read_field_log(folder, "HB-0142").entries] == [f"{1:032x}", f"{2:032x}"]


def test_an_entry_that_says_two_things_is_told(folder):
    put(folder, batch())
    put(folder, batch(answer="no"))
    assert "says something else in field/2026-05-14-" in refusal(folder)


@pytest.mark.parametrize(("old", "new"), [('"yes"', '"no"'), ("T15:", "T16:"), ('"revision": 1', '"revision": 0'), ("ab", "cd")])
def test_a_file_that_was_changed_is_told(folder, old, new):
    file = put(folder, batch())
    file.write_text(file.read_text("utf-8").replace(old, new), "utf-8")
    assert "was changed after it was written" in refusal(folder)


def test_line_ends_and_spaces_are_no_change(folder):
    file = put(folder, batch())
    file.write_bytes(json.dumps(json.loads(file.read_bytes()), indent=2).replace("\n", "\r\n").encode())
    assert len(read_field_log(folder, "HB-0142").entries) == 1


def test_another_name_is_told(folder):
    put(folder, batch()).rename(folder / "field" / "monday.json")
    assert "expected a name such as" in refusal(folder)


def test_results_of_another_house_are_told(folder):
    put(folder, Batch("HB-0001", 1, "ab" * 32, batch().entries, ()))
    assert 'of the project "HB-0001"; this one is "HB-0142"' in refusal(folder)


def test_a_photo_leads_nowhere_else(folder):
    photo = PhotoReference(f"{5:032x}", "photo:HP", "../../../etc/passwd", "ab" * 32)
    put(folder, Batch("HB-0142", 1, "ab" * 32, (), (photo,)))
    assert "expected the name of a photo in field/photos/" in refusal(folder)


CONTENTS = {
    "empty": (b"", "cut off"),
    "cut off": (batch_file(batch())[1][:-30], "cut off"),
    "not text": (b"\xff\xfe{\x00", "JSON text in UTF-8 was expected"),
    "deep": (b"[" * 200_000, "nested too deeply"),
    "a list": (b"[]", "expected an object, found a list"),
    "results of a phone": (b'{"format": "permitgen field results"}', "give a phone's results to permitgen record"),
    "no entries": (batch_file(batch())[1].replace(b'"entries"', b'"answers"'), "entries: expected a list, found nothing"),
}


@pytest.mark.parametrize("name", CONTENTS)
def test_malformed_files_are_told(folder, name):
    content, expected = CONTENTS[name]
    (folder / "field" / "2026-05-14-0123456789abcdef.json").write_bytes(content)
    assert expected in refusal(folder)


def test_pipes_links_and_folders_are_no_files(folder):
    name = folder / "field" / "2026-05-14-0123456789abcdef.json"
    os.mkfifo(name)
    assert "a file of field results was expected" in refusal(folder)
    name.unlink()
    name.symlink_to("/dev/zero")
    assert "a file of field results was expected" in refusal(folder)
    name.unlink()
    name.mkdir()
    assert "a file of field results was expected" in refusal(folder)


def test_a_field_that_is_no_folder_is_told(tmp_path):
    (tmp_path / "field").symlink_to("/")
    assert "this is not a folder" in refusal(tmp_path)
    (tmp_path / "field").unlink()
    (tmp_path / "field").write_text("")
    assert "this is not a folder" in refusal(tmp_path)


@pytest.mark.parametrize(("limit", "most", "expected"), [("LARGEST_BATCH", 100, "larger than"), ("LARGEST_TOGETHER", 500, "together")])
def test_large_files_are_refused_before_they_are_parsed(folder, monkeypatch, limit, most, expected):
    monkeypatch.setattr(field_batches, limit, most)
    put(folder, batch())
    put(folder, batch(2))
    assert expected in refusal(folder)


def test_many_files_are_refused(folder, monkeypatch):
    monkeypatch.setattr(field_batches, "MOST_BATCHES", 1)
    put(folder, batch())
    put(folder, batch(2))
    assert "2 files; at most 1 are read" in refusal(folder)


VALUES = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cf", "Co", "Cn"]), min_size=1, max_size=12)


@examples(100, deadline=None)
@given(VALUES, VALUES)
def test_what_is_written_is_what_is_read(tmp_path_factory, value, reason):
    """Whatever was typed comes back as it was taken in: the reader's own name for the file stays the same."""
    folder = tmp_path_factory.mktemp("f")
    (folder / "field").mkdir()
    sent = {"id": f"{1:032x}", "line": "serial:MID", "answer": "value", "value": value, "reason": reason, "at": "2026-05-14T15:00:00Z"}
    top = {"format": "permitgen field results", "version": "1.0", "project": "HB-0142", "revision": 1, "fingerprint": "ab" * 32}
    results = results_of({**top, "entries": [sent], "photos": []}, "r.json")
    put(folder, Batch("HB-0142", 1, "ab" * 32, results.entries, ()))
    assert tuple(logged.entry for logged in read_field_log(folder, "HB-0142").entries) == results.entries


def test_a_new_file_never_stands_in_place_of_another(tmp_path):
    assert create_file(tmp_path / "a", b"one")
    assert not create_file(tmp_path / "a", b"two")
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"one"}


def test_a_file_system_without_links_works_too(tmp_path, monkeypatch):
    def refuse(*_arguments):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    test_a_new_file_never_stands_in_place_of_another(tmp_path)
