"""A value that is put into the text of a file stands at its key when the file is read, and every other line is as it was."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from permitgen.project.written_answer import NoPlaceError, WrittenAnswer, with_answer
from permitgen.reading.characters import cleaned
from permitgen.reading.reader import read_text
from permitgen.reading.yaml_tree import tree_at
from tests.examples import examples

FILE = """\
# head of the file
a:
  b: {x: 1, y: {z: 2}}  # mine
  c: unknown  # open (site): tape
  # about d
  d:
    - e: 1
      f: |
        # no comment
        more

  g: "two
    lines"
  # late: open (site): tape
  # of the next

h: unknown # ask
i: {j: [1, 2],
    k: unknown}  # behind
"""
PLACES = [
    ("a", "b", "new"),
    ("a", "b", "y", "new"),
    ("a", "c"),
    ("a", "c", "below"),
    ("a", "late"),
    ("a", "late", "below"),
    ("a", "n", "m"),
    ("h",),
    ("i", "k"),
    ("i", "n"),
    ("top",),
    ("top", "n", "m"),
]
LINE = (
    st.text(st.characters(blacklist_categories=("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")), min_size=1, max_size=30)
    .map(lambda t: " ".join(cleaned(t).split()))
    .filter(bool)
)
VALUES = st.one_of(
    LINE,
    st.dictionaries(LINE, LINE, min_size=1, max_size=2),
    st.sampled_from(["yes", "none", "3R", "1/2 in", "{", "- x", "#", "a: b", "'", '"', "*a", "&b", "!t", "%", "@", "| x", "~"]),
)


@given(st.sampled_from(PLACES), VALUES, st.sampled_from(["\n", "\r\n"]), st.booleans())
@examples(150, deadline=None)
def test_any_value_reads_back_and_all_else_stands(path, value, newline, ends):
    text = (FILE if ends else FILE.rstrip("\n")).replace("\n", newline)
    changed = with_answer(text, WrittenAnswer(path, value, "stated: survey, M. Tarn, 2026-05-11"))
    assert tree_at(read_text(changed, "").data, path) == value
    before, after = text.split(newline), changed.split(newline)
    gone = [line for line in before if line not in after]
    assert len(gone) <= 1
    assert [line for line in after if line in before] == [line for line in before if line not in gone] or before[-1] != ""
    for comment in ("# head of the file", "# mine", "# about d", "# of the next", "# ask", "# behind"):
        assert comment in changed
    assert "survey, M. Tarn, 2026-05-11" in changed


@pytest.mark.parametrize("path", [("a", "d", "x"), ("a", "g"), ("a", "g", "x"), ("a", "b", "x"), ("a", "d")], ids=str)
def test_what_is_stated_is_not_written_over(path):
    with pytest.raises(NoPlaceError):
        with_answer(FILE, WrittenAnswer(path, "9", "stated"))


def test_the_mark_of_a_draft_goes_and_a_word_of_a_person_stays():
    changed = with_answer(FILE, WrittenAnswer(("a", "c"), "yes", "stated: survey"))
    assert "  c: yes  # stated: survey\n" in changed
    assert "h: yes # ask; stated: survey\n" in with_answer(FILE, WrittenAnswer(("h",), "yes", "stated: survey"))
    assert "  late: yes  # stated: survey\n  # of the next\n" in with_answer(FILE, WrittenAnswer(("a", "late"), "yes", "stated: survey"))
