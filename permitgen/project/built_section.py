"""Adds to the section ``built`` of a project file's text; every other line of the file stays as it is, to the byte.

The section itself goes through a YAML library that keeps comments, quotes and order. It is needed only here, so it is an
optional part of the installation.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from typing import Any

from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import ReadFile

_TOP_LEVEL = re.compile(r"[^\s#].*")


class NotInstalledError(RuntimeError):
    """The part of the installation that writes into project files is missing; the message says how to add it."""


def built_section_text(file: ReadFile, results: Sequence[dict[str, Any]], departures: Sequence[dict[str, str]]) -> str:
    """Return the text of ``file`` with results and departures appended to its section ``built``.

    Raises:
        NotInstalledError: the optional part ``record`` is not installed.
        ProblemsError: the section is written in a form that cannot be added to.
    """
    lines = file.text.replace("\r\n", "\n").split("\n")
    start, end = _section(file, lines)
    block = "\n".join(lines[start:end]) + "\n" if start < end else "built:\n"
    fresh = _extended(block, results, departures, file)
    before = lines[:start]
    if start == end:
        while before and not before[-1].strip():
            before.pop()
        before.append("")
    return "\n".join([*before, fresh.rstrip("\n"), *(lines[end:] if lines[end:] else [""])])


def _section(file: ReadFile, lines: list[str]) -> tuple[int, int]:
    """Return first and one past the last line of the section; both the end of the file where there is none."""
    if "built" not in file.data:
        return len(lines), len(lines)
    line, column = file.key_position(("built",))
    if column != 1:
        message = "the file is written in braces; results can be added only to sections that begin a line"
        raise ProblemsError([Problem(file.file, line, column, "built", message)])
    end = next((number for number in range(line, len(lines)) if _TOP_LEVEL.match(lines[number])), len(lines))
    while end > line and (not lines[end - 1].strip() or lines[end - 1].startswith("#")):
        end -= 1
    return line - 1, end


def _extended(block: str, results: Sequence[dict[str, Any]], departures: Sequence[dict[str, str]], file: ReadFile) -> str:
    try:
        from ruamel.yaml import YAML
        from ruamel.yaml.comments import CommentedMap, CommentedSeq
    except ImportError as error:
        raise NotInstalledError('adding field results needs the part "record" of this program; install permitgen[record]') from error
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 100_000
    yaml.indent(mapping=2, sequence=4, offset=2)
    top: Any = yaml.load(block)
    if top.get("built") is None:
        top["built"] = CommentedMap()
    if not isinstance(top["built"], dict):
        raise ProblemsError([file.problem(("built",), "expected a mapping with departures and results")])
    for key, items in (("departures", departures), ("results", results)):
        if not items:
            continue
        if top["built"].get(key) is None:
            top["built"][key] = CommentedSeq()
        top["built"][key].extend(_on_one_line(item) for item in items)
    out = io.StringIO()
    yaml.dump(top, out)
    return out.getvalue()


def _on_one_line(item: dict[str, Any]) -> Any:
    """Return a mapping that is written in braces on one line, every value in quotes: one result, one line to review."""
    from ruamel.yaml.comments import CommentedMap
    from ruamel.yaml.scalarstring import DoubleQuotedScalarString

    mapping = CommentedMap()
    for key, value in item.items():
        mapping[key] = _on_one_line(value) if isinstance(value, dict) else DoubleQuotedScalarString(value)
    mapping.fa.set_flow_style()
    return mapping
