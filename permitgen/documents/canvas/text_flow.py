"""Breaks text into lines of a given width: at spaces, never inside a phrase that belongs together, never hyphenated."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from permitgen.documents.canvas.shapes import Anchor, Link, Text
from permitgen.documents.canvas.styles import TextStyle
from permitgen.documents.canvas.text_width import text_width

NO_BREAK_SPACE = "\u00a0"

_UNITS = "A|kA|mA|V|kV|W|kW|MW|Wh|kWh|VA|kVA|var|AWG|kcmil|ft²?|in²?|mm²?|cm|m|Ω|Ω/kft|°|°C|°F|C|F|%|Hz|s|min|lbf·in|psf|lb|kg|mph"
_NUMBER_AND_UNIT = re.compile(rf"(\d) (?=(?:{_UNITS}|FT|IN)(?![\w]))")
_BREAKABLE_AFTER = re.compile(r"(?<=[/\\_.,;:@\-–—])(?=\w)")
_FIT_TOLERANCE_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of text in one style. ``rise_mm`` lifts it above the baseline (a subscript has a negative rise).

    ``link`` leads to an address, or with ``#`` in front to a bookmark of the same document.
    """

    text: str
    style: TextStyle
    rise_mm: float = 0.0
    link: str = ""

    def goes_on(self, other: Span) -> bool:
        """Return whether ``other`` looks and leads like this one, so that both can be set as one text."""
        return (self.style, self.rise_mm, self.link) == (other.style, other.rise_mm, other.link)


@dataclass(frozen=True, slots=True)
class PlacedSpan:
    """A span with its distance from the start of the line in mm."""

    x: float
    span: Span


@dataclass(frozen=True, slots=True)
class SetLine:
    """One line of text, ready to be placed; ``width`` in mm without trailing space."""

    spans: tuple[PlacedSpan, ...]
    width: float

    @property
    def text(self) -> str:
        """The characters of the line."""
        return "".join(placed.span.text for placed in self.spans)


def keep_together(text: str, phrases: Iterable[str] = ()) -> str:
    """Return ``text`` with no-break spaces inside each phrase and between a number and its unit."""
    for phrase in phrases:
        text = text.replace(phrase, phrase.replace(" ", NO_BREAK_SPACE))
    return _NUMBER_AND_UNIT.sub(rf"\1{NO_BREAK_SPACE}", text)


def break_lines(text: str, style: TextStyle, width_mm: float, phrases: Iterable[str] = ()) -> tuple[str, ...]:
    """Return the lines of ``text`` at most ``width_mm`` wide; a newline in the text starts a new line.

    A single word wider than the line is broken after a punctuation mark, or between letters when it has none.
    """
    bound = keep_together(text, phrases)
    lines: list[str] = []
    for paragraph in bound.split("\n"):
        measured = _measured_words(paragraph, style)
        if any(width > width_mm + _FIT_TOLERANCE_MM for _, width in measured):
            lines.extend(line.text for line in flow_lines((Span(paragraph, style),), width_mm))
        else:
            lines.extend(_filled_lines(measured, text_width(" ", style), width_mm))
    return tuple(lines)


def balanced_lines(text: str, style: TextStyle, width_mm: float, phrases: Sequence[str] = ()) -> tuple[str, ...]:
    """Return as few lines as ``break_lines`` needs, made as equal in width as phrases allow."""
    measured = _measured_words(keep_together(text, phrases), style)
    widest = max((width for _, width in measured), default=0.0)
    if widest > width_mm + _FIT_TOLERANCE_MM or "\n" in text:
        return break_lines(text, style, width_mm, phrases)
    gap = text_width(" ", style)
    lines = _filled_lines(measured, gap, width_mm)
    narrow, wide = widest - _FIT_TOLERANCE_MM, width_mm
    for _ in range(12 if len(lines) > 1 else 0):
        middle = (narrow + wide) / 2
        tried = _filled_lines(measured, gap, max(middle, widest))
        if len(tried) > len(lines):
            narrow = middle
        else:
            wide, lines = middle, tried
    return tuple(lines)


def _measured_words(paragraph: str, style: TextStyle) -> list[tuple[str, float]]:
    return [(word, text_width(word, style)) for word in re.split(r"[ \t]+", paragraph) if word]


def _filled_lines(words: Sequence[tuple[str, float]], gap: float, width_mm: float) -> list[str]:
    """Put as many measured words into each line as fit; each word by itself fits."""
    lines: list[list[str]] = [[]]
    end = 0.0
    for word, width in words:
        needed = end + gap + width if lines[-1] else width
        if lines[-1] and needed > width_mm + _FIT_TOLERANCE_MM:
            lines.append([])
            needed = width
        lines[-1].append(word)
        end = needed
    return [" ".join(line).replace(NO_BREAK_SPACE, " ") for line in lines]


def widest_piece(text: str, style: TextStyle, phrases: Iterable[str] = ()) -> float:
    """Return the width in mm of the longest word or phrase of ``text``, below which lines must break inside one."""
    pieces = re.split(r"[ \t\n]+", keep_together(text, phrases))
    return max((text_width(piece.replace(NO_BREAK_SPACE, " "), style) for piece in pieces), default=0.0)


def flow_lines(spans: Sequence[Span], width_mm: float) -> tuple[SetLine, ...]:
    """Break styled text into lines at most ``width_mm`` wide."""
    return _flowed(tuple(spans), width_mm)


@lru_cache(maxsize=1 << 15)
def _unbroken(spans: tuple[Span, ...]) -> tuple[SetLine, ...]:
    return tuple(line for paragraph in _paragraphs(spans) for line in _fill(paragraph, math.inf))


@lru_cache(maxsize=1 << 15)
def _flowed(spans: tuple[Span, ...], width_mm: float) -> tuple[SetLine, ...]:
    """Most cells of a table fit on a line, whichever of the many widths is tried."""
    lines = _unbroken(spans)
    if all(line.width <= width_mm + _FIT_TOLERANCE_MM for line in lines):
        return lines
    return tuple(line for paragraph in _paragraphs(spans) for line in _fill(paragraph, width_mm))


def line_shapes(line: SetLine, x: float, y: float, width_mm: float, anchor: Anchor = "start") -> tuple[Text | Link, ...]:
    """Place a line in a column that begins at ``x`` and is ``width_mm`` wide, its baseline at ``y``."""
    free = width_mm - line.width
    start = x + {"start": 0.0, "middle": free / 2, "end": free}[anchor]
    shapes: list[Text | Link] = []
    for placed in line.spans:
        span, left = placed.span, start + placed.x
        if span.text.strip():
            shapes.append(Text(left, y - span.rise_mm, span.text, span.style))
        if span.link:
            shapes.append(_link_over(span, left, y))
    return tuple(shapes)


def _link_over(span: Span, left: float, baseline: float) -> Link:
    top, height = baseline - span.style.cap_height_mm * 1.4, span.style.cap_height_mm * 1.9
    url, bookmark = ("", span.link[1:]) if span.link.startswith("#") else (span.link, "")
    return Link(left, top, text_width(span.text, span.style), height, url=url, bookmark=bookmark)


Word = tuple[Span, ...]


def _paragraphs(spans: Sequence[Span]) -> list[list[Word]]:
    """Cut the spans at newlines into paragraphs and at spaces into words; a word may run over several styles."""
    paragraphs: list[list[Word]] = [[]]
    word: list[Span] = []

    def end_word() -> None:
        if word:
            paragraphs[-1].append(tuple(word))
            word.clear()

    for span in spans:
        for part in re.split(r"([ \t\n])", span.text):
            if part == "\n":
                end_word()
                paragraphs.append([])
            elif part in (" ", "\t"):
                end_word()
            elif part:
                word.append(Span(part, span.style, span.rise_mm, span.link))
    end_word()
    return paragraphs


def _fill(words: Sequence[Word], width_mm: float) -> list[SetLine]:
    """Put as many words into each line as fit."""
    lines: list[SetLine] = []
    waiting = list(reversed(words))
    line: list[tuple[float, Word]] = []
    end = 0.0
    while waiting:
        word = waiting.pop()
        gap = text_width(" ", word[0].style) if line else 0.0
        width = _word_width(word)
        if end + gap + width > width_mm + _FIT_TOLERANCE_MM:
            if line:
                lines.append(_set_line(line, end))
                line, end = [], 0.0
                waiting.append(word)
                continue
            head, tail = _split_word(word, width_mm)
            if tail:
                waiting.append(tail)
            word, width = head, _word_width(head)
        line.append((end + gap, word))
        end += gap + width
    lines.append(_set_line(line, end))
    return lines


def _word_width(word: Word) -> float:
    return sum(text_width(span.text, span.style) for span in word)


def _set_line(words: Sequence[tuple[float, Word]], width: float) -> SetLine:
    """Join words that look alike, so that a line of one style is one text; no-break spaces become spaces again."""
    placed: list[PlacedSpan] = []
    texts: list[str] = []
    first: Span | None = None
    begins = 0.0

    def end_run() -> None:
        if first is not None:
            text = " ".join(texts).replace(NO_BREAK_SPACE, " ")
            placed.append(PlacedSpan(begins, Span(text, first.style, first.rise_mm, first.link)))

    for start, word in words:
        x = start
        for index, span in enumerate(word):
            if index == 0 and first is not None and first.goes_on(span):
                texts.append(span.text)
            else:
                end_run()
                first, texts, begins = span, [span.text], x
            x += text_width(span.text, span.style)
    end_run()
    return SetLine(tuple(placed), width)


def _split_word(word: Word, width_mm: float) -> tuple[Word, Word]:
    """Return the part of an overlong word that fits (at least one letter) and the rest."""
    fitting: list[Span] = []
    left = width_mm
    for index, span in enumerate(word):
        width = text_width(span.text, span.style)
        if width <= left + _FIT_TOLERANCE_MM:
            fitting.append(span)
            left -= width
            continue
        cut = _cut_position(span, left, at_least=0 if fitting else 1)
        if cut:
            fitting.append(replace(span, text=span.text[:cut]))
        return tuple(fitting), (replace(span, text=span.text[cut:].lstrip(NO_BREAK_SPACE)), *word[index + 1 :])
    return tuple(fitting), ()


def _cut_position(span: Span, width_mm: float, at_least: int) -> int:
    """Return after how many letters to cut: at a no-break space or punctuation mark if one fits, else anywhere."""
    fits = at_least
    while fits < len(span.text) and text_width(span.text[: fits + 1], span.style) <= width_mm:
        fits += 1
    marks = [match.start() for match in _BREAKABLE_AFTER.finditer(span.text) if 0 < match.start() <= fits]
    spaces = [index for index in range(1, fits + 1) if span.text[index : index + 1] == NO_BREAK_SPACE]
    return max(spaces or marks or [fits])
