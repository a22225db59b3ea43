"""Where in a file each value and each key stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

T = TypeVar("T")
Path = tuple[str | int, ...]
Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Positions:
    """Line and column, both from 1 and in characters, of every value and every key of one file.

    ``values`` and ``keys`` are filled by the reader, which then hands the object out and never changes it again. A path
    is the tuple of keys and list indexes (from 0) that leads to a value: ``("circuits", "C7", "length")``. ``files`` names the
    file of a value that does not stand in this one.
    """

    values: dict[Path, Place] = field(default_factory=dict)
    keys: dict[Path, Place] = field(default_factory=dict)
    files: dict[Path, str] = field(default_factory=dict)

    def existing(self, location: Sequence[str | int]) -> Path:
        """Return the longest path of the file that ``location`` names, its elements unknown to the file left out.

        A validator's location may hold the names of union branches, or end in a key that is missing.
        """
        path: Path = ()
        for element in location:
            longer = (*path, element)
            if longer in self.values:
                path = longer
        return path

    def of_value(self, location: Sequence[str | int]) -> Place:
        """Return the place of the value at ``location``; of its nearest existing ancestor where the file lacks it."""
        return self.values.get(self.existing(location), (1, 1))

    def of_key(self, location: Sequence[str | int]) -> Place:
        """Return the place of the key that leads to ``location``; of the item itself where it stands in a list."""
        path = self.existing(location)
        return self.keys.get(path) or self.values.get(path, (1, 1))


def repeat_below(told: Mapping[Path, T], source: Path, table: dict[Path, T], target: Path) -> None:
    """Let a table say of everything at and below ``target`` what ``told``, which may be the table itself, says of it below ``source``."""
    table |= {(*target, *path[len(source) :]): said for path, said in told.items() if path[: len(source)] == source}


def path_text(location: Sequence[str | int]) -> str:
    """Return a path as people read it: ``circuits.C7.splices[2].place``, list items counted from 1."""
    text = ""
    for element in location:
        if isinstance(element, int):
            text += f"[{element + 1}]"
        else:
            text += f".{element}" if text else element
    return text
