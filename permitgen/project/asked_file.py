"""The memory of a department: what its jurisdiction file keeps of earlier comments, and how a comment is put into it as text.

Like an answer of the survey, a demand is put into the text at its place; nothing else of the file changes, no comment is lost, and what the
text says afterwards is read back and compared.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import yaml
from pydantic import ValidationError

from permitgen.project.asked_demands import demand_of
from permitgen.project.copied_file import mapping
from permitgen.project.messages import problems_of
from permitgen.project.sections.asked import AskedModel
from permitgen.project.starting.file_text import flow, scalar
from permitgen.project.written_answer import NoPlaceError, require_read_back
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import LOADER, ReadFile, read_text
from permitgen.system.asked import AskedBefore, Demand

if TYPE_CHECKING:
    from collections.abc import Mapping

_ASKED, _JURISDICTION = "asked", "jurisdiction"
_INDENT = "  "
_KEYS = {
    "about": "for",
    **{name: name for name in ("states", "of", "at_least", "at_most", "shows", "on", "attaches", "answer", "section")},
    "only_with": "with",
    "not_with": "without",
}
"""How a jurisdiction file calls the parts of a demand."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A demand to be kept: the number of the project in which it was made, the day, and what answered it (empty: nothing yet)."""

    demand: Demand
    project: str
    day: str
    answered: str


def memory_of(file: ReadFile) -> tuple[AskedBefore, ...]:
    """Return what a jurisdiction file keeps of what was asked for.

    Raises:
        ProblemsError: an entry is none; every problem, in file order.
    """
    entries: Any = mapping(file.data.get(_JURISDICTION)).get(_ASKED) or []
    found: list[AskedBefore] = []
    problems: list[Problem] = []
    for index, entry in enumerate(entries if isinstance(entries, list) else [entries]):
        at = (_JURISDICTION, _ASKED, index)
        try:
            given = AskedModel.model_validate(entry)
        except ValidationError as error:
            below = [{**each, "loc": (*at, *each["loc"])} for each in error.errors()]
            problems += problems_of(below, file, lambda location: location)
            continue
        found.append(AskedBefore(demand=demand_of(given), asked_in=dict(given.in_), answered_by=dict(given.answered)))
    if problems:
        raise ProblemsError(problems)
    return tuple(found)


def with_demand(text: str, kept: Kept) -> str:
    """Return the text of a jurisdiction file with a demand in it: beside the others, or as one more project in which it was made.

    Raises:
        NoPlaceError: the file has no place for it that leaves everything else as it is.
    """
    before: dict[str, Any] = dict(read_text(text, "").data)
    asked: Any = mapping(before.get(_JURISDICTION)).get(_ASKED) or []
    index = next((number for number, entry in enumerate(asked) if _is_same(entry, kept.demand)), None)
    if index is not None and kept.project in mapping(asked[index].get("in")):
        return text
    expected = deepcopy(before)
    if index is None:
        changed = _with_entry(text, kept)
        expected[_JURISDICTION][_ASKED] = [*asked, _entry(kept)]
    else:
        changed = _asked_again(text, index, kept)
        _add_project(expected[_JURISDICTION][_ASKED][index], kept)
    require_read_back(changed, expected)
    return changed


def _is_same(entry: Mapping[str, Any], demand: Demand) -> bool:
    """Whether an entry is looked for as the demand is, whatever its words."""
    try:
        return demand_of(AskedModel.model_validate(entry)).looked_for == demand.looked_for
    except ValidationError:
        return False


def _entry(kept: Kept) -> dict[str, Any]:
    told = {key: getattr(kept.demand, name) for name, key in _KEYS.items() if getattr(kept.demand, name)}
    demand = {key: list(value) if isinstance(value, tuple) else value for key, value in told.items()}
    answered = {"answered": {kept.project: kept.answered}} if kept.answered else {}
    return {**demand, "in": {kept.project: kept.day}, **answered}


def _add_project(entry: dict[str, Any], kept: Kept) -> None:
    entry["in"][kept.project] = kept.day
    if kept.answered:
        entry.setdefault("answered", {})[kept.project] = kept.answered


def _with_entry(text: str, kept: Kept) -> str:
    """Return the text with a new entry behind the others, or as the first in the section."""
    section = _node(yaml.compose(text, Loader=LOADER), _JURISDICTION)
    listed = _value(section, _ASKED)
    if listed is None:
        indent = " " * section.value[0][0].start_mark.column
        return _inserted(text, section, [f"{indent}{_ASKED}:", *_lines(_entry(kept), indent + _INDENT)])
    if not isinstance(listed, yaml.SequenceNode) or listed.flow_style or not listed.value:
        raise NoPlaceError("has no place in a list that stands on one line; write each entry on a line of its own")
    # An entry begins behind its hyphen, whose column is that of the list.
    return _inserted(text, listed, _lines(_entry(kept), " " * listed.start_mark.column))


def _lines(entry: Mapping[str, Any], indent: str) -> list[str]:
    lines = [f"{scalar(key)}: {flow(value)}" for key, value in entry.items()]
    return [f"{indent}- {lines[0]}", *(f"{indent}{_INDENT}{line}" for line in lines[1:])]


def _asked_again(text: str, index: int, kept: Kept) -> str:
    """Return the text in which an entry names one more project."""
    section = _node(yaml.compose(text, Loader=LOADER), _JURISDICTION)
    listed = _value(section, _ASKED)
    entry = listed.value[index] if isinstance(listed, yaml.SequenceNode) else None
    wanted = [("in", kept.day), *([("answered", kept.answered)] if kept.answered else [])]
    for key, value in reversed(wanted):
        told = _value(entry, key)
        if told is None and isinstance(entry, yaml.MappingNode) and not entry.flow_style:
            indent = " " * entry.value[0][0].start_mark.column
            text = _inserted(text, entry, [f"{indent}{key}: {flow({kept.project: value})}"])
        elif isinstance(told, yaml.MappingNode) and told.flow_style and told.value:
            at = told.value[-1][1].end_mark.index
            text = f"{text[:at]}, {scalar(kept.project)}: {scalar(value)}{text[at:]}"
        elif isinstance(told, yaml.MappingNode) and told.value:
            indent = " " * told.value[0][0].start_mark.column
            text = _inserted(text, told, [f"{indent}{scalar(kept.project)}: {scalar(value)}"])
        else:
            raise NoPlaceError("has no place in an entry that stands on one line")
    return text


def _node(top: yaml.Node | None, key: str) -> yaml.MappingNode:
    found = _value(top, key)
    if not isinstance(found, yaml.MappingNode) or found.flow_style or not found.value:
        raise NoPlaceError(f"has no place: {key}: has no lines of its own")
    return found


def _value(node: yaml.Node | None, key: str) -> yaml.Node | None:
    entries = node.value if isinstance(node, yaml.MappingNode) else ()
    return next((value for name, value in entries if name.value == key), None)


def _inserted(text: str, behind: yaml.Node, lines: list[str]) -> str:
    """Return the text with lines behind the last line on which a node says something."""
    newline = "\r\n" if "\r\n" in text else "\n"
    end = text.find("\n", _last(behind).end_mark.index)
    before, after = (text + newline, "") if end < 0 else (text[: end + 1], text[end + 1 :])
    return before + "".join(f"{line}{newline}" for line in lines) + after


def _last(node: yaml.Node) -> yaml.Node:
    """Return the last part of a node that ends where its text ends: a block ends only where the next one begins."""
    while isinstance(node, yaml.MappingNode | yaml.SequenceNode) and not node.flow_style and node.value:
        node = node.value[-1][1] if isinstance(node, yaml.MappingNode) else node.value[-1]
    return node
