"""Strips: the unbreakable rows that a text document is cut into, and how they are dealt out to pages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from permitgen.documents.canvas.shapes import Group, Shape, moved

_TOLERANCE_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Strip:
    """Shapes in a column, origin at the strip's top left, ``height`` mm tall.

    ``space_before`` is dropped at the top of a page; ``repeats`` are set again above a strip that begins a page. ``mark`` and
    ``faults`` are those of the row of a table, for whoever draws beside it.
    """

    height: float
    shapes: tuple[Shape, ...]
    space_before: float = 0.0
    keep_with_next: bool = False
    begins_page: bool = False
    repeats: tuple[Strip, ...] = ()
    mark: str = ""
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlacedStrip:
    """A strip with its distance from the top of the column."""

    y: float
    strip: Strip


def together(strips: Iterable[Strip]) -> tuple[Strip, ...]:
    """Return the strips bound into one piece that is not broken across pages if it fits on one."""
    listed = tuple(strips)
    return (*(replace(strip, keep_with_next=True) for strip in listed[:-1]), *listed[-1:])


def deal_to_pages(strips: Sequence[Strip], height_mm: float, first_mm: float | None = None) -> tuple[tuple[PlacedStrip, ...], ...]:
    """Deal strips to columns ``height_mm`` tall, the first of them ``first_mm``; a piece that does not fit in the rest begins the next."""
    pages: list[list[PlacedStrip]] = [[]]
    y = 0.0
    tall = height_mm if first_mm is None else first_mm
    for piece in _pieces(strips):
        needed = _height(piece, at_top=not pages[-1])
        is_forced = piece[0].begins_page and bool(pages[-1])
        if is_forced or (pages[-1] and y + needed > tall + _TOLERANCE_MM and _height(piece, at_top=True) <= height_mm):
            pages.append([])
            y, tall = 0.0, height_mm
        for strip in piece:
            room = strip.height + (strip.space_before if pages[-1] else 0.0)
            if pages[-1] and y + room > tall + _TOLERANCE_MM:  # the piece is longer than a page
                pages.append([])
                y, tall = 0.0, height_mm
            y = _place(pages[-1], strip, y)
    return tuple(tuple(page) for page in pages)


def _pieces(strips: Sequence[Strip]) -> Iterable[tuple[Strip, ...]]:
    piece: list[Strip] = []
    for strip in strips:
        piece.append(strip)
        if not strip.keep_with_next:
            yield tuple(piece)
            piece = []
    if piece:
        yield tuple(piece)


def _height(piece: Sequence[Strip], *, at_top: bool) -> float:
    total = sum(strip.space_before + strip.height for strip in piece)
    if at_top:
        total += sum(strip.height for strip in piece[0].repeats) - piece[0].space_before
    return total


def _place(page: list[PlacedStrip], strip: Strip, y: float) -> float:
    """Put a strip on a page at ``y`` and return where the next one begins."""
    if page:
        y += strip.space_before
    else:
        for repeated in strip.repeats:
            page.append(PlacedStrip(y, repeated))
            y += repeated.height
    page.append(PlacedStrip(y, strip))
    return y + strip.height


def column_shapes(placed: Iterable[PlacedStrip], x: float, y: float) -> tuple[Shape, ...]:
    """Return the shapes of one page's strips with the column's top left corner at (x, y)."""
    return tuple(Group(item.strip.shapes, transform=moved(x, y + item.y)) for item in placed if item.strip.shapes)


def stacked(strips: Sequence[Strip]) -> tuple[tuple[PlacedStrip, ...], float]:
    """Return strips one below the other without page breaks, and their height together."""
    page: list[PlacedStrip] = []
    y = 0.0
    for strip in strips:
        y = _place(page, replace(strip, repeats=()), y)
    return tuple(page), y
