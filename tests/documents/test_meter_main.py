"""A meter-main on paper: one enclosure with the meter ahead of its main, its lugs in the panel schedule and the torque log."""

from __future__ import annotations

import pytest

from permitgen.views.field_checklist import view_of
from permitgen.views.one_line import Branch, Unit
from permitgen.views.one_line_units import one_line_of
from permitgen.views.schedules import panel_faces

NAME = "b16_meter_main_40_a"


@pytest.fixture
def unit(evaluations) -> Unit:
    service = one_line_of(evaluations[NAME]).roots[0]
    found = service.branches[0].unit
    assert found is not None
    return found


def test_the_meter_stands_ahead_of_the_main_in_one_enclosure(unit: Unit) -> None:
    """Parts count from the inside outward: the utility meets the meter first."""
    assert (unit.tag, unit.kind, unit.bond) == ("MM", "panelboard", "bonded")
    (entry,) = unit.entries
    assert [part.kind for part in entry.parts] == ["breaker", "meter"]
    assert entry.parts[0].step == "1"


def test_the_lugs_at_the_end_of_the_busbar_lead_to_the_house_panel(unit: Unit) -> None:
    through: list[Branch] = [branch for branch in unit.branches if branch.unit is not None and branch.unit.tag == "HP"]
    (way,) = through[0].ways
    assert (way.terminal, way.parts) == ("feed-through lugs", ())


def test_the_panel_schedule_names_the_lugs(evaluations) -> None:
    panel = next(face.schedule for face in panel_faces(evaluations[NAME]) if face.schedule.title.startswith("Panel MM"))
    assert ("lugs", "–", "F1", "Feed-through conductors to the house panel") in panel.rows


def test_the_lugs_of_both_sides_are_torqued(evaluations) -> None:
    """As the project file states: 275 lbf-in at the line lugs, 250 lbf-in at the feed-through lugs, 36 lbf-in at breakers."""
    lines = {line.id: line for section in view_of(evaluations[NAME], "").sections for line in section.lines}
    found = {key: lines[f"torque:{key}:L1"].rule.base for key in ("S1@MM.line", "F1@MM.feed_through", "C3@MM.5")}
    assert found == {"S1@MM.line": 275.0, "F1@MM.feed_through": 250.0, "C3@MM.5": 36.0}
