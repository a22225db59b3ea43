"""The type of the text documents: one scale of sizes, and words with emphasis inside a line.

Sizes in points, line spacing in mm on a grid of a quarter of the body line, so that columns beside each other align.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from permitgen.documents.canvas.colors import DARK_GRAY, INK, SAFETY_BLUE, Color
from permitgen.documents.canvas.styles import MM_PER_POINT, TextStyle, points
from permitgen.documents.canvas.text_flow import Span, keep_together
from permitgen.documents.fonts.faces import MONO, SANS, SANS_ITALIC, SANS_SEMIBOLD, Face

Kind = Literal["plain", "strong", "italic", "mono", "sub", "super", "muted"]

_FACES: dict[str, Face] = {"strong": SANS_SEMIBOLD, "italic": SANS_ITALIC, "mono": MONO}
_SCRIPT_SIZE = 0.72
_LEAST_SIZE_MM = 7.5 * MM_PER_POINT
"""No letter of a document is smaller, a subscript neither."""
_SUB_DROP, _SUPER_RISE = 0.13, 0.33


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of words of one kind. ``link``: an address, or ``#key`` for a bookmark of the same document."""

    text: str
    kind: Kind = "plain"
    link: str = ""
    color: Color | None = None


Words = str | tuple[Run, ...]
"""What goes into a paragraph or a cell: plain text, or runs with emphasis. Always text, never markup."""


def strong(text: str) -> Run:
    """Return a run in the heavier weight."""
    return Run(text, "strong")


def sub(text: str) -> Run:
    """Return a run set as a subscript."""
    return Run(text, "sub")


def muted(text: str) -> Run:
    """Return a run in gray."""
    return Run(text, "muted")


def symbol_runs(symbol: str) -> tuple[Run, ...]:
    """Return a formula symbol such as ``V_d`` with the part after the underscore as a subscript."""
    name, _, index = symbol.partition("_")
    return (Run(name, "italic"), Run(index, "sub")) if index else (Run(name, "italic"),)


def plain_text(words: Words) -> str:
    """Return the characters of ``words`` without emphasis."""
    return words if isinstance(words, str) else "".join(run.text for run in words)


@lru_cache(maxsize=1 << 15)
def spans_of(words: Words, style: TextStyle) -> tuple[Span, ...]:
    """Return ``words`` as spans of ``style`` and its relatives, numbers kept with their units."""
    runs = (Run(words),) if isinstance(words, str) else words
    return tuple(_span(run, style) for run in runs if run.text)


def _span(run: Run, style: TextStyle) -> Span:
    styled = style.in_face(_FACES.get(run.kind, style.face))
    rise = 0.0
    if run.kind in ("sub", "super"):
        size_mm = min(style.size_mm, max(style.size_mm * _SCRIPT_SIZE, _LEAST_SIZE_MM))
        styled = replace(styled, size_mm=size_mm)
        rise = style.size_mm * (-_SUB_DROP if run.kind == "sub" else _SUPER_RISE)
    color = run.color or (DARK_GRAY if run.kind == "muted" else SAFETY_BLUE if run.link else None)
    return Span(keep_together(run.text), styled.colored(color) if color else styled, rise, run.link)


@dataclass(frozen=True, slots=True)
class TypeScale:
    """The styles of a text document with the distance between baselines in mm; ``heading`` has one style a level."""

    title: TextStyle
    heading: tuple[TextStyle, ...]
    body: TextStyle
    table: TextStyle
    table_head: TextStyle
    table_section: TextStyle
    small: TextStyle
    body_leading_mm: float = 4.6
    table_leading_mm: float = 4.0
    small_leading_mm: float = 3.6


SCALE = TypeScale(
    title=points(SANS_SEMIBOLD, 22, INK),
    heading=(points(SANS_SEMIBOLD, 14, INK), points(SANS_SEMIBOLD, 10.5, INK), points(SANS_SEMIBOLD, 9, INK)),
    body=points(SANS, 9, INK),
    table=points(SANS, 8.5, INK),
    table_head=points(SANS_SEMIBOLD, 7.5, DARK_GRAY),
    table_section=points(SANS_SEMIBOLD, 8.5, INK),
    small=points(SANS, 7.5, DARK_GRAY),
)
