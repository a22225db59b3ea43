"""The digest of all that a view holds, what stands beside the document too: same digest, same drawing.

The Document ID says whether the words are the same; this says whether the bytes will be. So nothing is left out and nothing is rounded.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Set
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from types import NoneType
from typing import Any


class NotPlainError(TypeError):
    """Something in a view is no plain data, so that nobody can say whether two such views are the same."""


def digest_of_view(view: object, project_file: str = "") -> str:
    """Return the hex SHA-256 over a view: texts, numbers, bytes, enumerations, dataclasses, sequences, mappings, sets.

    A text that is the path of the ``project_file``, as somebody typed it, counts as the project file: no document prints where it lies.

    Raises:
        NotPlainError: something else is in it.
    """
    return hashlib.sha256(_Walk(project_file).spelled(view)).hexdigest()


class _Walk:
    """Spells things as bytes, each dataclass once however often it is met: views share parts."""

    def __init__(self, project_file: str) -> None:
        self._project_file = project_file
        self._folder = project_file[: project_file.rfind("/") + 1]
        self._seen: dict[int, tuple[object, bytes]] = {}  # the thing itself keeps its number from being given to another

    def spelled(self, thing: Any) -> bytes:
        kind = type(thing)
        if kind is str and thing and thing == self._project_file:
            return b"p"
        if kind is str:
            # Files beside the project file are named from where somebody stood, too.
            content = thing.removeprefix(self._folder).encode("utf-8", "surrogatepass")
            return b"s%d:%b" % (len(content), content)
        if kind in (int, float, bool, NoneType):
            return f"{kind.__name__} {thing!r};".encode()
        if is_dataclass(thing) and not isinstance(thing, type):
            return self._of_dataclass(thing)
        return self._of_other(thing)

    def _of_dataclass(self, thing: Any) -> bytes:
        if id(thing) not in self._seen:
            kind: type = type(thing)
            content = b"".join(self.spelled(getattr(thing, name)) for name in _names(kind))
            digest = hashlib.sha256(f"{_name(kind)}\n".encode() + content).digest()
            self._seen[id(thing)] = thing, digest
        return b"d" + self._seen[id(thing)][1]

    def _of_other(self, thing: Any) -> bytes:
        if isinstance(thing, Enum):
            return f"e{_name(type(thing))}.{thing.name};".encode()
        if isinstance(thing, bytes):
            return b"b" + hashlib.sha256(thing).digest()
        if isinstance(thing, (tuple, list)):
            return self._joined(b"l", (self.spelled(each) for each in thing))
        if isinstance(thing, Mapping):
            return self._joined(b"m", (self.spelled(pair) for pair in thing.items()))
        if isinstance(thing, Set):
            return self._joined(b"a", sorted(map(self.spelled, thing)))
        raise NotPlainError(f"a {type(thing).__name__} is not plain data of a view")

    def _joined(self, kind: bytes, parts: Any) -> bytes:
        spelled = list(parts)
        return b"%b%d:%b" % (kind, len(spelled), b"".join(spelled))


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(each.name for each in fields(kind))


def _name(kind: type) -> str:
    return f"{kind.__module__}.{kind.__qualname__}"
