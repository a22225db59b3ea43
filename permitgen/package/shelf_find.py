"""Looks for things in the projects of a shelf: in the project file as it was written, and among the labels of the package beside it.

Its hardware files are looked through with it. The file is read and not built, so that a project whose package is long out of date, or that
no longer builds, is found too.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from html import unescape
from pathlib import Path

from permitgen.package.build import default_folder
from permitgen.package.listed import MANIFEST, NotAPackageError, listed_in
from permitgen.project.copied_file import mapping
from permitgen.project.directories import places_of_lines
from permitgen.project.hardware_files import NAMING_KEYS, names_of_files, read_hardware
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.reading.referenced_file import ReferencedFileError
from permitgen.reading.regular_file import UnreadableFileError, content_of
from permitgen.reading.shared_files import shared_contents, shown_beside
from permitgen.reading.yaml_tree import Tree
from permitgen.views.found import Found, Thing, answers

_TEXT = re.compile(r"<text [^>]*>([^<]*)</text>")
_LARGEST_LABEL = 5_000_000
_OWNER = "owner"
_CONTACTS = ("name", "company", "phone", "email")
_DEVICES = "overcurrent"


@dataclass(frozen=True, slots=True)
class LookedThrough:
    """What was found in a project, and the hardware files that it names and that cannot be read: the rest was looked through."""

    found: tuple[Found, ...]
    problems: tuple[Problem, ...]


def find_in(file: Path, words: Sequence[str], kinds: Sequence[str] = (), *, with_contacts: bool = False) -> LookedThrough:
    """Return what in a project answers to all ``words``, in the order of its file, labels of its package last.

    What an entry of a hardware file says is said of the equipment that names it. ``kinds`` are those of
    ``permitgen.views.found.KINDS`` that count, all where none is named. People are never looked through.

    Raises:
        ProblemsError: the file cannot be read as YAML; whether it is a sound project does not matter here.
    """
    read = read_yaml_file(file)
    project = mapping(read.data.get("project"))
    contacts = tuple(_contacts(project)) if with_contacts else ()
    hardware, problems = _hardware(read, file.parent)
    things = (thing for thing in (*_things(read, hardware), *_printed_labels(file)) if not kinds or thing.kind in kinds)
    found = (thing for thing in things if answers(thing.says, words))
    name, address = (_text(project.get(key)) for key in ("name", "address"))
    return LookedThrough(tuple(Found(thing, read.file, name, address, contacts) for thing in found), problems)


def _hardware(read: ReadFile, folder: Path) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """Return what is said of each entry of the hardware files that a project names; all of it where two describe one name."""
    said: dict[str, str] = {}
    problems: list[Problem] = []
    try:
        named = list(names_of_files(read))
    except ProblemsError as error:
        return said, error.problems
    for location, name in named:
        try:
            contents = shared_contents(folder, name)
        except ReferencedFileError as error:
            problems.append(read.problem(location, str(error)))
            continue
        for each, content in contents.items():
            try:
                entries = _entries(content)
            except ProblemsError as error:
                problems += [replace(problem, file=shown_beside(read.file, each)) for problem in error.problems]
                continue
            for entry, says in entries.items():
                said[entry] = f"{said[entry]} {says}" if entry in said else says
    return said, tuple(problems)


@lru_cache(maxsize=64)  # many projects share one such file, each by another way to it
def _entries(content: bytes) -> dict[str, str]:
    return {name: _flat(entry) for name, entry in mapping(read_hardware(content, "").data.get("catalog")).items()}


def _contacts(project: Mapping[str, Tree]) -> Iterator[str]:
    people = project.get("people")
    for person in people if isinstance(people, list) else []:
        told = mapping(person)
        if _OWNER in _text(told.get("role")).casefold():
            yield ", ".join((_text(told.get("role")), *(_text(told[key]) for key in _CONTACTS if told.get(key))))


def _things(read: ReadFile, hardware: Mapping[str, str]) -> Iterator[Thing]:
    catalog = mapping(read.data.get("catalog"))
    for tag, entry in mapping(read.data.get("equipment")).items():
        own = mapping(entry)
        described = {**mapping(catalog.get(_text(own.get("catalog")))), **own}
        place = _place(own.get("place"))
        apart = {key: value for key, value in described.items() if key not in ("directory", "existing_labels")}
        name = _text(described.get("name"))
        named = [_text(own.get(key)) for key in NAMING_KEYS]
        of_parts = (_flat(catalog[each]) for each in named[1:] if each in catalog)
        says = (tag, _flat(apart), *of_parts, *(hardware[each] for each in named if each in hardware))
        yield _thing(read, "equipment", f"{tag} {name}".strip(), says, place, ("equipment", tag))
        yield from _directory(read, tag, own.get("directory"), place)
        labels = own.get("existing_labels")
        for index, label in enumerate(labels if isinstance(labels, list) else []):
            yield _thing(read, "label there", _flat(label), (tag, _flat(label)), place, ("equipment", tag, "existing_labels", index))
    for tag, entry in mapping(read.data.get("circuits")).items():
        yield from _circuit(read, tag, mapping(entry))
    for tag, entry in mapping(read.data.get("loads")).items():
        yield _thing(read, "load", tag, (tag, _flat(entry)), "", ("loads", tag))


def _circuit(read: ReadFile, tag: str, told: dict[str, Tree]) -> Iterator[Thing]:
    ends = " to ".join(end for end in (_text(told.get("from")), _text(told.get("to"))) if end)
    yield _thing(read, "circuit", tag, (tag, _flat(told)), ends, ("circuits", tag))
    devices = told.get(_DEVICES)
    at_ends = devices if isinstance(devices, dict) else {"": devices} if devices else {}
    for key, device in at_ends.items():
        at = ("circuits", tag, _DEVICES, *([key] if key else []))
        yield _thing(read, "device", f"{tag} {_flat(device)}", (tag, ends, _flat(device), _as_marked(device)), ends, at)


def _directory(read: ReadFile, tag: str, told: Tree, place: str) -> Iterator[Thing]:
    at = ("equipment", tag, "directory")
    if isinstance(told, str):
        lines = zip(told.split("\n"), places_of_lines(read, at, told), strict=True)
    else:
        rows = told if isinstance(told, list) else []
        lines = zip(map(_flat, rows), (read.position((*at, index)) for index in range(len(rows))), strict=True)
    for text, (line, column) in lines:
        if text.strip():
            yield Thing("device", f"{tag} {' '.join(text.split())}", f"{tag} {text}", place, read.file, line, column)


def _thing(read: ReadFile, kind: str, tag: str, says: Sequence[str], place: str, at: Sequence[str | int]) -> Thing:
    line, column = read.key_position(at) if isinstance(at[-1], str) else read.position(at)
    return Thing(kind, tag, " ".join(says), place, read.file, line, column)


def _place(told: Tree) -> str:
    """Return a place in the file's own words: its description, or what tells it."""
    if not isinstance(told, dict):
        return _flat(told)
    return _text(told.get("description")) or ", ".join(f"{key} {_flat(value)}" for key, value in told.items())


def _printed_labels(file: Path) -> Iterator[Thing]:
    """Yield the labels of the package beside the project, with the words that were printed and their Document IDs."""
    folder = default_folder(file)
    try:
        manifest = json.loads(listed_in(folder).manifest)
        labels = [row for row in manifest.get("documents", ()) if row["kind"] == "label"]
        drawings = [entry for entry in manifest["outputs"] if entry["path"].endswith(".svg")]
        drawn = {id_: entry["path"] for entry in drawings for id_ in entry.get("document_ids", ())}
    except (NotAPackageError, ValueError, KeyError, TypeError, AttributeError):
        return
    for label in labels:
        id_, name, tag, place = (_printable(str(label.get(key, ""))) for key in ("document_id", "name", "tag", "place"))
        path = folder / drawn[id_] if id_ in drawn else folder / MANIFEST
        words = _words(path) if path.suffix == ".svg" else ""
        yield Thing("label printed", f"{name} {id_}", f"{id_} {name} {tag} {place} {words}", place, path.as_posix(), 1, 1)


def _words(path: Path) -> str:
    try:
        drawing = content_of(path, _LARGEST_LABEL).decode("utf-8", "replace")
    except UnreadableFileError:
        return ""
    return " ".join(unescape(text) for text in _TEXT.findall(drawing))


def _as_marked(device: Tree) -> str:
    """Return a device that is told by keys as handles are marked, ``40 A 2P`` and ``2P 40 A``; empty where it is one text already."""
    told = device if isinstance(device, dict) else {}
    rating, poles = (_text(told.get(key)) for key in ("rating", "poles"))
    marked = f"{poles}P" if poles.isdecimal() else ""
    return f"{rating} {marked} {rating}" if rating and marked else ""


def _flat(told: Tree) -> str:
    """Return everything that is told in one line: keys with their values."""
    if isinstance(told, dict):
        return ", ".join(f"{key} {_flat(value)}" for key, value in told.items())
    if isinstance(told, list):
        return ", ".join(map(_flat, told))
    return _text(told)


def _text(told: Tree) -> str:
    return " ".join(told.split()) if isinstance(told, str) else ""


def _printable(text: str) -> str:
    return "".join(character if character.isprintable() else " " for character in text)
