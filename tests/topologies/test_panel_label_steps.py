"""A backup panel's label names the steps of the placard that make that panel dead, those alone and in their order, or it is not printed.

Proved by the tests' own walk; common practice, no published source: whoever reads the panel's label opens every switch that it names.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.evaluation.evaluation import Evaluation
from permitgen.views.label_set import label_set_of
from permitgen.views.placard import placards_of
from tests.topologies.own_walk import OwnWalk
from tests.topologies.test_placard_reachability import evaluated
from tests.topologies.variants import VARIANTS

HERE = Path(__file__).parent
HOUSES = {path.stem: {"name": path.stem} for path in sorted(HERE.glob("b*.yaml"))} | VARIANTS
_NO_WAY = {
    "name": "b10_battery_combining_panel",
    "without": tuple(f"circuits.C{i}.overcurrent" for i in (1, 2, 3, 4)),
    "changed": {f"equipment.ESS{i}.disconnect": "no" for i in (1, 2, 3)} | {"equipment.RSI.also_stops": [], "equipment.HP.main": "none"},
}


def _steps_on_labels(evaluation: Evaluation) -> dict[str, list[str]]:
    """Return the handles that each backup panel's label tells to open, by the panel."""
    told = {f"{s.object}, {s.place}: {s.action}".casefold(): s.handle for s in placards_of(evaluation)[0].text.steps}
    found = {}
    for label in label_set_of(evaluation).labels:
        if label.id == "backup-panel":
            lines = [line.text for panel in label.panels for line in panel.lines]
            steps = lines[lines.index("TO DE-ENERGIZE, IN THIS ORDER:") + 1 :]
            assert [step.partition(". ")[0] for step in steps] == [str(number) for number in range(1, len(steps) + 1)]
            found[label.tag] = [told[step.partition(". ")[2].casefold()] for step in steps]
    return found


@pytest.mark.sample(every=4)
@pytest.mark.parametrize("house", HOUSES)
def test_the_steps_on_a_panel_are_those_that_it_needs(house: str) -> None:
    evaluation = evaluated(**HOUSES[house])
    walk = OwnWalk(evaluation.system)
    order = [step.handle for step in placards_of(evaluation)[0].text.steps]
    for panel, handles in _steps_on_labels(evaluation).items():
        assert f"{panel}.bus" in walk.loads, "a panel of sources alone is no loads panel"
        assert handles == [handle for handle in order if handle in handles]
        assert walk.at(f"{panel}.bus", handles) == set()
        for handle in handles:
            assert walk.at(f"{panel}.bus", [each for each in handles if each != handle]), (panel, handle)


def test_a_backup_panel_that_no_steps_make_dead_has_no_label_that_says_so() -> None:
    evaluation = evaluated(**_NO_WAY)
    assert placards_of(evaluation)[0].refusal
    assert _steps_on_labels(evaluation) == {}
    notes = {note.tag: note.why for note in label_set_of(evaluation).not_judged if note.id == "backup-panel"}
    assert "none where the steps of the placard leave it live" in notes["HP"]
