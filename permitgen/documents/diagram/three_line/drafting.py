"""The door to the three-line diagram: the same calls as the drafting of the one-line."""

from __future__ import annotations

from permitgen.documents.diagram.manner import Manner
from permitgen.documents.diagram.sketch import Block, Sketch
from permitgen.documents.diagram.three_line.bars import draft_bars
from permitgen.documents.diagram.three_line.boxes import draft_box
from permitgen.documents.diagram.three_line.tracks import draw_straight
from permitgen.views.one_line import Unit

_WITH_BUSBAR = frozenset({"panelboard", "interconnect device"})


class ThreeLineDrafting:
    """Drafts units with every conductor and remembers what it drafted."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, float, Manner], tuple[Unit, Block]] = {}

    def __call__(self, unit: Unit, pitch: float, manner: Manner) -> Block:
        """Return a unit with everything beyond it; the first track of each entry lies at its y, at x = 0."""
        key = (id(unit), pitch, manner)
        if key not in self._known:
            draw = draft_bars if unit.kind in _WITH_BUSBAR else draft_box
            self._known[key] = (unit, draw(unit, pitch, manner, self))
        return self._known[key][1]

    def arrive(self, sketch: Sketch, root: Unit, block: Block, width: float) -> None:
        """Draw the tracks by which a tree arrives from another sheet."""
        for way, y in zip(root.entries, block.entries, strict=False):
            draw_straight(sketch, way.conductors or ("L1",), 0.0, width, y, is_existing=root.is_existing)
