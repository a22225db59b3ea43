"""Words of the derivations PDF: verdicts with colored marks, symbols in italics with lowered indices, equations."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.documents.calculation_steps import equation_sides, symbol_pieces
from permitgen.documents.calculation_wording import MARKS
from permitgen.documents.canvas.blocks import Figure
from permitgen.documents.canvas.colors import DARK_GRAY, INK, SAFETY_GREEN, SAFETY_ORANGE, SAFETY_RED, Color
from permitgen.documents.canvas.flow import Format
from permitgen.documents.canvas.shapes import Line
from permitgen.documents.canvas.styles import HAIRLINE
from permitgen.documents.canvas.typography import Run, muted
from permitgen.views.findings import NOT_MET
from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.documents.calculation_steps import Piece
    from permitgen.documents.canvas.typography import Kind
    from permitgen.views.explanation import StepText

_COLORS: dict[str, Color] = {"passes": SAFETY_GREEN, "violated": SAFETY_RED, "caution": SAFETY_ORANGE}
_KINDS: dict[str, Kind] = {"text": "plain", "symbol": "italic", "index": "sub", "result": "strong"}


def verdict_runs(verdict: str, *, is_part: bool = False) -> tuple[Run, ...]:
    """Return mark and word; a violation stands in the heavier weight, a part of a check in the lighter one."""
    mark = Run(f"{MARKS[verdict]} ", color=_COLORS.get(verdict, DARK_GRAY))
    if verdict == "violated" and not is_part:
        return (mark, Run(verdict_word(verdict), "strong", color=SAFETY_RED))
    word = verdict_word(verdict)
    return (mark, muted(word) if verdict in (NOT_MET, "does not apply") else Run(word, color=INK))


def symbol_words(symbol: str) -> tuple[Run, ...]:
    """Return a symbol in italics, its index below the line."""
    return _runs(symbol_pieces(symbol))


def equation_words(step: StepText) -> tuple[tuple[Run, ...], ...]:
    """Return symbol, formula, numbers and result of a step as words; the result is the strongest."""
    return tuple(_runs(side) for side in equation_sides(step))


def _runs(pieces: Iterable[Piece]) -> tuple[Run, ...]:
    return tuple(Run(text, _KINDS[kind]) for text, kind in pieces)


def separating_rule() -> Figure:
    """Return a hairline across the column."""
    return Figure((Line(0, 0, Format().column_width_mm, 0, HAIRLINE),), 0.0)
