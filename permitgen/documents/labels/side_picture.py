"""The picture of a label: the house diagram, the roof plan, or a QR symbol; beside the white fields or below them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from permitgen.documents.canvas.shapes import Group, Shape, moved
from permitgen.documents.labels.diagram_marks import legend_rows, legend_width
from permitgen.documents.labels.house import house_diagram
from permitgen.documents.labels.ink import Inks
from permitgen.documents.labels.label_fields import SetField
from permitgen.documents.labels.roof_plan import roof_plan_diagram, roof_plan_height_to_width
from permitgen.documents.qr import qr_shape, sturdy_symbol
from permitgen.views.label import LabelView

_QR_MODULE_MM = 1.0
_PAD_MM = 3.0
_SMALLEST_MM, _NARROWEST_MM, _WIDEST_MM, _PART_OF_LABEL = 42.0, 50.0, 84.0, 0.36
_LEAST_HEIGHT_TO_WIDTH, _MOST_TO_LEAST_HEIGHT = 0.62, 1.35
_PLAN_NARROWEST_MM, _PLAN_WIDEST_MM, _PLAN_PART_OF_LABEL = 72.0, 110.0, 0.45


@dataclass(frozen=True, slots=True)
class PicturePlace:
    """Where the picture stands in mm from the top left of the fields; ``width`` counts its margin, ``bottom`` the label's."""

    width: float
    least_height: float
    is_below: bool
    x: float = 0.0
    y: float = 0.0
    height: float = 0.0
    bottom: float = 0.0

    def placed(self, fields: Sequence[SetField], y: float, inner_mm: float) -> PicturePlace:
        """Return the place once the fields are set and end at ``y``."""
        if self.is_below:
            return replace(self, x=_PAD_MM, y=y, height=self.least_height, bottom=y + self.least_height + _PAD_MM)
        top = next((field.y for field in fields if field.field.beside_picture), y)
        room = max(y - top - 2 * _PAD_MM, self.least_height)
        height = min(room, self.least_height * _MOST_TO_LEAST_HEIGHT)
        bottom = max(y, top + height + 2 * _PAD_MM)
        middle = top + (bottom - top - height) / 2
        return replace(self, x=inner_mm - self.width, y=middle, height=height, bottom=bottom)


def picture_place(view: LabelView, inner_mm: float, inks: Inks, *, is_below: bool) -> PicturePlace | None:
    """Return the size of the label's picture at an inner width, or None for a label without one."""
    if view.qr_address:
        side = sturdy_symbol(view.qr_address).width_mm(_QR_MODULE_MM)
        return PicturePlace(side + _PAD_MM, side, is_below=False)
    if view.diagram is None:
        return None
    is_plan = view.diagram_kind == "roof_plan"
    if is_below:
        width = min(inner_mm - 2 * _PAD_MM, _PLAN_WIDEST_MM)
    elif is_plan:
        width = min(max(_PLAN_NARROWEST_MM, _PLAN_PART_OF_LABEL * inner_mm), _PLAN_WIDEST_MM)
    else:
        width = min(max(_NARROWEST_MM, _PART_OF_LABEL * inner_mm, legend_width(view.diagram, inks)), _WIDEST_MM)
    _rows, legend = legend_rows(view.diagram, width, inks)
    shape = roof_plan_height_to_width(view.diagram) if is_plan else _LEAST_HEIGHT_TO_WIDTH
    return PicturePlace(width + (0.0 if is_below else _PAD_MM), width * shape + legend, is_below=is_below)


def smallest_picture_place(view: LabelView, inner_mm: float, inks: Inks) -> PicturePlace | None:
    """Return the least size of a diagram beside the text, its legend broken where that needs it; for a small stock."""
    if view.diagram is None or view.diagram_kind == "roof_plan":
        return picture_place(view, inner_mm, inks, is_below=False)
    _rows, legend = legend_rows(view.diagram, _SMALLEST_MM, inks)
    return PicturePlace(_SMALLEST_MM + _PAD_MM, _SMALLEST_MM * _LEAST_HEIGHT_TO_WIDTH + legend, is_below=False)


def picture_shapes(view: LabelView, place: PicturePlace, inks: Inks) -> tuple[Shape, ...]:
    """Return the picture drawn at its place."""
    if view.qr_address:
        symbol = sturdy_symbol(view.qr_address)
        return (qr_shape(symbol, place.x, place.y + (place.height - place.least_height) / 2, _QR_MODULE_MM, ink=inks.line),)
    if view.diagram is None:
        return ()
    width = place.width if place.is_below else place.width - _PAD_MM
    draw = roof_plan_diagram if view.diagram_kind == "roof_plan" else house_diagram
    return (Group(draw(view.diagram, width, place.height, inks), transform=moved(place.x, place.y)),)
