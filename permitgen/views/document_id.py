"""The Document ID: eight signs that say what a label, a plate, a sheet or a page shows. Same ID, same words; nothing else moves it.

It is a digest of the finished view. What says which issue this is (the revision, its date, the ID itself), what lies beside the
document (how many are printed, where they go) and what only machines read (lines of the project file, the digest of the inputs) is
marked ``BESIDE`` at its field and does not count: what a revision leaves as it was keeps its ID, and may stay on the wall.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from types import NoneType
from typing import Any, TypeVar, cast

from permitgen.values.origin import ProjectLine
from permitgen.values.value import Value

View = TypeVar("View")

BESIDE: Mapping[str, bool] = {"beside the document": True}
"""Metadata of a field of a view that does not count for the Document ID."""

_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford base 32: neither I nor L nor O, which are read as 1 and 0, and no U."""
_COUNT, _GROUP = 8, 4
_DECIMALS = 6


def document_id(kind: str, *shown: object) -> str:
    """Return the Document ID of what is ``shown`` on a document of a ``kind``: ``7K3M-Q2XA``.

    ``shown`` is plain data: texts, numbers, values, dataclasses, sequences, mappings, sets.

    Raises:
        TypeError: something in it is not plain data.
    """
    canonical = json.dumps([kind, _plain(shown)], ensure_ascii=False, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(canonical.encode("utf-8")).digest()[: _COUNT * 5 // 8], "big")
    signs = "".join(_SIGNS[number >> 5 * place & 31] for place in reversed(range(_COUNT)))
    return f"{signs[:_GROUP]}-{signs[_GROUP:]}"


def with_document_id(kind: str, view: View) -> View:
    """Return a finished view with its Document ID in its field ``document_id``."""
    return cast("View", replace(cast("Any", view), document_id=document_id(kind, view)))


def _plain(thing: Any) -> Any:
    """Return a thing in one form of JSON: the same for two things that show the same, and for no others."""
    for kind, plain in _FORMS:
        if isinstance(thing, kind):
            return plain(thing)
    if is_dataclass(thing) and not isinstance(thing, type):
        shown = (each.name for each in fields(thing) if not each.metadata.keys() & BESIDE.keys())
        return {name: _plain(getattr(thing, name)) for name in shown}
    raise TypeError(f"a {type(thing).__name__} is not plain data of a view")


def _number(number: float) -> float:
    """Return a number as paper tells it from others: machines differ in the last digits of a sine."""
    return round(float(number), _DECIMALS) + 0.0


def _sorted(things: Iterable[Any]) -> list[Any]:
    """Return what has no order of its own in one order."""
    return sorted((_plain(thing) for thing in things), key=lambda plain: json.dumps(plain, ensure_ascii=False))


_FORMS: tuple[tuple[type | tuple[type, ...], Callable[[Any], Any]], ...] = (
    ((str, bool, NoneType), lambda thing: thing),
    ((int, float), _number),
    (Enum, lambda thing: _plain(thing.value)),
    (Value, lambda value: [_number(value.number), value.unit]),
    (ProjectLine, lambda _line: None),  # where something was written is not printed
    (Mapping, lambda mapping: [{"of": pair[0], "is": pair[1]} for pair in _sorted(mapping.items())]),
    (Set, lambda things: {"any order": _sorted(things)}),
    ((tuple, list), lambda things: [_plain(thing) for thing in things]),
)
