"""The words of a view, as its document prints them: to see whether a document says something, without opening the document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum


def words_of(view: object) -> str:
    """Return the texts of a view in its order, in small letters, with one space between words."""
    return squeezed(" ".join(_texts(view, set())))


def squeezed(text: str) -> str:
    """Return a text in small letters, with one space where any number of spaces or line breaks stand."""
    return " ".join(text.casefold().split())


def _texts(thing: object, met: set[int]) -> Iterator[str]:
    """Yield the texts below a thing; parts that a view shares are said once."""
    if isinstance(thing, str) and not isinstance(thing, Enum):
        yield thing
    elif id(thing) not in met:
        below = tuple(_below(thing))
        if is_dataclass(thing):
            met.add(id(thing))
        for each in below:
            yield from _texts(each, met)


def _below(thing: object) -> Iterable[object]:
    if isinstance(thing, Mapping):
        return thing.values()
    if is_dataclass(thing):
        return (getattr(thing, each.name) for each in fields(thing))
    return thing if isinstance(thing, tuple | list | frozenset) else ()
