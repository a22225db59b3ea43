"""Load tables: demand rises with each appliance and falls per appliance; published rows of Table 220.55."""

from __future__ import annotations

import pytest

from permitgen.code.equations.loads import large_range_demand_kw, lighting_demand_va
from permitgen.code.errors import NotInTableError
from permitgen.code.rounding import kilowatts_over


def test_column_c_rises_with_each_range_and_less_per_range(book):
    table = book.table("household_range_demand")
    demand = [table.band(count, "not_over_12_kw").number for count in range(1, 26)]
    assert demand == sorted(set(demand))
    each = [total / count for count, total in enumerate(demand, start=1)]
    assert each == sorted(each, reverse=True)
    assert demand[14:] == [15 + count for count in range(15, 26)]  # "15 kW + 1 kW for each range" from the fifteenth (text of the table)


@pytest.mark.parametrize("column", ["under_3_and_a_half_kw", "to_8_and_three_quarters_kw"])
def test_percentages_fall_with_the_number(book, column):
    table = book.table("household_range_demand")
    percents = [table.band(count, column).number for count in range(1, 11)]
    assert percents[0] == 80
    assert percents == sorted(set(percents), reverse=True)
    with pytest.raises(NotInTableError):
        table.band(11, column)


def test_larger_range_adds_5_percent_a_kilowatt(book):
    """NEC Table 220.55 Note 1: a 16 kW range takes 8 kW and 4 x 5 %, 9.6 kW (the textbook example); 12.4 kW takes no step, 12.5 kW one."""
    rule = book.provision("range_load")
    over = rule.value("over_kw").number
    assert large_range_demand_kw(8, rule.value("step_percent").number, kilowatts_over(16, over)) == pytest.approx(9.6)
    assert [kilowatts_over(kilowatts, over) for kilowatts in (8, 12, 12.4, 12.5, 13.49)] == [0, 0, 0, 1, 1]


def test_dryers_to_four_count_whole(book):
    table = book.table("household_dryer_demand")
    assert [table.band(count, "demand").number for count in range(1, 7)] == [1.0, 1.0, 1.0, 1.0, 0.85, 0.75]


@pytest.mark.parametrize(("load", "demand"), [(0, 0), (3000, 3000), (9000, 5100), (120000, 43950), (130000, 46450)])
def test_lighting_demand_by_tiers(book, load, demand):
    """3000 VA whole, to 120 000 VA at 35 %, the rest at 25 %: worked by hand from the text of the table."""
    tiers = book.provision("lighting_demand")
    names = ("first_tier_va", "second_tier_va", "first_factor", "second_factor", "third_factor")
    assert lighting_demand_va(load, **{name: tiers.value(name).number for name in names}) == pytest.approx(demand)
