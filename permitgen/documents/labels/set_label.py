"""Sets one label: letters at the height that binds them, lines broken at phrases, the label as large as that makes it.

When a stock is too small the lines are broken anew, then a narrower face is tried, then tight margins, then phrases may be broken;
after that the label does not fit, and a larger stock is named. Letters are never made smaller and nothing is cut off.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from permitgen.documents.canvas.bounds import Box, text_box
from permitgen.documents.canvas.shapes import Shape, Text
from permitgen.documents.canvas.styles import MM_PER_INCH
from permitgen.documents.labels.ink import FULL_COLOR, Inks, is_white_on_red, red_stock
from permitgen.documents.labels.label_fields import LabelField, PlacedLine, SetField, Setting, fields_of, preferred_mm, set_field
from permitgen.documents.labels.label_frame import FRAME_MM, framed
from permitgen.documents.labels.side_picture import PicturePlace, picture_place, picture_shapes, smallest_picture_place
from permitgen.documents.labels.stock import LETTER_SHEET, STOCKS, LabelDoesNotFitError, LabelStock, tape
from permitgen.views.label import LabelView

_SETTINGS = (
    Setting("normal", keeps_phrases=True),
    Setting("narrow", keeps_phrases=True),
    Setting("narrow", keeps_phrases=True, is_tight=True),
    Setting("normal", keeps_phrases=False),
    Setting("narrow", keeps_phrases=False),
    Setting("narrow", keeps_phrases=False, is_tight=True),
    Setting("narrow", keeps_phrases=True, is_tight=True, has_footer=False),
    Setting("narrow", keeps_phrases=False, is_tight=True, has_footer=False),
)
"""Ways to set a label, the first that fits is taken: the wider face, whole phrases and wide margins before the others."""
_WIDER, _WIDEST_TAPE_MM = 1.2, 110
_SLACK_MM = 0.02
_TOLERANCE_MM = 1e-6


@dataclass(frozen=True, slots=True)
class SetLetters:
    """One printed line and the height of its capitals in mm; ``binding_height_in`` as the section fixes it, or None.

    ``of`` is the sentence that it is a line of, ``at`` where it stands on the label.
    """

    text: str
    cap_height_mm: float
    binding_height_in: float | None
    section: str
    face: str
    of: str
    at: Box

    @property
    def cap_height_in(self) -> float:
        """Height of its capitals, in."""
        return self.cap_height_mm / MM_PER_INCH


@dataclass(frozen=True, slots=True)
class SetLabel:
    """A label ready to print: outer size in mm along the cut line, shapes with the origin at its top left corner.

    ``asks_for`` names the stock that it needs on a printer of one color.
    """

    view: LabelView
    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]
    letters: tuple[SetLetters, ...]
    stock: str
    asks_for: str = ""


@dataclass(frozen=True, slots=True)
class _Attempt:
    """Fields set at one width, with the place of the picture beside or below them."""

    width: float
    height: float
    fields: tuple[SetField, ...]
    picture: PicturePlace | None


def set_label(view: LabelView, stock: LabelStock = LETTER_SHEET, inks: Inks = FULL_COLOR) -> SetLabel:
    """Return the label set on a stock.

    Raises LabelDoesNotFitError naming the smallest stock that takes it, LabelContrastError for letters that do not stand
    out, MissingGlyphError for a character that cannot be printed.
    """
    attempt = _first_attempt(view, stock, inks)
    if attempt is None:
        raise LabelDoesNotFitError(_does_not_fit(view, stock, inks))
    return _finished(view, attempt, stock, inks)


def _best_attempt(view: LabelView, area: tuple[float, float], inks: Inks) -> _Attempt | None:
    """Return the first setting that fits."""
    for setting in _SETTINGS:
        fields = fields_of(view, inks, setting)
        for trial in _trials(view, fields, area[0], inks):
            attempt = _attempt(fields, trial)
            if attempt is not None and attempt.height <= area[1] + _TOLERANCE_MM:
                return _drawn_in(fields, trial, attempt)
    return None


def _drawn_in(fields: tuple[LabelField, ...], trial: _Trial, attempt: _Attempt) -> _Attempt:
    """Set the fields again in the width that their lines really need, so that no label is wider than its text."""
    beside = attempt.picture.width if attempt.picture and not attempt.picture.is_below else 0.0
    needed = max(field.needed_mm + (beside if field.field.beside_picture else 0.0) for field in attempt.fields)
    if attempt.picture and attempt.picture.is_below:
        needed = max(needed, attempt.picture.width)
    width = needed + 2 * trial.frame + _SLACK_MM
    if width >= attempt.width:
        return attempt
    again = _attempt(fields, replace(trial, width=width))
    return again if again is not None and again.height <= attempt.height + _TOLERANCE_MM else attempt


@dataclass(frozen=True, slots=True)
class _Trial:
    """An outer width to try, with lines as the wording suggests or as few as fit, and the size of the picture."""

    width: float
    frame: float
    as_suggested: bool
    picture: PicturePlace | None


def _trials(view: LabelView, fields: tuple[LabelField, ...], most: float, inks: Inks) -> Iterator[_Trial]:
    """Yield what to try: as the wording likes it first, the picture beside it; then wider, as wide as the stock, with a small picture."""
    frame = FRAME_MM if view.border else 0.0
    for is_below in (False, True) if view.diagram else (False,):
        widths = _widths(view, fields, most - 2 * frame, inks, is_below=is_below)
        for number, inner in enumerate(widths):
            picture = picture_place(view, inner, inks, is_below=is_below)
            yield _Trial(inner + 2 * frame, frame, number == 0, picture)
    if view.diagram:
        yield _Trial(most, frame, as_suggested=False, picture=smallest_picture_place(view, most - 2 * frame, inks))


def _widths(view: LabelView, fields: tuple[LabelField, ...], most: float, inks: Inks, *, is_below: bool) -> list[float]:
    """Return inner widths to try, the one at which all suggested lines fit first."""
    preferred = preferred_mm(fields)
    picture = picture_place(view, preferred, inks, is_below=is_below)
    if picture is not None and not is_below:
        beside = [field for field in fields if field.beside_picture]
        text = preferred_mm(beside) if beside else 0.0
        preferred = max(preferred, min(text + picture.width, most))
    widths = [min(preferred, most)]
    while widths[-1] * _WIDER < most:
        widths.append(widths[-1] * _WIDER)
    return widths if widths[-1] >= most - _TOLERANCE_MM else [*widths, most]


def _attempt(fields: tuple[LabelField, ...], trial: _Trial) -> _Attempt | None:
    """Set all fields at one width, or return None when a word or phrase is wider than its field."""
    inner = trial.width - 2 * trial.frame
    picture = trial.picture
    beside = picture.width if picture and not picture.is_below else 0.0
    set_fields: list[SetField] = []
    y = 0.0
    for field in fields:
        room = inner - (beside if field.beside_picture else 0.0)
        if field.narrowest_mm > room + _TOLERANCE_MM:
            return None
        made = set_field(field, room, y, inner, as_suggested=trial.as_suggested)
        set_fields.append(made)
        y += made.height
    placed = picture.placed(set_fields, y, inner) if picture else None
    bottom = placed.bottom if placed else y
    return _Attempt(trial.width, bottom + 2 * trial.frame, tuple(set_fields), placed)


def _finished(view: LabelView, attempt: _Attempt, stock: LabelStock, inks: Inks) -> SetLabel:
    pictured = picture_shapes(view, attempt.picture, inks) if attempt.picture else ()
    shapes = framed(view, attempt.fields, (attempt.width, attempt.height), pictured, inks)
    frame = FRAME_MM if view.border else 0.0
    letters = tuple(_letters(line, frame) for field in attempt.fields for line in field.lines)
    asks_for = red_stock(view) if inks.printing == "one_ink" and is_white_on_red(view) else ""
    return SetLabel(view, attempt.width, attempt.height, shapes, letters, stock.name, asks_for)


def _letters(line: PlacedLine, frame: float) -> SetLetters:
    source, shown = line.source, Text(line.x + frame, line.y + frame, line.text, line.style, "middle" if line.is_centered else "start")
    height, face = line.style.cap_height_mm, line.style.face.name
    return SetLetters(line.text, height, source.binding_height_in, source.section, face, source.text, text_box(shown))


def _does_not_fit(view: LabelView, stock: LabelStock, inks: Inks) -> str:
    """Word the message with the smallest stock that takes the label: of tapes the narrowest, of sheets and forms that of least area."""
    same = [other for other in STOCKS.values() if (other.kind == "tape") == (stock.kind == "tape") and other.name != stock.name]
    rest = [other for other in STOCKS.values() if other not in same and other.name != stock.name]
    if stock.kind == "tape":
        same = [tape(float(width)) for width in range(math.ceil(stock.height_mm + 1e-9), _WIDEST_TAPE_MM + 1) if width > stock.height_mm]
    ordered = (*sorted(same, key=lambda s: s.width_mm * s.height_mm), *sorted(rest, key=lambda s: s.width_mm * s.height_mm))
    found = next(((other, attempt) for other in ordered if (attempt := _first_attempt(view, other, inks)) is not None), None)
    advice = "no stock known here takes it; shorten its own text"
    if found is not None:
        other, attempt = found
        advice = f"the smallest stock that takes it is {other.name}, on which it is {attempt.width:.0f} by {attempt.height:.0f} mm"
    label = f"label {view.id} at {view.tag}" if view.tag else f"label {view.id}"
    return f"{label}: does not fit on {stock.name} at the letter height that binds it; {advice}"


def _first_attempt(view: LabelView, stock: LabelStock, inks: Inks) -> _Attempt | None:
    attempts = (_best_attempt(view, area, inks) for area in stock.label_areas)
    return next((attempt for attempt in attempts if attempt is not None), None)
