"""What was found in the projects of a shelf, and whether a thing answers to the words that are looked for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

KINDS = ("equipment", "device", "circuit", "load", "label there", "label printed")
"""Kinds of things: ``label there`` hangs on existing equipment, ``label printed`` is one of the package that was built."""
_FIGURE = re.compile(r"(\d) (?=(?:m?a|ka|k?v|k?va|k?w|k?wh|p|ah|awg|kcmil|hp|in|ft)(?!\w))")
_AROUND = r"\w.,/-"


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing: what it is, its tag or name, what is said of it, where it is, and the file, line and column where that stands.

    ``says`` is what is looked through; it holds the tag, too.
    """

    kind: str
    tag: str
    says: str
    place: str
    file: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Found:
    """A thing with the project that it is of. ``contacts`` are the owner's, empty where they are not asked for."""

    thing: Thing
    project_file: str
    project: str
    address: str
    contacts: tuple[str, ...] = ()


def answers(says: str, words: Sequence[str]) -> bool:
    """Whether every one of ``words`` stands in ``says`` as a whole word or, where it holds spaces, as whole words.

    Capitals do not matter, nor a space between a number and its unit; ``*`` stands for any letters and figures.
    """
    text = _plain(says)
    return all(_pattern(word).search(text) for word in words)


def _plain(text: str) -> str:
    return _FIGURE.sub(r"\1", " ".join(text.casefold().split()))


def _pattern(word: str) -> re.Pattern[str]:
    parts = (re.escape(part) for part in _plain(word).split("*"))
    return re.compile(rf"(?<![{_AROUND}]){rf'[{_AROUND}]*'.join(parts)}(?![\w])(?![.,/-]\w)")


def found_lines(found: Iterable[Found]) -> list[str]:
    """Return one line for each thing, and under it the owner's contacts where they are there."""
    lines: list[str] = []
    for each in found:
        thing = each.thing
        said = "; ".join(part for part in (thing.place, each.project, each.address) if part)
        lines.append(f"{thing.file}:{thing.line}:{thing.column}: {thing.kind} {thing.tag}: {said}")
        lines += [f"    {contact}" for contact in each.contacts]
    return lines
