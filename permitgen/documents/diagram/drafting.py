"""The door to the drafting of units: picks how a unit is drawn by its kind."""

from __future__ import annotations

from permitgen.documents.diagram.bonding_units import draft_bonding_unit
from permitgen.documents.diagram.bus_units import draft_bus_unit
from permitgen.documents.diagram.leaf_units import draft_leaf
from permitgen.documents.diagram.line_units import draft_line_unit
from permitgen.documents.diagram.manner import Manner, wire_pen
from permitgen.documents.diagram.sketch import Block, Sketch
from permitgen.views.one_line import Unit

_WITH_BUSBAR = frozenset({"panelboard", "interconnect device"})
_IN_THE_LINE = frozenset({"utility", "meter", "junction", "disconnect", "inverter", "transfer switch", "power inlet"})


class Drafting:
    """Drafts units and remembers what it drafted: most of a tree stays the same while its parts are tried on different sheets."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, float, Manner], tuple[Unit, Block]] = {}

    def __call__(self, unit: Unit, pitch: float, manner: Manner) -> Block:
        """Return a unit with everything beyond it; its entries lie at x = 0, at least ``pitch`` mm apart."""
        key = (id(unit), pitch, manner)
        known = self._known.get(key)
        if known is None:
            known = (unit, self._draft(unit, pitch, manner))
            self._known[key] = known
        return known[1]

    def arrive(self, sketch: Sketch, root: Unit, block: Block, width: float) -> None:
        """Draw the lines by which a tree arrives from another sheet."""
        for y in block.entries:
            sketch.wire(((0.0, y), (width, y)), wire_pen("power", is_existing=root.is_existing))

    def _draft(self, unit: Unit, pitch: float, manner: Manner) -> Block:
        if unit.kind in _WITH_BUSBAR:
            return draft_bus_unit(unit, pitch, manner, self)
        if unit.kind == "bonding":
            return draft_bonding_unit(unit, manner, self)
        if unit.kind in _IN_THE_LINE:
            return draft_line_unit(unit, pitch, manner, self)
        return draft_leaf(unit, pitch, manner, self)
