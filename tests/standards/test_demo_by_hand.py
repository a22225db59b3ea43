"""Every circuit of the demo house, redone by hand. Numbers were typed from the published tables, not taken from the program.

Sources: ampacities NEC Table 310.16; ambient factors Table 310.15(B)(1)(1) (36 °C: 0.91 at 90 °C; 30 °C: 1.00); adjustment
Table 310.15(C)(1) (six current-carrying: 0.80; three or fewer and nipples to 24 in: 1.00); standard ratings Table 240.6(A);
small conductors 240.4(D); equipment grounding conductors Table 250.122; grounding electrode conductor Table 250.66;
conductor areas Chapter 9 Table 5 (THWN-2: 12 AWG 0.0133, 10 AWG 0.0211, 8 AWG 0.0366, 6 AWG 0.0507, 3/0 AWG 0.2679 in²;
XHHW-2: 4/0 AWG 0.3197 in²); raceway areas Chapter 9 Table 4 (EMT 1/2 in 0.304, 3/4 in 0.533, 1 in 0.864, 2 in 3.356; PVC-40 1 in
0.832, 2 in 3.291; RMC 2 in 3.408 in²); fill Chapter 9 Table 1 (40 percent; 60 percent in a nipple).
"""

from pathlib import Path

import pytest

from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.rules.quantities.raceway_contents import raceway_contents

DEMO = Path(__file__).resolve().parents[2] / "demo_project"

# tag: (maximum current, required current, A at the terminals, A after factors, device, conductor, equipment ground)
BY_HAND = {
    # Service: 200 A main; 4/0 aluminum is 180 A at 75 °C; XHHW-2 starts at 205 A: × 1.00 buried at 30 °C, × 0.91 on the wall.
    "S1": (200, 200, 180, 205 * 1.00, 200, "4/0", None),
    "S2": (200, 200, 180, 205 * 0.91, 200, "4/0", None),
    # Feeder: 3/0 copper is 200 A at 75 °C; THWN-2 starts at 225 A.
    "F1": (200, 200, 200, 225 * 0.91, 200, "3/0", "6"),
    # Branches: 8 units × 1.38 A. Trunks in cables that run apart: two conductors each; no marked terminals, so 60 °C: 12 AWG is 20 A.
    "C1": (11.04, 13.8, 20, 30 * 0.91, 20, "12", "12"),
    "C2": (11.04, 13.8, 20, 30 * 0.91, 20, "12", "12"),
    "C3": (11.04, 13.8, 20, 30 * 0.91, 20, "12", "12"),
    # Home runs: six current-carrying conductors in R5; 12 AWG is 25 A at the 75 °C terminals of the combiner panel.
    "C4": (11.04, 13.8, 25, 30 * 0.91 * 0.80, 20, "12", "12"),
    "C5": (11.04, 13.8, 25, 30 * 0.91 * 0.80, 20, "12", None),
    "C6": (11.04, 13.8, 25, 30 * 0.91 * 0.80, 20, "12", None),
    # Three branches: 33.12 A; × 1.25 = 41.4 A; next standard rating 45 A; 45 A takes the 60 A row: 10 AWG. R6 is a nipple.
    "C7": (33.12, 41.4, 50, 55 * 0.91, 45, "8", "10"),
    # Storage: 22 A; × 1.25 = 27.5 A; next standard rating 30 A; 10 AWG is the first whose 240.4(D) limit reaches 30 A.
    "C8": (22, 27.5, 35, 40 * 0.91, 30, "10", "10"),
    "C9": (22, 27.5, 35, 40 * 0.91, 30, "10", "10"),
    # Generator: nameplate 58.3 A; its 60 A device; underground at 30 °C.
    "C10": (58.3, 58.3, 65, 75 * 1.00, 60, "6", "10"),
    # EV supply equipment: 48 A; × 1.25 = 60 A; 8 AWG is 50 A at 75 °C, 6 AWG 65 A.
    "C11": (48, 60, 65, 75 * 0.91, 60, "6", "10"),
    # Energy monitor: 1 A on 14 AWG at a 60 °C terminal: 15 A.
    "C12": (1, 1, 15, 25 * 0.91, 15, "14", "14"),
}

# tag: (area of the conductors, permitted area)
FILL_BY_HAND = {
    "R1": (3 * 0.3197, 0.40 * 3.291),
    "R2": (3 * 0.3197, 0.60 * 3.408),
    "R3": (3 * 0.2679 + 0.0507, 0.40 * 3.356),
    "R5": (7 * 0.0133, 0.40 * 0.533),
    "R6": (2 * 0.0366 + 0.0211, 0.60 * 0.864),
    "R7": (3 * 0.0211, 0.40 * 0.533),
    "R8": (3 * 0.0211, 0.40 * 0.533),
    "R9": (3 * 0.0507 + 0.0211, 0.40 * 0.832),
    # 2 × 6 AWG + 10 AWG = 0.1225 in²: above 40 percent of 1/2 in EMT (0.1216 in²), so the program must choose 3/4 in.
    "R10": (2 * 0.0507 + 0.0211, 0.40 * 0.533),
}


@pytest.fixture(scope="module")
def evaluation(demo):
    return demo.evaluation


@pytest.mark.parametrize("tag", BY_HAND)
def test_circuit_agrees_with_the_hand_calculation(evaluation, tag):
    maximum, required, terminal, corrected, rating, size, ground = BY_HAND[tag]
    given, circuit = evaluation.given, evaluation.system.circuits[tag]
    current = circuit_current(given, circuit)
    assert current.maximum_a.number == pytest.approx(maximum)
    assert current.required_a.number == pytest.approx(required)
    ampacity = conductor_ampacity(given, circuit)
    assert ampacity.terminal_a.number == pytest.approx(terminal)
    assert ampacity.corrected_a.number == pytest.approx(corrected)
    assert devices_protecting(given, circuit)[0].device.rating_a.number == rating
    assert circuit.conductors.size.name == size
    assert (circuit.conductors.egc_size.name if circuit.conductors.egc_size else None) == ground


def test_every_circuit_was_redone(evaluation):
    assert set(BY_HAND) == set(evaluation.system.circuits)


@pytest.mark.parametrize("tag", FILL_BY_HAND)
def test_raceway_fill_agrees_with_the_hand_calculation(evaluation, tag):
    contents = raceway_contents(evaluation.given, evaluation.system.raceways[tag])
    area, permitted = FILL_BY_HAND[tag]
    assert contents.area_in2.number == pytest.approx(area, rel=1e-6)
    assert contents.permitted_in2.number == pytest.approx(permitted, rel=1e-6)


def test_the_tight_raceway_is_chosen_one_size_up(evaluation):
    assert evaluation.system.raceways["R10"].trade_size == "3/4"


def test_busbar_of_the_interconnect_device(evaluation):
    """705.12(B)(3): 30 + 30 + 45 + 60 + 30 (autotransformer) = 195 A on 200 A. By (1): 200 + 1.25 × 77.12 = 296.4 A, too much."""
    finding = evaluation.by_id["busbar-sources:MID"]
    assert finding.judgement.holds
    assert finding.judgement.computed.number == pytest.approx(30 + 30 + 45 + 60 + 30)
    assert finding.judgement.limit.number == pytest.approx(200)
    sums = {part.method: part.computed.number for part in finding.judgement.parts if part.computed is not None}
    assert sums["sum of ratings"] == pytest.approx(200 + 1.25 * (24 * 1.38 + 2 * 22))


def test_busbar_of_the_combining_panel(evaluation):
    """45 + 1.25 × 33.12 = 86.4 A on 125 A."""
    finding = evaluation.by_id["busbar-sources:PVC"]
    assert finding.judgement.computed.number == pytest.approx(86.4)
    assert finding.judgement.limit.number == pytest.approx(125)


def test_the_demo_has_no_violation(evaluation):
    assert [f.id for f in evaluation.findings if f.verdict is Verdict.VIOLATED] == []
