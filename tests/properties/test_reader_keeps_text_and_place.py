"""What was typed comes out as typed, and every place is where an editor shows it."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from permitgen.reading import reader
from permitgen.reading.positions import path_text
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_text, read_yaml_file
from tests.examples import examples

# Characters that mean nothing to the cleaning: it composes letters and makes every space plain.
CLEAN = st.text(st.characters(codec="utf-8", categories=["Lu", "Nd", "Po", "Sm"], max_codepoint=0x24F), min_size=1, max_size=12)
SCALARS = CLEAN.filter(lambda text: text.strip() == text)
TREES = st.recursive(
    SCALARS, lambda inner: st.lists(inner, min_size=1, max_size=4) | st.dictionaries(SCALARS, inner, min_size=1, max_size=4), max_leaves=20
)
FILES = st.dictionaries(SCALARS, TREES, min_size=1, max_size=5)


@given(FILES, st.sampled_from(["'", '"']), st.booleans())
@examples(150)
def test_a_file_written_by_a_yaml_library_reads_back(data, quote, flow):
    """Reference: the emitter of PyYAML, quoting every text, in block and in flow style."""
    text = yaml.safe_dump(data, default_style=quote, default_flow_style=flow, allow_unicode=True, width=10_000)
    assert read_text(text, "p.yaml").data == data


def _places_by_composer(node, path=()):
    """Walk the tree PyYAML composes: a second, independent source of positions."""
    yield "value", path, node.start_mark
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield "key", (*path, key.value), key.start_mark
            yield from _places_by_composer(value, (*path, key.value))
    elif isinstance(node, yaml.SequenceNode):
        for index, item in enumerate(node.value):
            yield from _places_by_composer(item, (*path, index))


@given(FILES, st.sampled_from(["'", '"']), st.booleans(), st.sampled_from(["\n", "\r\n"]))
@examples(100)
def test_places_agree_with_the_composer(data, quote, flow, line_end):
    text = yaml.safe_dump(data, default_style=quote, default_flow_style=flow, allow_unicode=True).replace("\n", line_end)
    file = read_text(text, "p.yaml")
    for kind, path, mark in _places_by_composer(yaml.compose(text, Loader=yaml.BaseLoader)):
        place = file.position(path) if kind == "value" else file.key_position(path)
        assert place == (mark.line + 1, mark.column + 1)


TYPED = """\
# a house
zip: 02134
country: NO
bond: no
time: 12:30
version: 3.10
tag: 1E5
date: 2026-05-14
serial: 010
name: Null
nothing: ~
left_out:
quoted: ''
note: |
  two
  lines
length: 5' 6"
size: '#12 AWG'   # 3 of them
item: #no value here
"""


@pytest.mark.parametrize("loader", [yaml.BaseLoader, getattr(yaml, "CBaseLoader", yaml.BaseLoader)])
def test_scalars_stay_what_was_typed(monkeypatch, loader):
    monkeypatch.setattr(reader, "LOADER", loader)
    file = read_text(TYPED, "p.yaml")
    assert file.data == {
        "zip": "02134",
        "country": "NO",
        "bond": "no",
        "time": "12:30",
        "version": "3.10",
        "tag": "1E5",
        "date": "2026-05-14",
        "serial": "010",
        "name": "Null",
        "nothing": None,
        "left_out": None,
        "quoted": "",
        "note": "two\nlines",
        "length": "5' 6\"",
        "size": "#12 AWG",
        "item": None,
    }
    assert file.position(("length",)) == (17, 9)
    assert file.key_position(("length",)) == (17, 1)


def test_byte_order_mark_and_crlf_do_not_move_places(tmp_path):
    path = tmp_path / "p.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: b\r\ncaf\xc3\xa9:\r\n  x: y\r\n")
    file = read_yaml_file(path)
    assert file.data == {"a": "b", "café": {"x": "y"}}
    assert file.key_position(("a",)) == (1, 1)
    assert file.position(("café", "x")) == (3, 6)


def test_pasted_spaces_and_letters_become_plain():
    file = read_text("a: x\xa0y\u202fz\nb: 'cafe\u0301'\nc: 'p\tq'\n", "p.yaml")
    assert file.data == {"a": "x y z", "b": "café", "c": "p q"}


def test_anchors_without_aliases_are_harmless():
    assert read_text("a: &x y\n", "p.yaml").data == {"a": "y"}


def test_explicit_core_tags_are_harmless():
    assert read_text("a: !!str 010\nb: !!int 7\n", "p.yaml").data == {"a": "010", "b": "7"}


@pytest.mark.parametrize(
    ("location", "place", "key_place", "where"),
    [
        (("eq", 1, "kind"), (4, 11), (4, 5), "eq[2].kind"),
        (("eq", 1, "battery", "kind"), (4, 11), (4, 5), "eq[2].kind"),  # a validator's name of a union branch
        (("eq", 1, "missing"), (4, 5), (4, 5), "eq[2]"),  # the nearest ancestor; an item of a list has no key
        (("nowhere",), (1, 1), (1, 1), ""),
    ],
)
def test_locations_of_a_validator(location, place, key_place, where):
    file = read_text("eq:\n  - kind: pv\n    n: 1\n  - kind: ess\n", "p.yaml")
    assert file.position(location) == place
    assert file.key_position(location) == key_place
    assert path_text(file.positions.existing(location)) == where
    assert str(file.problem(location, "is odd")) == f"p.yaml:{place[0]}:{place[1]}: {where + ': ' if where else ''}is odd"


@given(st.text(max_size=80))
@examples(400)
def test_any_text_ends_in_data_or_problems(text):
    _reads_or_refuses(text)


YAML_LIKE = st.lists(
    st.sampled_from(
        [
            "a",
            "b: ",
            "c",
            ":",
            " ",
            "  ",
            "\n",
            "\n  ",
            "- ",
            "[",
            "]",
            "{",
            "}",
            ",",
            "'",
            '"',
            "#",
            " #6",
            "&x ",
            "*x",
            "!t ",
            "!!int ",
            "? ",
            '? "a\\nb"',
            "|\n",
            ">-\n",
            "---\n",
            "...\n",
            "%YAML 1.1\n",
            "%TAG ! x\n",
            "\t",
            "\xa0",
            "\\",
            "\\x00",
            "\\U0010FFFF",
            "<<: ",
            "~",
            "\r",
            "\ufeff",
            "é",
            "@",
            '"',
            "12 AWG",
        ]
    ),
    max_size=30,
).map("".join)


@given(YAML_LIKE)
@examples(600)
def test_any_pieces_of_yaml_end_in_data_or_problems(text):
    _reads_or_refuses(text)


def _reads_or_refuses(text):
    for loader in (yaml.BaseLoader, getattr(yaml, "CBaseLoader", yaml.BaseLoader)):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(reader, "LOADER", loader)
            data, problems = _outcome(lambda: read_text(text, "p.yaml"))
        lines = text.splitlines() or [""]
        assert isinstance(data, dict) or problems
        assert all(1 <= problem.line <= len(lines) + 1 and problem.column >= 1 for problem in problems)
        assert all("\n" not in str(problem) for problem in problems)


def _outcome(read):
    try:
        return read().data, ()
    except ProblemsError as refused:
        return None, refused.problems


@given(st.binary(max_size=60) | st.binary(max_size=20).map(lambda tail: b"a: b\nc:" + tail))
@examples(300)
def test_any_bytes_end_in_data_or_problems(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_bytes(content)
    data, problems = _outcome(lambda: read_yaml_file(path))
    assert isinstance(data, dict) or problems
