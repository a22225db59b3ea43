"""Sets that have raceways of their own are told apart wherever a circuit is printed.

The base is a 320 A meter with two sets of 4/0 aluminum, one in L1 and one in L2 (tests/rules/bases/parallel_service.yaml).
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.system.circuit import Way
from permitgen.system.system import System
from permitgen.views.changes import comparison_of
from permitgen.views.circuit_text import conductor_text, runs_text
from permitgen.views.field_checklist import view_of
from permitgen.views.one_line_text import conductor_lines
from permitgen.views.schedules import circuit_schedules

BASE = Path(__file__).parents[1] / "rules" / "bases" / "parallel_service.yaml"


def system() -> System:
    return load_project(BASE, edition="2023").system


@lru_cache
def evaluation() -> Evaluation:
    return evaluate(system(), CodeBook(2023))


def swapped() -> System:
    """Return the same system with one set of S1 in a raceway of two pieces."""
    whole = system()
    other = replace(whole.circuits["S1"], ways=(Way(name="A", runs=("L1",)), Way(name="B", runs=("L2", "N2"))))
    return whole.with_circuit(other)


def plain(text: str) -> str:
    """Return a text with a space where one that does not break is printed between number and unit."""
    return text.replace("\u00a0", " ")


def row(heading: str, tag: str) -> dict[str, str]:
    found = next(each for each in circuit_schedules(evaluation()) if each.title == heading)
    cells = next(cells for cells in found.rows if cells[0] == tag)
    return dict(zip(found.headings, cells, strict=True))


def test_text_of_conductors_and_runs() -> None:
    circuit = system().circuits["S1"]
    assert conductor_text(circuit).startswith("2 sets of 2 × 4/0 AWG Al XHHW-2")
    assert plain(runs_text(system(), circuit)) == "set A in L1: 2 in PVC-40, 40 ft; set B in L2: 2 in PVC-40, 40 ft"


def test_one_line_names_both_raceways() -> None:
    full, brief = conductor_lines(system(), system().circuits["S1"])
    assert full[0] == "2 sets of (2) 4/0 Al XHHW-2"
    assert full[-1] == brief[-1] == "L1 and L2, each 2 in PVC-40"


def test_one_line_of_ways_that_differ_has_a_line_for_each_set() -> None:
    full, _ = conductor_lines(swapped(), swapped().circuits["S1"])
    assert full[-2:] == ("set A: L1 2 in PVC-40", "set B: L2 2 in PVC-40, N2 2 in PVC-80")


def test_schedules_say_which_set_lies_where() -> None:
    assert row("Conductors", "S1")["RUNS"] == "A: L1; B: L2"
    assert row("Raceways and cables", "L1")["HOLDS"] == "S1 set A"
    assert row("Raceways and cables", "L2")["HOLDS"] == "S1 set B"
    assert row("Raceways and cables", "R1")["HOLDS"] == "C1"


def test_every_conductor_of_every_set_is_tightened() -> None:
    """S2 at the panel: two ungrounded conductors, a neutral and a bonding jumper in each of two sets."""
    ids = {line.id for line in view_of(evaluation(), "ab" * 32).lines if line.id.startswith("torque:S2@MSP.main:")}
    assert ids == {f"torque:S2@MSP.main:{role} set {name}" for role in ("L1", "L2", "N", "G") for name in "AB"}


def test_another_way_of_a_set_is_a_change() -> None:
    found = comparison_of(evaluation(), evaluate(swapped(), CodeBook(2023)), ("before", "after")).changes
    runs = next(change for change in found if (change.subject, change.what) == ("S1", "run"))
    assert plain(runs.after).endswith("set B in L2: 2 in PVC-40, 40 ft, N2: 2 in PVC-80, 6 ft")
