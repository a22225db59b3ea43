"""The fields of a label: panels of one color, set to a width line by line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from permitgen.documents.canvas.colors import Color
from permitgen.documents.canvas.styles import TextStyle, capitals
from permitgen.documents.canvas.text_flow import balanced_lines, break_lines, widest_piece
from permitgen.documents.canvas.text_width import require_printable, text_width
from permitgen.documents.labels.alert_symbol import alert_symbol_width
from permitgen.documents.labels.ink import Inks
from permitgen.documents.labels.lettering import (
    SIGNAL_TO_MESSAGE,
    SMALL_LETTERS_IN,
    Width,
    cap_height_mm,
    require_contrast,
    signal_face,
    style_for,
)
from permitgen.views.label import LabelLine, LabelPanel, LabelView

_LINE_SPACING, _TIGHT_LINE_SPACING = 1.2, 0.97
"""Distance of baselines as a multiple of the em (common practice: 120 to 150 %); on a small stock 1.4 of the height of capitals."""
_BETWEEN_SENTENCES = 0.3
_AROUND_RULE = 0.75
_SIGNAL_PAD = 0.5
_HANGING_INDENT = 1.3
SYMBOL_TO_LETTERS, SYMBOL_GAP = 1.4, 0.45
_LEAST_PAD_MM = 1.6
_LARGE_PAD_MM, _LARGE_PAD, _TIGHT_PAD = 6.0, 0.7, 0.35
"""The margin is one cap height; around letters over 6 mm it need not grow as fast as they do. On a small stock a third must do."""
_WIDEST_ADDED_MM, _ADDED_TO_TITLE = 70.0, 1.3
_FOOTER_IN, _LEAST_SIGNAL_MM = 0.1, 4.0
_NO_SYMBOL = ("NOTICE", "SAFETY INSTRUCTIONS")


@dataclass(frozen=True, slots=True)
class Block:
    """One sentence in its style. ``has_rule`` draws a thin rule above it; ``is_added`` marks facts of our own."""

    source: LabelLine
    style: TextStyle
    phrases: tuple[str, ...]
    is_added: bool = False
    has_rule: bool = False
    is_title: bool = False


@dataclass(frozen=True, slots=True)
class LabelField:
    """Panels of the same colors below each other. ``fill`` None: the paper shows."""

    blocks: tuple[Block, ...]
    fill: Color | None
    ink: Color
    pad_mm: float
    is_signal: bool
    is_centered: bool
    beside_picture: bool
    narrowest_mm: float
    line_spacing: float

    @property
    def has_symbol(self) -> bool:
        """Whether the safety alert symbol stands before the signal word."""
        return self.is_signal and self.blocks[0].source.text not in _NO_SYMBOL


@dataclass(frozen=True, slots=True)
class PlacedLine:
    """One line by its baseline in mm from the top left of the fields; ``x`` is the middle of a centered line, else its start."""

    text: str
    style: TextStyle
    x: float
    y: float
    is_centered: bool
    source: LabelLine


@dataclass(frozen=True, slots=True)
class SetField:
    """A field set to a width: where it begins, how tall it is, its lines, and the heights of its rules."""

    field: LabelField
    y: float
    width: float
    height: float
    text_room: float
    needed_mm: float
    lines: tuple[PlacedLine, ...]
    rules: tuple[float, ...]
    symbol_x: float = 0.0


@dataclass(frozen=True, slots=True)
class Setting:
    """A way to set a label: width of the face, whether phrases stay whole.

    For a small stock margins and lines are tight, and the number of the record is left out, which no section asks for.
    """

    width: Width
    keeps_phrases: bool
    is_tight: bool = False
    has_footer: bool = True


def fields_of(view: LabelView, inks: Inks, setting: Setting) -> tuple[LabelField, ...]:
    """Return the fields of a label set in some way; raises LabelContrastError and MissingGlyphError."""
    message_height = max((cap_height_mm(line) for panel in view.panels if panel.role == "message" for line in panel.lines), default=0.0)
    if not message_height:
        message_height = max((cap_height_mm(line) for panel in view.panels if panel.role != "signal" for line in panel.lines), default=0.0)
    panels = _with_footer(view) if setting.has_footer else view.panels
    return tuple(_field(view, group, inks, setting, message_height) for group in _same_colors(panels))


def _with_footer(view: LabelView) -> tuple[LabelPanel, ...]:
    """The panels of a label with its footer as the last fact of our own, in the colors of the last panel."""
    if not view.footer:
        return view.panels
    last = view.panels[-1]
    height_in = _FOOTER_IN if last.background == "safety_white" else SMALL_LETTERS_IN
    footer = LabelLine(", ".join(view.footer), height_in, phrases=view.footer)
    return (*view.panels, LabelPanel("added", (footer,), last.background, last.text_color))


def _same_colors(panels: Sequence[LabelPanel]) -> list[list[LabelPanel]]:
    groups: list[list[LabelPanel]] = []
    for panel in panels:
        last = groups[-1][-1] if groups else None
        joins = (
            last is not None
            and "signal" not in (panel.role, last.role)
            and (panel.background, panel.text_color) == (last.background, last.text_color)
        )
        if joins:
            groups[-1].append(panel)
        else:
            groups.append([panel])
    return groups


def _field(view: LabelView, group: list[LabelPanel], inks: Inks, setting: Setting, message_height: float) -> LabelField:
    first = group[0]
    is_signal = first.role == "signal"
    fill, ink = inks.field(first.background, first.text_color, is_signal=is_signal)
    blocks: list[Block] = []
    for panel in group:
        for line in panel.lines:
            height = max(cap_height_mm(line), SIGNAL_TO_MESSAGE * message_height, _LEAST_SIGNAL_MM) if is_signal else cap_height_mm(line)
            require_contrast(ink, fill or inks.paper, height, view.id)
            style = capitals(signal_face(line.text), height, ink) if is_signal else style_for(panel.role, height, setting.width, ink)
            require_printable(line.text, style.face)
            is_added = panel.role == "added"
            has_rule = is_added and bool(blocks) and not blocks[-1].is_added
            phrases = line.phrases if setting.keeps_phrases else ()
            blocks.append(Block(line, style, phrases, is_added, has_rule, is_title=panel.role == "title"))
    pad = _pad(view, max(block.style.cap_height_mm for block in blocks), setting, is_signal=is_signal)
    is_dark = first.background != "safety_white"
    return LabelField(
        blocks=tuple(blocks),
        fill=fill,
        ink=ink,
        pad_mm=pad,
        is_signal=is_signal,
        is_centered=first.role == "title",
        beside_picture=not is_dark and not is_signal,
        narrowest_mm=max(_narrowest(block) for block in blocks) + 2 * pad + (_symbol_room(blocks[0]) if is_signal else 0.0),
        line_spacing=_TIGHT_LINE_SPACING if setting.is_tight else _LINE_SPACING,
    )


def _pad(view: LabelView, largest: float, setting: Setting, *, is_signal: bool) -> float:
    """Return the margin around the text of a field whose largest capitals are ``largest`` mm tall."""
    if not view.border:
        return 0.6 * largest
    if is_signal:
        return max(_SIGNAL_PAD * largest, _LEAST_PAD_MM)
    if setting.is_tight:
        return max(_TIGHT_PAD * largest, _LEAST_PAD_MM)
    return max(min(largest, max(_LARGE_PAD_MM, _LARGE_PAD * largest)), _LEAST_PAD_MM)


def _symbol_room(signal: Block) -> float:
    """Width that the safety alert symbol and its gap take beside a signal word."""
    if signal.source.text in _NO_SYMBOL:
        return 0.0
    cap = signal.style.cap_height_mm
    return alert_symbol_width(SYMBOL_TO_LETTERS * cap) + SYMBOL_GAP * cap


def _narrowest(block: Block) -> float:
    return widest_piece(block.source.text, block.style, block.phrases) + _indent(block, 1)


def narrowest_mm(fields: Sequence[LabelField]) -> float:
    """Return the least inner width at which no word or phrase need be broken."""
    return max(field.narrowest_mm for field in fields)


def preferred_mm(fields: Sequence[LabelField]) -> float:
    """Return the inner width at which every sentence stands in the lines its wording suggests.

    Facts of our own may be wrapped; they widen a label only moderately.
    """
    fixed, added = 0.0, 0.0
    for field in fields:
        extra = 2 * field.pad_mm + (_symbol_room(field.blocks[0]) if field.is_signal else 0.0)
        for block in field.blocks:
            lines = block.source.breaks or (block.source.text,)
            width = max(text_width(line, block.style) for line in lines) + extra
            if block.is_added:
                added = max(added, width)
            else:
                fixed = max(fixed, width)
    return max(fixed, min(added, max(_ADDED_TO_TITLE * fixed, _WIDEST_ADDED_MM)), narrowest_mm(fields))


def set_field(field: LabelField, room_mm: float, y: float, inner_mm: float, *, as_suggested: bool) -> SetField:
    """Set a field ``room_mm`` wide with its top at ``y``; ``inner_mm`` is the width of the whole label inside its frame.

    Titles are centered. In a white field everything is set from the left as soon as one of our own facts needs it.
    """
    if field.is_signal:
        return _signal_field(field, y, inner_mm)
    space = room_mm - 2 * field.pad_mm
    broken = [_lines_of(block, space, as_suggested=as_suggested) for block in field.blocks]
    is_centered = field.is_centered and room_mm == inner_mm and (not field.beside_picture or _is_short(field.blocks, broken))
    widths = [max(_indented_width(block, lines)) for block, lines in zip(field.blocks, broken, strict=True)]
    left = field.pad_mm + ((space - max(widths)) / 2 if room_mm == inner_mm else 0.0)
    lines: list[PlacedLine] = []
    rules: list[float] = []
    cursor = y + field.pad_mm
    for index, (block, texts) in enumerate(zip(field.blocks, broken, strict=True)):
        cap, step = block.style.cap_height_mm, field.line_spacing * block.style.size_mm
        if index:
            above = field.blocks[index - 1].style
            leading = max(step - cap, field.line_spacing * above.size_mm - above.cap_height_mm)
            cursor += leading + _BETWEEN_SENTENCES * max(cap, above.cap_height_mm)
        if block.has_rule:
            cursor += _AROUND_RULE * cap - (step - cap)
            rules.append(cursor)
            cursor += (_AROUND_RULE + _BETWEEN_SENTENCES) * cap
        for number, text in enumerate(texts):
            x = room_mm / 2 if is_centered else left + _indent(block, number)
            lines.append(PlacedLine(text, block.style, x, cursor + cap + number * step, is_centered, block.source))
        cursor += cap + (len(texts) - 1) * step
    height = cursor + field.pad_mm - y
    return SetField(field, y, inner_mm, height, room_mm, max(widths) + 2 * field.pad_mm, tuple(lines), tuple(rules))


def _is_short(blocks: Sequence[Block], broken: Sequence[Sequence[str]]) -> bool:
    """Whether a white field holds a title and at most one line below it, and so looks best centered."""
    return sum(len(lines) for block, lines in zip(blocks, broken, strict=True) if not block.is_title) <= 1


def _indent(block: Block, line_number: int) -> float:
    """A fact of our own that takes several lines hangs from its first one."""
    return _HANGING_INDENT * block.style.cap_height_mm if block.is_added and line_number else 0.0


def _indented_width(block: Block, lines: Sequence[str]) -> list[float]:
    return [text_width(line, block.style) + _indent(block, number) for number, line in enumerate(lines)]


def _signal_field(field: LabelField, y: float, inner_mm: float) -> SetField:
    block = field.blocks[0]
    cap, word = block.style.cap_height_mm, block.source.text
    room = _symbol_room(block)
    start = (inner_mm - text_width(word, block.style) - room) / 2
    height = max(SYMBOL_TO_LETTERS if room else 1.0, 1.0) * cap + 2 * _SIGNAL_PAD * cap * (0.7 if room else 1.0)
    line = PlacedLine(word, block.style, start + room, y + height / 2 + cap / 2, is_centered=False, source=block.source)
    needed = text_width(word, block.style) + room + 2 * field.pad_mm
    return SetField(field, y, inner_mm, height, inner_mm, needed, (line,), (), symbol_x=start)


def _lines_of(block: Block, space_mm: float, *, as_suggested: bool) -> tuple[str, ...]:
    """Break a sentence as its wording suggests where that fits, else into few lines of like width."""
    suggested = block.source.breaks
    whole = " ".join(part for part in block.source.text.split(" ") if part)
    if block.is_added and text_width(whole, block.style) <= space_mm + 1e-6:
        return (whole,)
    if as_suggested and suggested and all(text_width(line, block.style) <= space_mm + 1e-6 for line in suggested):
        return suggested
    if block.is_added:
        return break_lines(block.source.text, block.style, space_mm - _indent(block, 1), block.phrases)
    return balanced_lines(block.source.text, block.style, space_mm, block.phrases)
