"""The limits card of the demo house, worked by hand.

Figures are those of the NEC: 240.6(A) (standard ratings), Table 310.16 (ampacity), 240.4(B) and (D), Table 250.122 (grounding
conductors), Chapter 9 Tables 1, 4 and 5 (fill), Chapter 9 Table 9 (impedance) with the drop 2 × L × I × Z / 1000 that its notes and
Table 8 are used with. From memory, as the tables' own tests; the demo states the loads.
"""

import pytest

from permitgen.evaluation.limit_search import Aspect
from permitgen.evaluation.limits import limits_of
from permitgen.values.value import Value

# Standard ratings of 240.6(A), the first of them.
STANDARD_A = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100)
# Table 310.16, copper, 75 °C
AMPACITY_75 = {"10 AWG": 35, "8 AWG": 50, "6 AWG": 65}
# Chapter 9 Table 5, THWN-2, in²
AREA = {"10 AWG": 0.0211, "6 AWG": 0.0507, "3/0 AWG": 0.2679}
# Chapter 9 Table 4, EMT, 40 percent, in²
EMT_40 = {"1/2": 0.122, "3/4": 0.213, "1-1/2": 0.814, "2": 1.342}
# Chapter 9 Table 9, 6 AWG copper: ac resistance in steel and in PVC, ohm per 1000 ft; both above the impedance at 0.85 power factor
OHM_6_AWG = 0.49


@pytest.fixture(scope="module")
def limits(demo):
    return {(limit.aspect, limit.tag): limit for circuit in limits_of(demo.evaluation) for limit in circuit.limits}


def plain(choice):
    return choice.number if isinstance(choice, Value) else str(choice)


def passing(limit):
    return [plain(each.choice) for each in limit.passes]


def test_the_ratings_between_what_is_carried_and_what_the_conductor_carries(limits):
    """C7 carries 33.12 A of microinverters, 125 percent of it 41.4 A (705.30); 8 AWG carries 50 A at 75 °C (Table 310.16)."""
    limit = limits[Aspect.RATING, "MID.PV"]
    assert passing(limit) == [each for each in STANDARD_A if 41.4 <= each <= AMPACITY_75["8 AWG"]] == [45, 50]
    assert (plain(limit.below.choice), limit.below.by.section) == (40, "705.30")
    # 60 A is not on 8 AWG (240.4), and with 30 + 30 + 60 + 30 A beside it 210 A stand on the busbar of 200 A (705.12(B)(3)): one is told.
    assert (plain(limit.above.choice), limit.above.by.section) == (60, "705.12(B)(3)")


def test_the_small_conductor_forbids_what_its_ampacity_would_allow(limits):
    """10 AWG carries 35 A at 75 °C (Table 310.16), but no more than 30 A protect it (240.4(D)); a battery of 22 A needs 27.5 A (705.30)."""
    limit = limits[Aspect.RATING, "MID.BAT1"]
    assert passing(limit) == [30]
    assert (plain(limit.below.choice), plain(limit.above.choice), limit.above.by.section) == (25, 35, "240.4(D)")


def test_the_next_standard_size_up_is_permitted_and_its_ground_is_not_there(limits):
    """6 AWG carries 65 A, so 240.4(B) permits 70 A; to 60 A a 10 AWG ground serves, above it 8 AWG (Table 250.122)."""
    limit = limits[Aspect.RATING, "HP.2"]
    assert passing(limit) == [60]
    assert (plain(limit.below.choice), limit.below.by.section) == (50, "625.41, 625.42")  # 48 A continuous × 125 percent = 60 A
    assert (plain(limit.above.choice), limit.above.by.section) == (70, "250.122(A)")


def test_the_smallest_conductor_is_the_one_of_sufficient_ampacity(limits):
    """41.4 A is above 35 A of 10 AWG and below 50 A of 8 AWG (Table 310.16, 75 °C); the terminal takes no more than 2 AWG."""
    limit = limits[Aspect.CONDUCTOR, "C7"]
    assert passing(limit)[0] == "8 AWG"
    assert passing(limit)[-1] == "2 AWG"
    assert (plain(limit.below.choice), limit.below.by.rule) == ("10 AWG", "conductor-ampacity")
    assert (plain(limit.above.choice), limit.above.by.section) == ("1 AWG", "110.14(A)")


def test_the_ground_grows_as_many_gauges_as_the_conductors(limits):
    """250.122(B): C11 from 6 to 4 AWG is two gauges, a factor of 92^(4/39) (ASTM B258); its 10 AWG ground becomes 8 AWG by the same."""
    grounds = {plain(each.choice): each.ground for each in limits[Aspect.CONDUCTOR, "C11"].passes}
    assert str(grounds["4 AWG"]) == "8 AWG"
    assert grounds["6 AWG"] is None


@pytest.mark.parametrize(
    ("run", "conductors", "smallest", "refused"),
    [("R10", {"6 AWG": 2, "10 AWG": 1}, "3/4", "1/2"), ("R3", {"3/0 AWG": 3, "6 AWG": 1}, "2", "1-1/2")],
)
def test_fill_sets_the_smallest_raceway(limits, run, conductors, smallest, refused):
    """Chapter 9 Table 1: more than two conductors fill 40 percent; areas of Tables 4 and 5."""
    area = sum(AREA[size] * count for size, count in conductors.items())
    assert EMT_40[refused] < area <= EMT_40[smallest]
    limit = limits[Aspect.TRADE_SIZE, run]
    assert (passing(limit)[0], limit.below.choice, limit.below.by.section) == (smallest, refused, "Chapter 9 Table 1")


@pytest.mark.parametrize(("run", "current_a", "longest"), [("R10", 48.0, 153), ("R9", 58.3, 126)])
def test_three_percent_drop_sets_the_longest_run(limits, run, current_a, longest):
    """3 percent of 240 V is 7.2 V (210.19 and 215.2, informational notes); L = 7.2 × 1000 / (2 × I × Z)."""
    assert int(7.2 * 1000 / (2 * current_a * OHM_6_AWG)) == longest
    limit = limits[Aspect.LENGTH, run]
    assert passing(limit)[-1] == longest
    assert (plain(limit.above.choice), limit.above.by.rule) == (longest + 1, "voltage-drop")
