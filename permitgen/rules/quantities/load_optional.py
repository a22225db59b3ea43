"""The optional method for one dwelling unit, and its sister for adding load to an existing dwelling."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.loads import demand_at_factor_va, heat_pump_demand_va, two_tier_demand_va
from permitgen.rules.quantities.load_calculation import (
    LoadCalculation,
    LoadRow,
    calculation,
    charging_rows,
    general_rows,
    row_of,
    sum_row,
    vehicle_load,
    vehicle_rows,
)
from permitgen.rules.quantities.load_known import known_rows
from permitgen.rules.quantities.load_scope import COMFORT
from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_scope import CountedLoad, LoadScope
    from permitgen.values.value import Value

_NAMEPLATE = ("cooking", "dryer", "water heater", "fixed appliance", "motor")
_VEHICLES = "ev supply equipment"


def optional_load(given: Given, scope: LoadScope) -> LoadCalculation:
    """Return the worksheet of the optional method: 10 kVA and 40 percent of the rest, and the largest of heating and cooling.

    Vehicle supply counts among the general loads, or whole beside them, as the edition has it; storage that charges counts as continuous.

    Raises:
        MissingFactError: floor area or a load is not stated.
    """
    provision = given.provision("optional_dwelling_load")
    whole = provision.flag("ev_supply_whole")
    rows = _tiered(given, scope, provision, (), () if whole else scope.of(_VEHICLES))
    rows += [*_comfort(scope, provision), *(vehicle_rows(given, scope) if whole else ())]
    rows += [*charging_rows(given, scope), *known_rows(given, scope)]
    note = f"vehicle supply equipment counted {'whole' if whole else 'among the general loads'}; storage that charges counted as continuous"
    return calculation(given, "optional method", scope.title, provision, rows, notes=(note,))


def existing_load(given: Given, scope: LoadScope) -> LoadCalculation:
    """Return the worksheet for an existing dwelling: 8 kVA and 40 percent of the rest; heating or cooling that is added counts whole.

    Raises:
        MissingFactError: floor area, a load, or whether heating or cooling is new is not stated.
    """
    provision = given.provision("optional_existing_dwelling_load")
    comfort = scope.of(*COMFORT)
    added = [load for load in comfort if given.need(load.is_new, f"whether {load.tag} is new")]
    rows = _tiered(given, scope, provision, () if added else comfort, scope.of(_VEHICLES))
    if added:
        rows += _added(scope, provision)
    rows += [*charging_rows(given, scope), *known_rows(given, scope)]
    return calculation(given, "optional method for an existing dwelling", scope.title, provision, rows)


def _tiered(
    given: Given, scope: LoadScope, provision: Provision, comfort: tuple[CountedLoad, ...], vehicles: tuple[CountedLoad, ...]
) -> list[LoadRow]:
    rows = [
        *general_rows(given, scope),
        *(row_of(load) for load in scope.of("general") if load.is_beside_floor_area),
        *(row_of(load) for load in scope.of(*_NAMEPLATE)),
        *(row_of(load) for load in comfort),
    ]
    rows += [LoadRow(load.name, vehicle_load(given, load), section=given.provision("ev_load").section) for load in vehicles]
    total = sum_row("general loads", [row.load_va for row in rows], "S_gen")
    demand = two_tier_demand_va.derive(
        load_va=total,
        first_tier_va=provision.value("first_tier_va"),
        remainder_factor=provision.value("remainder_factor"),
        provision=provision,
    )
    first = provision.value("first_tier_va").number / 1000
    share = provision.value("remainder_factor").number * 100
    return [*rows, LoadRow(f"First {first:g} kVA whole, the rest at {share:g} %", total, demand_va=demand, section=provision.section)]


def _comfort(scope: LoadScope, provision: Provision) -> list[LoadRow]:
    """The larger of cooling and heating. Heat pumps and resistance heaters that run together are added (the safe reading)."""
    if not scope.of(*COMFORT):
        return []
    cooling = _cooling(scope, provision)
    heating = _heating(scope, provision)
    larger = max(cooling, heating, key=lambda value: value.number)
    title = "the larger of heating and cooling"
    demand = selected(larger.number, "va", by="larger of", inputs=(cooling, heating), symbol="S_hvac", title=title, provision=provision)
    connected = ("air conditioning", "heat pump") if larger is cooling else ("space heating", "supplemental heat", "heat pump")
    loads = scope.of(*connected)
    total = sum_row("heating or cooling connected", [load.power_va for load in loads], "S")
    return [
        LoadRow(
            f"Heating or cooling, the larger: {', '.join(load.name for load in loads)}", total, demand_va=demand, section=provision.section
        )
    ]


def _cooling(scope: LoadScope, provision: Provision) -> Value:
    total = sum_row("cooling", [load.power_va for load in scope.of("air conditioning", "heat pump")], "S_cool")
    return demand_at_factor_va.derive(
        demand_factor=provision.value("air_conditioning_factor"), load_va=total, provision=provision, title="cooling"
    )


def _heating(scope: LoadScope, provision: Provision) -> Value:
    pumps = sum_row("heat pump compressors", [load.power_va for load in scope.of("heat pump")], "S_c")
    extra = sum_row("supplemental heat", [load.power_va for load in scope.of("supplemental heat")], "S_h")
    pumped = heat_pump_demand_va.derive(
        compressor_va=pumps, supplemental_factor=provision.value("supplemental_heat_factor"), supplemental_va=extra, provision=provision
    )
    heaters = scope.of("space heating")
    many = len(heaters) >= provision.value("many_heaters_count").number
    factor = provision.value("many_heaters_factor" if many else "few_heaters_factor")
    total = sum_row("separately controlled heaters", [load.power_va for load in heaters], "S_heat")
    resistance = demand_at_factor_va.derive(demand_factor=factor, load_va=total, provision=provision, title="space heating")
    return sum_of([pumped, resistance], symbol="S_heating", title="heating", provision=provision)


def _added(scope: LoadScope, provision: Provision) -> list[LoadRow]:
    """With new heating or cooling: the larger of heating and cooling whole."""
    heat = sum_row("space heating", [load.power_va for load in scope.of("space heating", "supplemental heat", "heat pump")], "S_heat")
    cool = sum_row("air conditioning", [load.power_va for load in scope.of("air conditioning", "heat pump")], "S_cool")
    larger = max(heat, cool, key=lambda value: value.number)
    both = selected(larger.number, "va", by="larger of", inputs=(heat, cool), symbol="S_hvac", title="the larger of heating and cooling")
    factor = provision.value("added_hvac_factor")
    demand = demand_at_factor_va.derive(demand_factor=factor, load_va=both, provision=provision, title="heating or cooling, some of it new")
    return [LoadRow("Heating or cooling, the larger, some of it new", both, factor, demand, provision.section)]
