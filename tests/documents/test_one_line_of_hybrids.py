"""An inverter with several ac ports on the one-line diagram: relays where ac passes, converters at its dc inputs alone.

Read off the one-line by hand; common practice, no published source: a dc-to-dc converter stands at a dc input, and the contact that parts
utility and load port is drawn between them.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.documents.canvas.bounds import Box
from permitgen.documents.diagram.clashes import clashes
from permitgen.documents.diagram.drafting import Drafting
from permitgen.documents.diagram.manner import Manner
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.views.one_line_units import one_line_of

BASES = Path(__file__).parents[1] / "rules" / "bases"


def inverter_of(base: str, tag: str):
    system = load_project(BASES / f"{base}.yaml").system
    return next(unit for unit in one_line_of(evaluate(system, CodeBook(system.jurisdiction.edition))).units() if unit.tag == tag)


@pytest.mark.parametrize(
    ("base", "tag", "converters"),
    [("hybrid_load_port", "INV1", 2), ("inverters_in_parallel", "INV1", 1), ("inverters_in_parallel", "INV2", 1)],
)
def test_converters_stand_at_dc_inputs_and_the_relay_between_the_ac_ports(base, tag, converters):
    unit = inverter_of(base, tag)
    ways = [way for way in (*unit.entries, *(way for branch in unit.branches for way in branch.ways)) if way.conductors]
    assert {way.terminal: [part.kind for part in way.parts] for way in ways if way.conductors[0] == "L1"} == {
        "grid": ["contact"],
        "backup": [],
    }
    assert all(not way.parts for way in ways if way.conductors[0] == "+")
    sketch = Drafting()(unit, 0.0, Manner()).sketch
    drawn = [item.name for item in sketch.items if item.kind == "symbol"]  # its own: what lies beyond is a sketch of its own
    assert drawn.count("converter") == converters
    assert drawn.count("contact") == 1
    box = sketch.box
    assert clashes(sketch.flattened(-box.left, -box.top), Box(0, 0, box.right - box.left, box.bottom - box.top)) == []
