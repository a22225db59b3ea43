"""The door to the drafting of units: picks how a unit is drawn by its kind."""

from __future__ import annotations

from permitgen.documents.diagram.bus_units import draft_bus_unit
from permitgen.documents.diagram.leaf_units import draft_leaf
from permitgen.documents.diagram.line_units import draft_line_unit
from permitgen.documents.diagram.manner import Manner
from permitgen.documents.diagram.sketch import Block
from permitgen.views.one_line import Unit

_WITH_BUSBAR = frozenset({"panelboard", "interconnect device"})
_IN_THE_LINE = frozenset({"utility", "meter", "junction", "disconnect", "inverter", "transfer switch"})


def draft(unit: Unit, pitch: float, manner: Manner) -> Block:
    """Return a unit with everything beyond it; its entries lie at x = 0, at least ``pitch`` mm apart."""
    if unit.kind in _WITH_BUSBAR:
        return draft_bus_unit(unit, pitch, manner, draft)
    if unit.kind in _IN_THE_LINE:
        return draft_line_unit(unit, pitch, manner, draft)
    return draft_leaf(unit, pitch, manner, draft)
