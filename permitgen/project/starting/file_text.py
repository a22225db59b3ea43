"""Writes a draft as the text of a project file: every value with what it rests on, what is open with who knows it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from permitgen.project.starting.drafting import Branch, Leaf, Mark

SCHEMA_FILE = "project.schema.json"
_WIDTH = 100
_NOT_USED = "Answered, but not asked of a house that is laid out like this one, and not used"
_PLAIN = re.compile(r"[-+]?[A-Za-z0-9](?:[A-Za-z0-9 ./°²³%Ω_()+*'-]*[A-Za-z0-9.°²³%Ω_)])?")
_HEAD = f"""\
# yaml-language-server: $schema={SCHEMA_FILE}
#
# Behind each value stands what it rests on:
#   stated   somebody read it there; write the paper and its day in its place: busbar: {{200 A: label in the door 2026-03-02}}
#   typical  a name or a word for the papers; nothing is computed from it
#   open     nobody has read it yet; in brackets who knows it: write the value in place of unknown, or the key where it is left out
# A line without a mark follows from the layout that stands above its entry. What is left out besides is sized, or not judged.
# "permitgen check" lists what fails and who can answer what is open.
"""


def project_text(file: Branch, remarks: Mapping[str, Any] | None = None) -> str:
    """Return the text of a project file, which reads back as the draft; ``remarks`` stand below it as comments."""
    lines = [_HEAD]
    for key, below in file.below.items():
        if isinstance(below, Branch):
            lines += ["", *_entry(key, below, 0)]
        else:
            lines += _value(key, below, 0)
    if remarks:
        lines += ["", f"# {_NOT_USED}:", *(f"#   {key}: {' '.join(flow(value).split())}" for key, value in remarks.items())]
    return "\n".join(lines) + "\n"


def _entry(key: str, branch: Branch, depth: int) -> Iterator[str]:
    indent = "  " * depth
    if depth == 1 and branch.cases:
        yield f"{indent}# {'; '.join(branch.cases)}"
    if all(name.isdecimal() for name in branch.below):
        yield f"{indent}{key}:"
        for below in branch.below.values():
            yield from _item(below, depth + 1)
        return
    if _has_no_value(branch):
        yield f"{indent}# {scalar(key)}: nothing of it is known yet"
    else:
        yield f"{indent}{scalar(key)}:"
    for name, below in branch.below.items():
        yield from _entry(name, below, depth + 1) if isinstance(below, Branch) else _value(name, below, depth + 1)


def _has_no_value(branch: Branch) -> bool:
    return all(_has_no_value(below) if isinstance(below, Branch) else below.text is None for below in branch.below.values())


def _item(below: Branch | Leaf, depth: int) -> Iterator[str]:
    indent = "  " * depth
    if isinstance(below, Leaf):
        yield f"{indent}- {flow(below.text)}{_comment(below)}"
        return
    lines = [line for name, value in below.below.items() if isinstance(value, Leaf) for line in _value(name, value, 0)]
    first = next(index for index, line in enumerate(lines) if not line.startswith("#"))
    for index, line in enumerate(lines):
        yield f"{indent}{'- ' if index == first else '  '}{line}"


def _value(key: str, leaf: Leaf, depth: int) -> Iterator[str]:
    indent = "  " * depth
    if leaf.text is None:
        yield f"{indent}# {key}: {_says(leaf)}"
        return
    if isinstance(leaf.text, str) and "\n" in leaf.text:
        yield f"{indent}# {_says(leaf)}"
        yield f"{indent}{key}: |"
        yield from (f"{indent}  {line.rstrip()}" for line in leaf.text.strip("\n").split("\n"))
        return
    line = f"{indent}{scalar(key)}: {flow(leaf.text)}"
    comment = _comment(leaf)
    if len(line + comment) > _WIDTH:
        yield f"{indent}# {_says(leaf)}"
        yield line
    else:
        yield line + comment


def _comment(leaf: Leaf) -> str:
    return "" if leaf.mark is Mark.FOLLOWS else f"  # {_says(leaf)}"


def _says(leaf: Leaf) -> str:
    mark = f"{leaf.mark.value} ({leaf.knows})" if leaf.knows else leaf.mark.value
    return " ".join(f"{mark}: {leaf.says}".split()).removesuffix(":")


def flow(value: Any) -> str:
    """Return a value on one line: a text, a list or a mapping."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{scalar(key)}: {flow(below)}" for key, below in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(below) for below in value) + "]"
    return scalar(value)


def scalar(text: str) -> str:
    """Return a text as YAML reads it back: plain where nothing in it has a meaning of its own, else in quotes."""
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)
