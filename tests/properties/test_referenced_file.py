"""A file the project names lies inside the project folder, whatever was typed."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.reading.referenced_file import ReferencedFileError, resolve_inside
from tests.examples import examples


@pytest.fixture
def folder(tmp_path):
    project = tmp_path / "project"
    (project / "photos").mkdir(parents=True)
    (project / "photos" / "meter.jpg").write_bytes(b"x")
    (tmp_path / "secret.txt").write_text("secret")
    return project


def test_inside_is_found(folder):
    assert resolve_inside(folder, "photos/meter.jpg") == (folder / "photos" / "meter.jpg").resolve()
    assert resolve_inside(folder, "./photos//meter.jpg") == (folder / "photos" / "meter.jpg").resolve()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("../secret.txt", '"../secret.txt" lies outside the project folder; copy the file into it, for example as "photos/secret.txt"'),
        ("photos/../../secret.txt", "lies outside the project folder"),
        ("/etc/passwd", "is an absolute path"),
        ("C:/secret.txt", "is an absolute path"),
        ("photos\\meter.jpg", 'separate folders with "/"'),
        ("photos/metre.jpg", 'there is no file "photos/metre.jpg" in the project folder; did you mean "photos/meter.jpg"'),
        ("photos", "is a folder; a file was expected"),
        ("", "the name of a file was expected"),
        ("x" * 300, "the name of a file was expected"),
        ("a\x00b", "the invisible character U+0000"),
        ("a\nb", "one line"),
        ("nofolder/x.jpg", "there is no file"),
    ],
)
def test_refused_with_reason(folder, text, message):
    with pytest.raises(ReferencedFileError) as caught:
        resolve_inside(folder, text)
    assert message in str(caught.value)


def test_links_that_lead_out_are_refused(folder):
    (folder / "out.txt").symlink_to(folder.parent / "secret.txt")
    (folder / "up").symlink_to(folder.parent, target_is_directory=True)
    (folder / "loop").symlink_to(folder / "loop")
    for text in ("out.txt", "up/secret.txt"):
        with pytest.raises(ReferencedFileError, match="leads out of the project folder through a link"):
            resolve_inside(folder, text)
    with pytest.raises(ReferencedFileError):
        resolve_inside(folder, "loop")


def test_links_that_stay_inside_are_followed(folder):
    (folder / "alias.jpg").symlink_to(folder / "photos" / "meter.jpg")
    assert resolve_inside(folder, "alias.jpg") == (folder / "photos" / "meter.jpg").resolve()


@given(st.text(alphabet="abc./\\~:*\x00\n é", max_size=30))
@examples(300)
def test_any_text_stays_inside_or_is_refused(tmp_path_factory, text):
    folder = tmp_path_factory.getbasetemp()
    with suppress(ReferencedFileError):  # any other error fails the test
        assert resolve_inside(folder, text).is_relative_to(folder.resolve())
