"""Drawings of what to measure, one for each kind of measurement: the same on the phone and on paper. No figure of any house is in them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from permitgen.documents.canvas.colors import BLACK, DARK_GRAY, PALE_GRAY, SAFETY_BLUE, WHITE
from permitgen.documents.canvas.figures import circle, polygon, rectangle
from permitgen.documents.canvas.shapes import Line, Polyline, Shape, Text
from permitgen.documents.canvas.styles import MEDIUM, THIN, WIDE, capitals
from permitgen.documents.fonts.faces import CONDENSED_MEDIUM
from permitgen.documents.inline_svg import InlineSvg

WIDTH_MM, HEIGHT_MM = 56.0, 32.5
_FLOOR = 28.0
_MEASURED = WIDE.colored(SAFETY_BLUE)
_EDGE = THIN.colored(DARK_GRAY)
_WORD = capitals(CONDENSED_MEDIUM, 1.9, DARK_GRAY)
_HEAD = 1.5


@dataclass(frozen=True, slots=True)
class SurveyFigure:
    """A drawing and the line below it, which says where the tape begins and ends."""

    shapes: tuple[Shape, ...]
    caption: str

    @property
    def svg(self) -> str:
        """The drawing as an ``svg`` element of a page."""
        return InlineSvg().svg(self.shapes, WIDTH_MM, HEIGHT_MM, says=self.caption)


def survey_figure(name: str) -> SurveyFigure:
    """Return the drawing of a kind of measurement; ``name`` is one that ``views/survey.py`` gives."""
    draw, caption = _FIGURES[name]
    return SurveyFigure(tuple(draw()), caption)


def _across(x1: float, x2: float, y: float) -> list[Shape]:
    """A measured length from left to right, with a head at either end and a line through each."""
    heads = [
        polygon(((x, y), (x + turn * _HEAD * 1.6, y - _HEAD / 2), (x + turn * _HEAD * 1.6, y + _HEAD / 2)), fill=SAFETY_BLUE)
        for x, turn in ((x1, 1), (x2, -1))
    ]
    return [Line(x1, y, x2, y, _MEASURED), *(Line(x, y - 2.2, x, y + 2.2, _EDGE) for x in (x1, x2)), *heads]


def _down(x: float, y1: float, y2: float) -> list[Shape]:
    heads = [
        polygon(((x, y), (x - _HEAD / 2, y + turn * _HEAD * 1.6), (x + _HEAD / 2, y + turn * _HEAD * 1.6)), fill=SAFETY_BLUE)
        for y, turn in ((y1, 1), (y2, -1))
    ]
    return [Line(x, y1, x, y2, _MEASURED), *(Line(x - 2.2, y, x + 2.2, y, _EDGE) for y in (y1, y2)), *heads]


def _ground(y: float = _FLOOR) -> list[Shape]:
    return [Line(2.0, y, WIDTH_MM - 2.0, y, WIDE)]


def _box(x: float, y: float, width: float, height: float) -> Shape:
    return rectangle(x, y, width, height, pen=MEDIUM, fill=PALE_GRAY)


def _said(x: float, y: float, words: str) -> Text:
    return Text(x, y, words, _WORD, "middle")


def _wall_and_box() -> list[Shape]:
    """A wall seen from its end, with an enclosure on it."""
    return [rectangle(8.0, 3.0, 3.0, _FLOOR - 3.0, pen=MEDIUM, fill=WHITE), _box(11.0, 8.0, 5.0, 11.0), *_ground()]


def _working_depth() -> list[Shape]:
    other: list[Shape] = [rectangle(46.0, 3.0, 3.0, _FLOOR - 3.0, pen=MEDIUM, fill=WHITE), _said(41.0, 30.9, "nearest thing opposite")]
    return [*_wall_and_box(), *other, *_across(16.0, 46.0, 13.0), _said(14.0, 30.9, "front")]


def _working_width() -> list[Shape]:
    things = [rectangle(4.0, 6.0, 5.0, _FLOOR - 6.0, pen=THIN, fill=WHITE), rectangle(47.0, 6.0, 5.0, _FLOOR - 6.0, pen=THIN, fill=WHITE)]
    return [*_ground(), *things, _box(22.0, 6.0, 12.0, 13.0), *_across(9.0, 47.0, 23.5), _said(28.0, 30.9, "between the things beside it")]


def _working_height() -> list[Shape]:
    return [
        *_wall_and_box(),
        Line(8.0, 3.0, WIDTH_MM - 2.0, 3.0, WIDE),
        *_down(28.0, 3.0, _FLOOR),
        _said(43.0, 16.0, "floor to the lowest"),
        _said(43.0, 19.0, "thing above"),
    ]


def _dedicated_space() -> list[Shape]:
    around = Polyline(((22.0, 3.0), (34.0, 3.0), (34.0, _FLOOR), (22.0, _FLOOR)), _MEASURED.dashed(1.6, 1.0), closed=True)
    return [
        *_ground(),
        Line(2.0, 3.0, WIDTH_MM - 2.0, 3.0, WIDE),
        _box(22.0, 9.0, 12.0, 11.0),
        around,
        _said(28.0, 30.9, "as wide as the panel, floor to ceiling: pipes? ducts?"),
    ]


def _handle_height() -> list[Shape]:
    handle = [rectangle(34.0, 6.0, 2.0, 6.0, pen=MEDIUM, fill=BLACK), circle(35.0, 6.0, 1.2, pen=None, fill=BLACK)]
    return [
        *_ground(),
        _box(18.0, 5.0, 14.0, 15.0),
        Line(32.0, 12.0, 35.0, 12.0, MEDIUM),
        *handle,
        *_down(44.0, 6.0, _FLOOR),
        Line(36.0, 6.0, 44.0, 6.0, _EDGE),
        _said(28.0, 30.9, "handle at its highest, to the floor one stands on"),
    ]


def _lower_edge() -> list[Shape]:
    return [*_ground(), _box(18.0, 4.0, 16.0, 12.0), *_down(26.0, 16.0, _FLOOR), _said(28.0, 30.9, "lower edge to floor or ground")]


def _opening() -> list[Shape]:
    window: list[Shape] = [
        rectangle(40.0, 7.0, 11.0, 12.0, pen=MEDIUM, fill=WHITE),
        Line(45.5, 7.0, 45.5, 19.0, _EDGE),
        Line(40.0, 13.0, 51.0, 13.0, _EDGE),
    ]
    return [*_ground(), _box(5.0, 8.0, 11.0, 14.0), *window, *_across(16.0, 40.0, 13.0), _said(28.0, 30.9, "nearest edges, along the wall")]


def _next_unit() -> list[Shape]:
    return [
        *_ground(),
        _box(5.0, 7.0, 14.0, 19.0),
        _box(37.0, 7.0, 14.0, 19.0),
        *_across(19.0, 37.0, 16.0),
        _said(28.0, 30.9, "nearest edges of two units"),
    ]


def _run() -> list[Shape]:
    way = ((12.0, 14.0), (12.0, 5.0), (44.0, 5.0), (44.0, 18.0))
    ends = [_box(6.0, 14.0, 12.0, 10.0), _box(38.0, 18.0, 12.0, 8.0)]
    return [
        *_ground(),
        *ends,
        Polyline(way, _MEASURED),
        *(circle(x, y, 0.9, pen=None, fill=SAFETY_BLUE) for x, y in way),
        _said(28.0, 30.9, "along its way, enclosure to enclosure"),
    ]


def _cover() -> list[Shape]:
    return [
        Line(2.0, 8.0, WIDTH_MM - 2.0, 8.0, WIDE),
        circle(28.0, 25.0, 2.5, pen=MEDIUM, fill=PALE_GRAY),
        *_down(28.0, 8.0, 22.5),
        _said(43.0, 6.0, "finished ground"),
        _said(43.0, 26.0, "top of the run"),
    ]


def _above_roof() -> list[Shape]:
    roof = Line(4.0, 28.0, 52.0, 20.0, WIDE)
    return [
        roof,
        Line(4.0, 17.0, 52.0, 9.0, WIDE.colored(DARK_GRAY)),
        *_down(28.0, 13.2, 24.0),
        _said(13.0, 12.0, "run, underside"),
        _said(43.0, 26.5, "roof surface"),
    ]


def _plate() -> list[Shape]:
    lines = [Line(16.0, y, 40.0 - 6.0 * (index % 2), y, _EDGE) for index, y in enumerate((10.5, 14.0, 17.5, 21.0))]
    plate = rectangle(12.0, 6.0, 32.0, 19.0, pen=MEDIUM, fill=WHITE)
    frame = ((8.0, 3.0, 1, 1), (48.0, 3.0, -1, 1), (8.0, 28.0, 1, -1), (48.0, 28.0, -1, -1))
    return [plate, *lines, *(Polyline(((x, y + 3.0 * down), (x, y), (x + 3.0 * across, y)), _MEASURED) for x, y, across, down in frame)]


def _lugs() -> list[Shape]:
    lug: list[Shape] = [
        _box(20.0, 7.0, 12.0, 16.0),
        circle(26.0, 12.0, 3.0, pen=MEDIUM, fill=WHITE),
        Line(24.0, 12.0, 28.0, 12.0, MEDIUM),
        rectangle(24.5, 17.0, 3.0, 11.0, pen=MEDIUM, fill=WHITE),
    ]
    words: list[Shape] = [
        rectangle(37.0, 9.0, 15.0, 10.0, pen=THIN, fill=WHITE),
        _said(44.5, 13.0, "Cu / Al"),
        _said(44.5, 17.0, "size, torque"),
    ]
    return [*lug, *words, _said(28.0, 30.9, "label in the door, lug, torque mark")]


def _panel() -> list[Shape]:
    shapes: list[Shape] = [_box(6.0, 2.0, 16.0, 25.0), rectangle(26.0, 2.0, 24.0, 25.0, pen=MEDIUM, fill=WHITE)]
    for index in range(6):
        y = 5.0 + 3.4 * index
        shapes += [rectangle(x, y, 5.0, 2.4, pen=THIN, fill=WHITE) for x in (8.5, 14.5)]
        shapes += [Line(29.0, y + 2.0, 37.0, y + 2.0, _EDGE), Line(40.0, y + 2.0, 47.0, y + 2.0, _EDGE)]
    return [*shapes, _said(14.0, 30.9, "every handle"), _said(38.0, 30.9, "directory in the door")]


_FIGURES: dict[str, tuple[Callable[[], list[Shape]], str]] = {
    "working depth": (_working_depth, "Clear depth: from the front of the enclosure straight out to the nearest thing opposite."),
    "working width": (_working_width, "Clear width: between the things at its left and right, in front of it."),
    "working height": (_working_height, "Clear height: from the floor to the lowest thing above the place where one stands."),
    "dedicated space": (_dedicated_space, "The space above and below the panel, as wide and deep as it, from floor to ceiling."),
    "handle height": (_handle_height, "From the handle at its highest position down to the floor or platform."),
    "lower edge": (_lower_edge, "From the lower edge of the enclosure down to the floor or ground."),
    "opening": (_opening, "From the edge of the equipment to the nearest edge of the door or window."),
    "next unit": (_next_unit, "Between the nearest edges of two units."),
    "run": (_run, "Along its way from one enclosure to the other, every bend and drop included."),
    "cover": (_cover, "From the finished ground down to the top of the run."),
    "above roof": (_above_roof, "From the roof surface up to the underside of the run."),
    "nameplate": (_plate, "One photo of the whole nameplate, square on, sharp enough to read."),
    "terminal label": (_lugs, "One photo of the label in the door and one of the lugs; open nothing that is live."),
    "panel": (_panel, "One photo of the open door with every handle, one of the directory."),
}
