"""Every one-line states interrupting ratings, insulation and surge devices, and marks both switches of an interlock, on any paper."""

from __future__ import annotations

import pytest

from permitgen.documents.canvas.bounds import placed_boxes
from permitgen.documents.canvas.shapes import Text
from permitgen.system.panel_rows import branch_breakers
from permitgen.views.one_line_units import one_line_of
from permitgen.views.wording import value_text
from tests.documents.conftest import PROJECTS


def _said(one_lines, name, paper):
    _, drawings = one_lines[name, paper]
    texts = (shape.text for drawing in drawings for shape, _ in placed_boxes(drawing.shapes) if isinstance(shape, Text))
    return " ".join(texts).replace("\u00a0", " ")


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("paper", ["ANSI B", "letter"])
@pytest.mark.parametrize("name", PROJECTS)
def test_ratings_insulation_and_surge_devices_are_on_every_one_line(one_lines, evaluations, name, paper):
    """Interrupting ratings and conductor types: asked by a third of the correction notices (reference: plan review practice)."""
    system = evaluations[name].system
    said = _said(one_lines, name, paper)
    of_loads = {tag for tags in branch_breakers(system).values() for tag in tags}
    for tag, installed in system.devices.items():
        if tag not in of_loads and installed.device.interrupting_rating_ka is not None:
            assert value_text(installed.device.interrupting_rating_ka).replace("\u00a0", " ") in said, tag
    for tag, circuit in system.circuits.items():
        assert (circuit.conductors.insulation or "not stated") in said, tag
    for item in system.equipment.values():
        kind = item.word("surge_protection")
        if kind:
            assert ("no surge device" if kind == "none" else f"surge device {kind}") in said, item.tag


@pytest.mark.parametrize("name", ["b16_meter_main_40_a", "b23_inlet_sliding_plate"])
def test_each_value_names_all_that_have_it(evaluations, name):
    """No device and no circuit is left out of the notes, and each stands once."""
    system = evaluations[name].system
    ratings, insulation = one_line_of(evaluations[name]).stated
    of_loads = {tag for tags in branch_breakers(system).values() for tag in tags}
    for tag in system.devices.keys() - of_loads:
        head, _, rest = tag.partition(".")
        assert head in ratings, tag
        assert rest in ratings, tag
    assert all(tag in insulation for tag in system.circuits)


def test_both_switches_of_the_sliding_plate_carry_its_mark(one_lines):
    """b23: main and inlet breaker of MSP are held by a sliding plate (project file): a mark at each, and what it means at the panel."""
    said = _said(one_lines, "b23_inlet_sliding_plate", "ANSI B")
    assert said.count("ILK 1") == 3
    assert "ILK 1: MSP.main and MSP.2 not" in said
