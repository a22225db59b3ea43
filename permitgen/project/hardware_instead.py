"""Takes the hardware entries of a project from another file: what a corrected data sheet would make of it. The project stays as it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from permitgen.project.copied_file import mapping
from permitgen.project.hardware_files import NAMING_KEYS, names_of_hardware, place_text
from permitgen.project.laid_over import LaidOver
from permitgen.reading.positions import path_text
from permitgen.reading.reader import ReadFile


@dataclass(frozen=True, slots=True)
class SameName:
    """An entry that a project uses and another file describes, too: where each stands, and its kind in each.

    ``keys`` are those of which the other file says something else, as a person writes them.
    """

    name: str
    place: str
    kind: str
    other_place: str
    other_kind: str
    keys: tuple[str, ...]

    @property
    def is_taken(self) -> bool:
        """Whether the entry is taken from the other file: one of another kind is another thing that happens to be called the same."""
        return self.kind == self.other_kind


def entries_of_same_name(file: ReadFile, instead: ReadFile) -> tuple[SameName, ...]:
    """Return the entries that the equipment of a project names and ``instead`` describes; ``file`` has its hardware in its catalog."""
    own, other = (mapping(read.data.get("catalog")) for read in (file, instead))
    return tuple(
        SameName(
            name,
            place_text(file, name),
            _kind(own[name]),
            place_text(instead, name),
            _kind(other[name]),
            keys_told_otherwise(own[name], other[name]),
        )
        for name in _used(file)
        if name in own and name in other
    )


def with_entries_of(file: ReadFile, instead: ReadFile) -> ReadFile:
    """Return a file, its hardware in its catalog, with the entries of the same name and kind as ``instead`` describes them."""
    laid = LaidOver(file)
    for each in entries_of_same_name(file, instead):
        if each.is_taken:
            laid.take_away(("catalog", each.name))
            laid.lay(instead, ("catalog", each.name), ("catalog", each.name))
    return laid.file()


def keys_told_otherwise(before: Any, after: Any) -> tuple[str, ...]:
    """Return the keys of an entry of which two descriptions say different things, as a person writes them."""
    was, now = (dict(_leaves(mapping(entry), ())) for entry in (before, after))
    return tuple(path_text(key) for key in dict.fromkeys((*was, *now)) if was.get(key) != now.get(key))


def _used(file: ReadFile) -> dict[str, None]:
    """Return the names of entries that equipment names, itself or in the entry that it names."""
    catalog = mapping(file.data.get("catalog"))
    used = dict.fromkeys(name for _location, name in names_of_hardware(file))
    further = (mapping(catalog.get(name)).get(key) for name in used for key in NAMING_KEYS)
    return used | dict.fromkeys(name for name in further if isinstance(name, str))


def _kind(entry: Any) -> str:
    return str(mapping(entry).get("kind", ""))


def _leaves(tree: Any, at: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from _leaves(value, (*at, key))
    else:
        yield at, tree
