"""The standard method: demand factors for each kind of load. For a whole dwelling or any part of it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from permitgen.code.equations.loads import (
    demand_at_factor_va,
    demand_in_percent_va,
    kilowatts_va,
    large_range_demand_kw,
    lighting_demand_va,
    load_at_least_va,
)
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.dwelling_units import has_untold_units
from permitgen.rules.quantities.load_calculation import (
    LoadCalculation,
    LoadRow,
    calculation,
    charging_rows,
    general_rows,
    largest_motor_rows,
    row_of,
    sum_row,
    vehicle_rows,
)
from permitgen.rules.quantities.load_known import known_rows
from permitgen.values.equation import selected, sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_scope import CountedLoad, LoadScope

# Below this a cooking appliance is an appliance like another.
SMALLEST_RANGE_VA = 1750.0
_SMALL_RANGE_KW = 3.5
_MIDDLE_RANGE_KW = 8.75


def standard_load(given: Given, scope: LoadScope) -> LoadCalculation:
    """Return the worksheet of the standard method.

    Whole dwelling units take their lighting from the floor area, garage and sheds included; a part of a unit, and another building,
    take their general loads as listed.

    Raises:
        MissingFactError: floor area or a load is not stated; the general load of one unit of two is neither.
        NotInTableError: more or larger cooking appliances or dryers than the tables hold.
    """
    listed = [LoadRow(load.name, load.power_va, demand_va=load.power_va) for load in listed_general(given, scope)]
    general = [*floor_area_rows(given, scope), *listed]
    cooking, appliances = cooking_and_appliances(scope)
    range_rows = cooking_rows(given, cooking)
    dryers = dryer_rows(given, scope.of("dryer"))
    rows = [*general, *range_rows, *dryers, *_appliances(given, appliances), *_motors(scope), *_comfort(given, scope)]
    rows += [*vehicle_rows(given, scope), *charging_rows(given, scope), *largest_motor_rows(given, scope), *known_rows(given, scope)]
    return calculation(given, "standard method", scope.title, given.provision("standard_load_calculation"), rows)


def listed_general(given: Given, scope: LoadScope) -> list[CountedLoad]:
    """Return the general loads that no floor area counts."""
    listed = scope.of("general")
    if not scope.dwellings and not listed and has_untold_units(given):
        # What is behind may be a whole dwelling unit, whose floor area is then a part of the load.
        raise MissingFactError(f"dwelling unit to which {scope.title} belong (site.buildings, units), or their general loads")
    return [load for load in listed if not scope.dwellings or load.is_beside_floor_area]


def floor_area_rows(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Return lighting, small-appliance and laundry circuits of the dwellings of a scope with their demand; none for a part of one."""
    if not scope.dwellings:
        return []
    rows = general_rows(given, scope)
    provision = given.provision("lighting_demand")
    total = sum_row("general lighting, small-appliance and laundry load", [row.load_va for row in rows], "S_gen")
    demand = lighting_demand_va.derive(
        load_va=total,
        first_tier_va=provision.value("first_tier_va"),
        second_tier_va=provision.value("second_tier_va"),
        first_factor=provision.value("first_factor"),
        second_factor=provision.value("second_factor"),
        third_factor=provision.value("third_factor"),
        provision=provision,
    )
    return [*rows, LoadRow("Lighting demand", total, demand_va=demand, section=provision.section)]


def cooking_and_appliances(scope: LoadScope) -> tuple[list[CountedLoad], list[CountedLoad]]:
    """Return ranges and the like, and what is fastened in place, small cooking appliances among it."""
    cooking = [load for load in scope.of("cooking") if load.power_va.number > SMALLEST_RANGE_VA]
    small = [load for load in scope.of("cooking") if load.power_va.number <= SMALLEST_RANGE_VA]
    return cooking, [*scope.of("fixed appliance", "water heater"), *small]


def cooking_rows(given: Given, loads: list[CountedLoad]) -> list[LoadRow]:
    """Return the row of ranges and the like, none where there are none."""
    if not loads:
        return []
    total = sum_row("cooking appliances", [load.power_va for load in loads], "S_cook")
    demand = cooking_demand(given, loads)
    names = ", ".join(load.name for load in loads)
    return [LoadRow(f"Cooking: {names}", total, demand_va=demand, section=given.provision("range_load").section)]


def cooking_demand(given: Given, loads: list[CountedLoad]) -> Value:
    """Return the demand of household cooking appliances over 1-3/4 kW, VA: column C, or columns A and B where they give less.

    Raises:
        MissingFactError: an appliance is larger than the table reaches.
    """
    column_c = _column_c(given, loads)
    if any(load.power_va.number > _MIDDLE_RANGE_KW * 1000 for load in loads):
        return column_c
    by_percent = _columns_a_and_b(given, loads)
    smaller = min(column_c, by_percent, key=lambda value: value.number)
    provision = given.provision("range_load")
    title = "demand of the cooking appliances"
    return selected(smaller.number, "va", by="smaller of", inputs=(column_c, by_percent), symbol="S_cook", title=title, provision=provision)


def _column_c(given: Given, loads: list[CountedLoad]) -> Value:
    provision = given.provision("range_load")
    over = provision.value("over_kw").number
    sizes = [load.power_va.number / 1000 for load in loads]
    if max(sizes) > provision.value("largest_kw").number:
        raise MissingFactError(f"cooking appliances of at most {provision.value('largest_kw').figure} kW each")
    table = given.table("household_range_demand").band(len(loads), "not_over_12_kw").named("S_C")
    # Half a kilowatt and more above a whole one counts as one; appliances below 12 kW count as 12 kW in the average.
    average = sum(max(size, over) for size in sizes) / len(sizes)
    steps = math.floor(average - over + 0.5) if max(sizes) > over else 0
    counted = Value(float(steps), "count", FromSystem("kilowatts above 12, major fractions counted"), "n", "steps of 5 percent")
    kilowatts = large_range_demand_kw.derive(
        table_kw=table, step_percent=provision.value("step_percent"), steps_count=counted, provision=provision
    )
    return kilowatts_va.derive(power_kw=kilowatts, symbol="S_cook", title="demand of the cooking appliances by column C")


def _columns_a_and_b(given: Given, loads: list[CountedLoad]) -> Value:
    small = [load for load in loads if load.power_va.number < _SMALL_RANGE_KW * 1000]
    middle = [load for load in loads if load not in small]
    table = given.table("household_range_demand")
    parts = [
        demand_in_percent_va.derive(
            demand_percent=table.band(len(group), column),
            load_va=sum_row("cooking appliances of one column", [load.power_va for load in group], "S"),
            provision=given.provision("range_load"),
        )
        for group, column in ((small, "under_3_and_a_half_kw"), (middle, "to_8_and_three_quarters_kw"))
        if group
    ]
    return sum_of(parts, symbol="S_AB", title="demand of the cooking appliances by columns A and B")


def dryer_rows(given: Given, loads: Sequence[CountedLoad]) -> list[LoadRow]:
    """Return the row of the clothes dryers, none where there are none."""
    if not loads:
        return []
    provision = given.provision("dryer_load")
    each = [
        load_at_least_va.derive(
            nameplate_va=load.power_va, smallest_va=provision.value("smallest_va"), provision=provision, symbol=f"S_{load.tag}"
        )
        for load in loads
    ]
    total = sum_row("clothes dryers", each, "S_dry")
    factor = given.table("household_dryer_demand").band(len(loads), "demand").named("k")
    demand = demand_at_factor_va.derive(demand_factor=factor, load_va=total, provision=provision, title="demand of the dryers")
    return [LoadRow("Clothes dryer" if len(loads) == 1 else "Clothes dryers", total, factor, demand, provision.section)]


def _appliances(given: Given, loads: list[CountedLoad]) -> list[LoadRow]:
    if not loads:
        return []
    provision = given.provision("fixed_appliance_demand")
    if len(loads) < provision.value("smallest_count").number:
        return [LoadRow(load.name, load.power_va, demand_va=load.power_va) for load in loads]
    total = sum_row("appliances fastened in place", [load.power_va for load in loads], "S_app")
    factor = provision.value("demand_factor").named("k", "demand factor of four or more appliances")
    demand = demand_at_factor_va.derive(
        demand_factor=factor, load_va=total, provision=provision, title="demand of the appliances fastened in place"
    )
    return [*(row_of(load) for load in loads), LoadRow("Appliances fastened in place", total, factor, demand, provision.section)]


def _motors(scope: LoadScope) -> list[LoadRow]:
    return [LoadRow(load.name, load.power_va, demand_va=load.power_va) for load in scope.of("motor")]


def _comfort(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Heating and cooling: the larger counts, because they do not run together; a heat pump counts on both sides."""
    pumps = scope.of("heat pump")
    heating = [*scope.of("space heating", "supplemental heat"), *pumps]
    cooling = [*scope.of("air conditioning"), *pumps]
    if not heating and not cooling:
        return []
    provision = given.provision("noncoincident_loads")
    heat = sum_row("space heating", [load.power_va for load in heating], "S_heat")
    cool = sum_row("air conditioning", [load.power_va for load in cooling], "S_cool")
    larger = max(heat, cool, key=lambda value: value.number)
    title = "the larger of heating and cooling"
    demand = selected(larger.number, "va", by="larger of", inputs=(heat, cool), symbol="S_hvac", title=title, provision=provision)
    named = heating if larger is heat else cooling
    return [
        LoadRow(
            f"Heating or cooling, the larger: {', '.join(load.name for load in named)}", larger, demand_va=demand, section=provision.section
        )
    ]
