"""Every form a project file may not use ends in one clear problem at the right place, with either YAML parser.

Lines and columns were counted by hand in the texts below (from 1, in characters).
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from permitgen.reading import reader
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import LARGEST_BYTES, read_text, read_yaml_file
from tests.every_case import every_case

BOTH_PARSERS = [pytest.param(yaml.BaseLoader, id="python"), pytest.param(getattr(yaml, "CBaseLoader", yaml.BaseLoader), id="c")]


@pytest.fixture(params=BOTH_PARSERS, autouse=True)
def _parser(request, monkeypatch):
    monkeypatch.setattr(reader, "LOADER", request.param)


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(ProblemsError) as caught:
        read_text(text, "p.yaml")
    return caught.value.problems


REFUSED = {
    "value lost in a comment": (
        "circuits:\n  C7:\n    size: #12 AWG\n",
        'p.yaml:3:11: circuits.C7.size: "#12 AWG" starts a comment; write "12 AWG"',
    ),
    "value lost after a space": ("size: # 12 AWG\n", 'p.yaml:1:7: size: "#12 AWG" starts a comment; write "12 AWG"'),
    "list at the top": ("- a\n", 'p.yaml:1:1: the file does not start with a key; lines of the form "key: value" were expected'),
    "item lost": ("sizes:\n  - 6 AWG\n  - #12 AWG\n", 'p.yaml:3:5: sizes[2]: "#12 AWG" starts a comment; write "12 AWG"'),
    "half a value lost": (
        "wires: 3 #6, 1 #10\n",
        'p.yaml:1:10: wires: "#6, 1 #10" starts a comment and is not read; quote the whole text, or put a space after "#"',
    ),
    "comment swallows a bracket": ("a: {size: #12 AWG}\nb: c\n", 'p.yaml:1:11: "#12 AWG" starts a comment; write "12 AWG"'),
    "duplicate key": ("length: 5 ft\nname: x\nlength: 6 ft\n", 'p.yaml:3:1: length: the key "length" is given twice, first on line 1'),
    "duplicate key in one line": ("a: {b: 1, b: 2}\n", 'p.yaml:1:11: a.b: the key "b" is given twice, first on line 1'),
    "duplicate key by another spelling of é": ("é: 1\ne\u0301: 2\n", 'p.yaml:2:1: é: the key "é" is given twice, first on line 1'),
    "duplicate key by a non-breaking space": ("a b: 1\na\xa0b: 2\n", 'p.yaml:2:1: a b: the key "a b" is given twice, first on line 1'),
    "alias": ("a: &x y\nb: *x\n", 'p.yaml:2:4: b: "*x" refers to another part of the file, which is not read'),
    "alias to itself": ("a: &x {b: *x}\n", 'p.yaml:1:11: a.b: "*x" refers to another part of the file, which is not read'),
    "merge key": ("a:\n  <<: b\n", 'p.yaml:2:3: a: merge keys ("<<") are not read; write the keys out'),
    "object tag": ("a: !!python/object/apply:os.system [x]\n", 'p.yaml:1:4: a: the tag "!!python/object/apply:os.system" is not read'),
    "binary tag": ("a: !!binary aGk=\n", 'p.yaml:1:4: a: the tag "!!binary" is not read'),
    "local tag": ("a:\n  - !secret x\n", 'p.yaml:2:5: a[1]: the tag "!secret" is not read'),
    "tag on a key": ("!x a: b\n", 'p.yaml:1:1: a: the tag "!x" is not read'),
    "tag line": ("%TAG ! tag:x\n---\na: b\n", 'a "%TAG" line is not read'),
    "list as a key": ("? [a]\n: b\n", "p.yaml:1:3: a key must be plain text"),
    "mapping as a key": ("a: {{ name }}\n", "p.yaml:1:5: a: a key must be plain text"),
    "empty key": ('"": b\n', "p.yaml:1:1: a key is missing in front of the colon"),
    "two documents": ("a: b\n---\nc: d\n", 'p.yaml:2:1: a second document starts here ("---"); one file holds one document'),
    "empty": ("", 'p.yaml:1:1: the file is empty; lines of the form "key: value" were expected'),
    "only comments": ("# nothing\n\n", "p.yaml:1:1: the file is empty"),
    "text at the top": ("hello\n", "p.yaml:1:1: the file does not start with a key"),
    "tab": ("a:\n\tb: c\n", "p.yaml:2:1: a tab in the indentation; indent with spaces"),
    "tab after spaces": ("a:\n  \tb: c\n", "p.yaml:2:3: a tab in the indentation; indent with spaces"),
    "control character": ("a: b\nc: \x07\n", "p.yaml:2:4: the invisible character U+0007 is not allowed; delete it"),
    "delete character": ("a: x\x7f\n", "p.yaml:1:5: the invisible character U+007F is not allowed"),
    "next-line character": ("a: x\x85\n", "p.yaml:1:5: the invisible character U+0085 is not allowed"),
    "zero width space": ("a: MS\u200bP\n", "p.yaml:1:6: the invisible character U+200B (zero width space) is not allowed; delete it"),
    "direction override": ("a: x\u202ey\n", "p.yaml:1:5: the invisible character U+202E (right-to-left override) is not allowed"),
    "noncharacter": ("a: \uffff\n", "p.yaml:1:4: the invisible character U+FFFF is not allowed"),
    "control character by escape": ('a: "x\\ey"\n', "p.yaml:1:4: a: the invisible character U+001B is not allowed"),
    "zero by escape": ('a:\n  b: "\\0"\n', "p.yaml:2:6: a.b: the invisible character U+0000 is not allowed"),
    "surrogate by escape": ('a: "\\ud800"\n', "p.yaml:1:"),
    "beyond Unicode by escape": ('a: "\\U00110000"\n', "p.yaml:1:"),
    "second colon": ("name: Smith: John\n", 'p.yaml:1:12: a second ": " on this line; put a text that holds a colon in quotes'),
    "no space after the colon": ("a:b\nc: d\n", "p.yaml:1:3: a space is needed after the colon"),
    "non-breaking space after the colon": ("a:\xa0b\nc: d\n", "p.yaml:1:3: a non-breaking space follows the colon; type a plain space"),
    "no colon": ("a: b\nccc\nd: e\n", 'p.yaml:2:1: a line "key: value" was expected; this one has no colon'),
    "indented too deep": ("a: b\n  c: d\n", "p.yaml:2:4: this line is indented deeper than the line above it"),
    "indentation fits nothing": ("a:\n   b: 1\n c: 2\n", "p.yaml:3:2: the indentation of this line fits no line above it"),
    "list among keys": ("a: b\n- c\n", "p.yaml:2:1: a list item stands among keys"),
    "open bracket": ("a: [1, 2\nb: c\n", 'p.yaml:1:4: this "[" is never closed'),
    "open brace": ("a: {x: 1\nb: c\n", 'p.yaml:1:4: this "{" is never closed'),
    "open quote": ("a: 'abc\nb: c\n", "p.yaml:1:4: this quotation mark is never closed"),
    "text after a quote": ("a: 'it's'\n", "p.yaml:1:8: nothing may follow here; put the whole text in one pair of quotes"),
    "backslash": ('a: "C:\\photos"\n', "a backslash in double quotes starts an escape sequence"),
    "at sign": ("a: @home\n", "p.yaml:1:4: a text may not begin with this character; put the text in quotes"),
    "star": ("a: * 5\n", 'p.yaml:1:4: "*", "&" and "!" have a meaning of their own'),
    "deep brackets": ("a: " + "[" * 5000 + "\n", "nested too deeply"),
    "deep dashes": ("- " * 5000 + "x\n", "nested too deeply"),
    "long key": ("x" * 200 + ": a\n", 'p.yaml:1:1: the key "' + "x" * 59 + '…" is too long; at most 100 characters are read'),
    "key of two lines": ('? "a\\nb"\n: !x y\n', 'p.yaml:2:3: a b: the tag "!x" is not read'),
    "long text lost in a comment": ("a: #1" + "0" * 900 + "\n", 'starts a comment; write "1' + "0" * 58 + '…"'),
    "tab on an empty line": ("a:\n\t\nb: c\n", "p.yaml:2:1: a tab in the indentation; indent with spaces"),
    "key too long": ("x" * 3000 + ": a\n", "too long for a key"),
}


@every_case(("text", "message"), REFUSED.values())
def test_refused_with_place_and_reason(text, message):
    problems = problems_of(text)
    assert any(message in str(problem) for problem in problems), [str(problem) for problem in problems]


@every_case("text", [text for text, _ in REFUSED.values()])
def test_messages_have_the_house_form(text):
    for problem in problems_of(text):
        assert problem.file == "p.yaml"
        assert problem.line >= 1
        assert problem.column >= 1
        assert "\n" not in str(problem)
        assert not problem.message.endswith(".")
        assert str(problem).startswith(f"p.yaml:{problem.line}:{problem.column}: ")


def test_all_problems_of_a_file_are_reported_in_its_order():
    text = "a: !x 1\nb:\n  c: *q\n  d: #4 AWG\nb: 2\n"
    assert [(problem.line, problem.column) for problem in problems_of(text)] == [(1, 4), (3, 6), (4, 6), (5, 1)]


def test_all_tabs_are_reported():
    assert [(p.line, p.column) for p in problems_of("a:\n\tb: 1\n\tc: 2\n")] == [(2, 1), (3, 1)]


def test_too_many_nodes():
    problems = problems_of("a: [" + "x," * 50_001 + "]\n")
    assert "more than 50000" in str(problems[-1])


def test_nested_anchors_cannot_explode():
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 40)]
    assert len(problems_of("\n".join(lines) + "\n")) == 78


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"a: caf\xe9\n", "p.yaml:1:7: the byte 0xE9 is not UTF-8; save the file as UTF-8"),
        ("né: ü\n".encode() + b"b: \xff\n", "p.yaml:2:4: the byte 0xFF is not UTF-8"),
        ("a: b\n".encode("utf-16"), "p.yaml:1:1: the file is saved as UTF-16; save it as UTF-8"),
        (b"PK\x03\x04\x00\x00", "p.yaml:1:1: this is not a text file"),
        (b"#" * (LARGEST_BYTES + 1), "p.yaml:1:1: the file is larger than 1000 kB"),
    ],
)
def test_files_that_are_not_the_text_expected(tmp_path, content, message):
    path = tmp_path / "p.yaml"
    path.write_bytes(content)
    with pytest.raises(ProblemsError) as caught:
        read_yaml_file(path, shown_as="p.yaml")
    assert str(caught.value).startswith(message)


def test_missing_file_names_the_nearest(tmp_path):
    (tmp_path / "project.yaml").write_text("a: b\n")
    with pytest.raises(ProblemsError, match=r"there is no such file; did you mean \"project\.yaml\""):
        read_yaml_file(tmp_path / "projet.yaml")


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(ProblemsError, match="this is a folder"):
        read_yaml_file(tmp_path)


def test_a_file_where_a_folder_should_be(tmp_path):
    (tmp_path / "x").write_text("a: b\n")
    with pytest.raises(ProblemsError, match="cannot be read"):
        read_yaml_file(tmp_path / "x" / "project.yaml")


def test_the_name_is_shown_as_given():
    with pytest.raises(ProblemsError) as caught:
        read_yaml_file(Path("no/such/project.yaml"))
    assert str(caught.value).startswith("no/such/project.yaml:1:1: there is no such file")


@pytest.mark.parametrize("fill", ["\t", "\x07", " #1 ", "a: #1\n", "\t\n", "'", "# ", "a: b: ", "\xa0", "&a *a "])
def test_a_hostile_megabyte_is_refused_at_once(fill):
    """A scan that goes back over the text for every match would need minutes here."""
    problems_of("a: [" + fill * (400_000 // len(fill)))
