"""Builds nested text from YAML events, notes where everything stands, and refuses what a project file never needs.

Events, not the parser's own tree: they show aliases, explicit tags and quoting, and deep nesting costs no recursion.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

import yaml
from yaml import events

from permitgen.reading.characters import cleaned, cleaned_key, refused_character
from permitgen.reading.positions import Path, Place, Positions, path_text
from permitgen.reading.problems import Problem, ProblemsError, quoted

Tree = str | None | list["Tree"] | dict[str, "Tree"]

MOST_NODES = 50_000
DEEPEST = 32
_DEEPEST_SHOWN = 8
_LONGEST_KEY = 100

_CORE = "tag:yaml.org,2002:"
_CORE_TAGS = {None, "!", *(_CORE + kind for kind in ("str", "int", "float", "bool", "null", "timestamp", "map", "seq"))}
# `Null` and `NULL` stay text: both are also people's names.
_WRITTEN_NULLS = {"", "~", "null"}
_HASH_NUMBER = re.compile(r"[ \t]#[ \t]*[0-9]")
_EMPTY_THEN_HASH = re.compile(r"[ \t]*(#)[ \t]*([0-9].*)")
_TEXT_THEN_HASH = re.compile(r"[^#]*?[ \t](#[0-9].*)")


def tree_at(tree: Tree, path: Sequence[str | int]) -> Tree:
    """Return what stands at a path of a tree, None where nothing does."""
    for step in path:
        if isinstance(tree, dict):
            tree = tree.get(str(step))
        else:
            tree = tree[step] if isinstance(tree, list) and isinstance(step, int) and step < len(tree) else None
    return tree


@dataclass(slots=True)
class _Open:
    """A list or mapping whose end has not come yet; ``key`` is the one that waits for its value."""

    holds: dict[str, Tree] | list[Tree]
    path: Path
    key: str | None = None


class TreeBuilder:
    """Takes events one by one; afterwards ``top``, ``positions`` and ``problems`` hold the result."""

    def __init__(self, file: str, text: str, lines: list[str]) -> None:
        self.file = file
        self.top: Tree = None
        self.positions = Positions()
        self.problems: list[Problem] = []
        self._lines = lines
        self._open: list[_Open] = []
        self._nodes = 0
        self._documents = 0
        self._lines_with_hash = _lines_with_hash(text, lines)
        self._value_ends: dict[int, tuple[int, Path]] = {}
        self._take: dict[type, Callable[[Any], None]] = {
            events.ScalarEvent: self._scalar,
            events.MappingStartEvent: self._start_mapping,
            events.SequenceStartEvent: self._start_list,
            events.MappingEndEvent: self._end,
            events.SequenceEndEvent: self._end,
            events.AliasEvent: self._alias,
            events.DocumentStartEvent: self._document,
        }

    def build(self, text: str, loader: Any) -> None:
        """Feed every event of ``text``.

        Raises:
            yaml.YAMLError: the syntax is broken.
            ProblemsError: a form that makes the rest unreadable.
        """
        take = self._take
        for event in yaml.parse(text, Loader=loader):
            handler = take.get(type(event))
            if handler is not None:
                handler(event)
        self._report_lost_text()

    def _scalar(self, event: Any) -> None:
        if self._open and self._open[-1].key is None and isinstance(self._open[-1].holds, dict):
            self._key(self._open[-1], event)
            return
        path = self._place(event)
        text = event.value
        if not event.style:
            if text in _WRITTEN_NULLS:
                self._check_nothing(event.end_mark, path)
                self._attach(None)
                return
        elif event.style == '"':
            self._check_characters(text, path)
        if self._lines_with_hash and event.style not in {"|", ">"}:
            self._value_ends[event.end_mark.line] = (event.end_mark.column, path)
        self._attach(cleaned(text))

    def _check_nothing(self, end: Any, path: Path) -> None:
        """Refuse ``size: #12 AWG``, of which YAML reads nothing at all."""
        if end.line not in self._lines_with_hash:
            return
        found = _EMPTY_THEN_HASH.match(self._lines[end.line], end.column)
        if found is not None:
            lost = found.group(2).strip()
            self._refuse((end.line + 1, found.start(1) + 1), path, f"{quoted('#' + lost)} starts a comment; write {quoted(lost)}")

    def _key(self, parent: _Open, event: Any) -> None:
        self._count()
        key = cleaned_key(event.value)
        place = (event.start_mark.line + 1, event.start_mark.column + 1)
        path = (*parent.path, key)
        if event.tag not in _CORE_TAGS:
            self._refuse(place, path, f"the tag {_short(event.tag)} is not read; leave it out")
        if event.style == '"':
            self._check_characters(event.value, path, place)
        if key == "<<" and not event.style:
            self._refuse(place, parent.path, 'merge keys ("<<") are not read; write the keys out')
        elif not key:
            self._refuse(place, parent.path, "a key is missing in front of the colon")
        elif len(key) > _LONGEST_KEY:
            self._refuse(place, parent.path, f"the key {quoted(key)} is too long; at most {_LONGEST_KEY} characters are read")
            key = key[:_LONGEST_KEY]
        elif key in parent.holds:
            self._refuse(place, path, f"the key {quoted(key)} is given twice, first on line {self.positions.keys[path][0]}")
        else:
            self.positions.keys[path] = place
        parent.key = key

    def _start_mapping(self, event: events.MappingStartEvent) -> None:
        self._start(event, {})

    def _start_list(self, event: events.SequenceStartEvent) -> None:
        self._start(event, [])

    def _start(self, event: Any, holds: dict[str, Tree] | list[Tree]) -> None:
        if self._open and self._open[-1].key is None and isinstance(self._open[-1].holds, dict):
            self._stop(event, 'a key must be plain text, not a list or a mapping; put text that begins with "{" or "[" in quotes')
        path = self._place(event)
        self._attach(holds)
        if len(self._open) == DEEPEST:
            self._stop(event, f"nested too deeply; at most {DEEPEST} levels are read")
        self._open.append(_Open(holds, path))

    def _end(self, _: events.CollectionEndEvent) -> None:
        self._open.pop()

    def _alias(self, event: events.AliasEvent) -> None:
        name = quoted(f"*{event.anchor}")
        message = f"{name} refers to another part of the file, which is not read; write the text out, or put it in quotes"
        if self._open and self._open[-1].key is None and isinstance(self._open[-1].holds, dict):
            self._stop(event, message)
        path = self._place(event)
        self._refuse(self.positions.values[path], path, message)
        self._attach(None)

    def _document(self, event: events.DocumentStartEvent) -> None:
        self._documents += 1
        if self._documents > 1:
            self._stop(event, 'a second document starts here ("---"); one file holds one document')
        if event.tags:
            self._stop(event, 'a "%TAG" line is not read; leave it out')

    def _place(self, event: Any) -> Path:
        """Note where a value starts, and return its path."""
        self._count()
        path: Path = ()
        if self._open:
            parent = self._open[-1]
            path = (*parent.path, len(parent.holds) if parent.key is None else parent.key)
        place = (event.start_mark.line + 1, event.start_mark.column + 1)
        self.positions.values[path] = place
        if not isinstance(event, events.AliasEvent) and event.tag not in _CORE_TAGS:
            self._refuse(place, path, f"the tag {_short(event.tag)} is not read; leave it out, or put the text in quotes")
        return path

    def _attach(self, value: Tree) -> None:
        if not self._open:
            self.top = value
            return
        parent = self._open[-1]
        if isinstance(parent.holds, list):
            parent.holds.append(value)
        elif parent.key is not None:
            parent.holds[parent.key] = value
            parent.key = None

    def _count(self) -> None:
        self._nodes += 1
        if self._nodes > MOST_NODES:
            self._refuse((1, 1), (), f"the file holds more than {MOST_NODES} keys and values")
            raise ProblemsError(self.problems)

    def _check_characters(self, text: str, path: Path, place: Place | None = None) -> None:
        refusal = refused_character(text)
        if refusal is not None:
            self._refuse(place or self.positions.values[path], path, refusal)

    def _refuse(self, place: Place, path: Path, message: str) -> None:
        self.problems.append(Problem(self.file, *place, path_text(path), message))

    def _stop(self, event: Any, message: str) -> NoReturn:
        path = self._open[-1].path[:_DEEPEST_SHOWN] if self._open else ()
        self._refuse((event.start_mark.line + 1, event.start_mark.column + 1), path, message)
        raise ProblemsError(self.problems)

    def _report_lost_text(self) -> None:
        """Refuse ``conductors: 3 #6, 1 #10``, of which YAML reads only the 3."""
        for line in self._lines_with_hash & self._value_ends.keys():
            column, path = self._value_ends[line]
            found = _TEXT_THEN_HASH.match(self._lines[line], column)
            if found is not None:
                message = f'"{found.group(1).strip()}" starts a comment and is not read; quote the whole text, or put a space after "#"'
                self._refuse((line + 1, found.start(1) + 1), path, message)


def _lines_with_hash(text: str, lines: list[str]) -> set[int]:
    if _HASH_NUMBER.search(text) is None:
        return set()
    return {number for number, line in enumerate(lines) if _HASH_NUMBER.search(line)}


def _short(tag: str | None) -> str:
    return quoted((tag or "").replace(_CORE, "!!"))
