"""The optional method for two dwelling units on one service or feeder: the load of three identical units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.loads import identical_units_demand_va
from permitgen.rules.quantities.dwelling_units import name_of, unit_at
from permitgen.rules.quantities.load_calculation import (
    LoadCalculation,
    LoadRow,
    calculation,
    charging_rows,
    general_rows,
    row_of,
    sum_row,
    vehicle_rows,
)
from permitgen.rules.quantities.load_scope import COMFORT, LoadScope, place_of
from permitgen.system.site.building import DwellingUnit
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.values.value import Value

_NAMEPLATE = ("cooking", "dryer", "water heater", "fixed appliance", "motor")


def why_not_two_units(given: Given, scope: LoadScope) -> str:
    """Return why the method is not permitted for a scope, empty where it is.

    Loads that belong to neither unit would count beside the units by the standard method; with any this method is not used.
    """
    units = [dwelling for dwelling in scope.dwellings if isinstance(dwelling, DwellingUnit)]
    if len(units) != 2 or len(scope.dwellings) != 2:
        return "not the whole loads of two dwelling units"
    if scope.known:
        return "a load known as one figure does not say which loads are in it"
    parts = [_of_unit(given, scope, unit) for unit in units]
    if sum(len(part.loads) for part in parts) != len(scope.loads):
        return "some loads belong to neither unit"
    for unit, part in zip(units, parts, strict=True):
        if not part.of("cooking"):
            return f"no electric cooking equipment is listed in {name_of(unit)}"
        if not part.of(*COMFORT):
            return f"neither electric space heating nor air conditioning is listed in {name_of(unit)}"
    return ""


def two_units_load(given: Given, scope: LoadScope) -> LoadCalculation:
    """Return the worksheet: the connected load of the larger unit, three times, at the factor for three units.

    The code says three identical units. Of two that are not alike the larger counts (the safe reading). Vehicle supply and storage that
    charges count whole, beside them.

    Raises:
        MissingFactError: a floor area or a load is not stated.
    """
    provision = given.provision("optional_two_dwelling_load")
    rows: list[LoadRow] = []
    totals: list[Value] = []
    for unit in (dwelling for dwelling in scope.dwellings if isinstance(dwelling, DwellingUnit)):
        own = _connected(given, _of_unit(given, scope, unit), name_of(unit))
        totals.append(sum_row(f"connected load of {name_of(unit)}", [row.load_va for row in own], f"S_unit{len(totals) + 1}"))
        rows += own
    largest = max(total.number for total in totals)
    larger = selected(largest, "va", by="larger of", inputs=tuple(totals), symbol="S_unit", title="connected load of the larger unit")
    factor = provision.value("demand_factor").named("k", "demand factor of three dwelling units")
    demand = identical_units_demand_va.derive(
        units_count=provision.value("counted_units_count"), demand_factor=factor, load_va=larger, provision=provision
    )
    count = provision.value("counted_units_count").number
    rows.append(LoadRow(f"{count:g} units like the larger of the two", larger, factor, demand, provision.section))
    rows += [*vehicle_rows(given, scope), *charging_rows(given, scope)]
    note = "three units like the larger of the two; vehicle supply equipment and storage that charges counted whole"
    return calculation(given, "method for two dwelling units", scope.title, provision, rows, notes=(note,))


def _of_unit(given: Given, scope: LoadScope, unit: DwellingUnit) -> LoadScope:
    loads = tuple(load for load in scope.loads if unit_at(given, place_of(given, load.tag)) is unit)
    return LoadScope(name_of(unit), loads, (), is_whole_dwelling=False, dwellings=(unit,))


def _connected(given: Given, part: LoadScope, name: str) -> list[LoadRow]:
    """General loads, nameplates, and the larger of heating and cooling, each whole."""
    rows = [
        *general_rows(given, part),
        *(row_of(load) for load in part.of("general") if load.is_beside_floor_area),
        *(row_of(load) for load in part.of(*_NAMEPLATE)),
    ]
    heating = sum_row(f"space heating of {name}", _powers(part, "space heating", "supplemental heat", "heat pump"), "S_heat")
    cooling = sum_row(f"air conditioning of {name}", _powers(part, "air conditioning", "heat pump"), "S_cool")
    larger = max(heating.number, cooling.number)
    title = f"the larger of heating and cooling of {name}"
    comfort = selected(larger, "va", by="larger of", inputs=(heating, cooling), symbol="S_hvac", title=title)
    return [*rows, LoadRow(f"Heating or cooling of {name}, the larger", comfort)]


def _powers(part: LoadScope, *categories: str) -> list[Value]:
    return [load.power_va for load in part.of(*categories)]
