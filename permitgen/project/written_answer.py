"""Puts one value into the text of a project file at its key; nothing else of the text changes, no comment is lost.

Not a writer of YAML: the place is found in the events of the reader, and a line is inserted or one value replaced. What the text says
afterwards is read back and compared, so that a form that is not foreseen here ends in a refusal and never in another file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

import yaml

from permitgen.project.quantity_words import is_unknown
from permitgen.project.starting.file_text import flow, scalar
from permitgen.reading.characters import cleaned_key, line_starts, split_lines
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import LOADER, read_text

# The mark of a draft behind a value that nobody had read yet.
_OPEN_MARK = re.compile(r"#\s*open\b.*")
_INDENT = "  "


class NoPlaceError(ValueError):
    """The text has no place for the value; the message follows the key."""


@dataclass(frozen=True, slots=True)
class WrittenAnswer:
    """A value for the key at ``path``: one text, or the sources of figures by what they state; ``comment`` says who told it."""

    path: tuple[str, ...]
    value: str | dict[str, str]
    comment: str


def with_answer(text: str, answer: WrittenAnswer) -> str:
    """Return the text of a project file with an answer in it.

    Raises:
        NoPlaceError: the file has no place for it that leaves everything else as it is.
    """
    before = read_text(text, "").data
    changed = _changed(text, answer)
    require_read_back(changed, _with(deepcopy(before), answer))
    return changed


def require_read_back(text: str, expected: Mapping[str, Any]) -> None:
    """Require that a text says what was to be put in, and all else as before.

    Raises:
        NoPlaceError: it does not, or it cannot be read.
    """
    try:
        after = read_text(text, "").data
    except ProblemsError as error:
        raise NoPlaceError("has no place in the file where it reads back") from error
    if after != expected:
        raise NoPlaceError("has no place in the file that leaves all else as it is")


def _with(data: dict[str, Any], answer: WrittenAnswer) -> dict[str, Any]:
    holder: Any = data
    for step in answer.path[:-1]:
        below = holder.get(step)
        if not isinstance(below, dict):
            below = holder[step] = {}
        holder = below
    value = answer.value
    holder[answer.path[-1]] = value if isinstance(value, str) else dict(value)
    return data


def _changed(text: str, answer: WrittenAnswer) -> str:
    top = yaml.compose(text, Loader=LOADER)
    node, rest = _nearest(top, answer.path)
    if not rest or _is_left_open(node):
        return _replaced(text, node, rest, answer)
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise NoPlaceError("stands below something that is no mapping")
    return _in_told(text, node, rest, answer) if node.flow_style else _in_block(text, node, rest, answer)


def _is_left_open(node: yaml.Node) -> bool:
    return isinstance(node, yaml.ScalarNode) and is_unknown(node.value)


def _nearest(top: yaml.Node | None, path: tuple[str, ...]) -> tuple[yaml.Node, tuple[str, ...]]:
    """Return the deepest node that the path leads to, and the steps that lead on."""
    if top is None:
        raise NoPlaceError("stands in an empty file")
    node = top
    for depth, step in enumerate(path):
        entries = node.value if isinstance(node, yaml.MappingNode) else []
        below = next((value for key, value in entries if isinstance(key, yaml.ScalarNode) and cleaned_key(key.value) == step), None)
        if below is None:
            return node, path[depth:]
        node = below
    return node, ()


def _told(rest: tuple[str, ...], answer: WrittenAnswer) -> str:
    """Return the value on one line, below the steps that the file lacks."""
    told = flow(answer.value)
    for step in reversed(rest):
        told = f"{{{scalar(step)}: {told}}}"
    return told


def _replaced(text: str, node: yaml.Node, rest: tuple[str, ...], answer: WrittenAnswer) -> str:
    if not _is_left_open(node) or node.start_mark.line != node.end_mark.line:
        raise NoPlaceError("is stated already")
    start, end = node.start_mark.index, node.end_mark.index
    line_end = _line_end(text, end)
    return text[:start] + _told(rest, answer) + _commented(text[end:line_end], answer) + text[line_end:]


def _in_told(text: str, node: yaml.MappingNode, rest: tuple[str, ...], answer: WrittenAnswer) -> str:
    at = node.value[-1][1].end_mark.index
    line_end = _line_end(text, at)
    entry = f", {scalar(rest[0])}: {_told(rest[1:], answer)}"
    return text[:at] + entry + _commented(text[at:line_end], answer) + text[line_end:]


def _in_block(text: str, node: yaml.MappingNode, rest: tuple[str, ...], answer: WrittenAnswer) -> str:
    """Insert the lines of the entry behind the last line of the mapping, or in place of the line with which a draft left it open."""
    lines = split_lines(text)
    indent = " " * node.value[0][0].start_mark.column
    heads = [f"{indent}{_INDENT * depth}{scalar(step)}:" for depth, step in enumerate(rest)]
    heads[-1] += f" {_told((), answer)}  # {answer.comment}"
    after = _last_line(node.value[-1][1], lines) + 1
    left_open = _left_open(lines, node.value[0][0].start_mark.line, after, f"{indent}# {rest[0]}: open")
    begin, end = (after, after) if left_open is None else (left_open, left_open + 1)
    newline = "\r\n" if "\r\n" in text else "\n"
    before, behind = text[: _offset_of_line(text, begin)], text[_offset_of_line(text, end) :]
    before += "" if before.endswith(("\n", "\r")) else newline
    return before + "".join(f"{line}{newline}" for line in heads) + behind


def _left_open(lines: list[str], first: int, after: int, mark: str) -> int | None:
    """Return the line on which a draft says that a key of a mapping is open: among its lines, or among the comments behind them."""
    last = after
    while last < len(lines) and lines[last].lstrip().startswith("#"):
        last += 1
    return next((number for number in range(first, last) if re.match(rf"{re.escape(mark)}\b", lines[number])), None)


def _last_line(node: yaml.Node, lines: list[str]) -> int:
    """Return the line, from 0, on which what a node holds ends."""
    while isinstance(node, yaml.CollectionNode) and node.value and not node.flow_style:
        last = node.value[-1]
        node = last[1] if isinstance(node, yaml.MappingNode) else last
    line: int = node.end_mark.line
    if node.end_mark.column == 0 and line > node.start_mark.line:
        line -= 1
        while line > node.start_mark.line and not lines[line].strip():
            line -= 1
    return line


def _offset_of_line(text: str, number: int) -> int:
    """Return where a line, from 0, begins; the end of the text where it has no such line."""
    starts = line_starts(text)
    return starts[number] if number < len(starts) else len(text)


def _line_end(text: str, at: int) -> int:
    found = re.compile("[\r\n]").search(text, at)
    return found.start() if found is not None else len(text)


def _commented(behind: str, answer: WrittenAnswer) -> str:
    """Return what stands behind a value on its line, with the comment: in place of the mark of a draft, else behind what others wrote."""
    found = re.search(r"(?:^|\s)(#.*)$", behind)
    if found is None:
        return f"{behind.rstrip()}  # {answer.comment}"
    kept, told = behind[: found.start(1)], found.group(1)
    return f"{kept}# {answer.comment}" if _OPEN_MARK.fullmatch(told) else f"{kept}{told}; {answer.comment}"
