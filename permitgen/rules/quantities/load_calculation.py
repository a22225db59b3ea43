"""A load calculation as a worksheet: one row a kind of load, with connected load, demand factor and demand.

The rows carry everything that the printed sheet shows; nothing is computed again for paper. The parts that several methods share,
lighting, small-appliance and laundry circuits, vehicle supply, storage that charges, stand here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import current_of_power_a
from permitgen.code.equations.loads import circuits_load_va, demand_at_factor_va, general_lighting_va, load_at_least_va, power_of_current_va
from permitgen.rules.quantities.circuit_current import line_to_line
from permitgen.rules.quantities.dwelling_units import name_of
from permitgen.system.site.building import UNITS_BY_USE, DwellingUnit
from permitgen.values.equation import sum_of
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.dwelling_units import Dwelling
    from permitgen.rules.quantities.load_scope import CountedLoad, LoadScope


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One line. ``demand_va`` is None where the line is only a term of the subtotal that follows it."""

    description: str
    load_va: Value
    demand_factor: Value | None = None
    demand_va: Value | None = None
    section: str = ""


@dataclass(frozen=True, slots=True)
class LoadCalculation:
    """A worksheet. ``demand_va`` is the sum of the rows' demands, ``current_a`` the same over the line-to-line voltage.

    ``notes`` say which reading was taken.
    """

    method: str
    title: str
    section: str
    rows: tuple[LoadRow, ...]
    demand_va: Value
    current_a: Value
    notes: tuple[str, ...] = ()


def calculation(
    given: Given,
    method: str,
    title: str,
    provision: Provision,
    rows: list[LoadRow],
    *,
    notes: tuple[str, ...] = (),
) -> LoadCalculation:
    """Close a worksheet: sum the demands and turn them into amperes."""
    demands = [row.demand_va for row in rows if row.demand_va is not None]
    total = sum_of(demands, symbol="S_total", title=f"calculated load of {title}", provision=provision, unit="va")
    current = current_of_power_a.derive(power_va=total, volts_v=line_to_line(given), symbol="I_calc", title=f"calculated load of {title}")
    return LoadCalculation(method, title, provision.section, tuple(rows), total, current, notes)


def general_rows(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Return general lighting, small-appliance and laundry circuits of the whole dwellings of a scope, each as a term.

    Raises:
        MissingFactError: a floor area is not stated.
    """
    return [row for dwelling in scope.dwellings for row in _rows_of(given, dwelling)]


def _rows_of(given: Given, dwelling: Dwelling) -> list[LoadRow]:
    unit = name_of(dwelling) if isinstance(dwelling, DwellingUnit) else ""
    lighting = given.provision("general_lighting_load")
    floor = given.need(dwelling.floor_area_ft2, f"floor area of {unit or 'the dwelling'}").named("A", "floor area")
    of_unit = f" of {unit}" if unit else ""
    light = general_lighting_va.derive(
        density_va_per_ft2=lighting.value("density_va_per_ft2"),
        floor_area_ft2=floor,
        provision=lighting,
        title=f"general lighting load{of_unit}",
    )
    return [
        LoadRow(f"General lighting{of_unit}, {floor.figure} ft²", light, section=lighting.section),
        _circuits(given, dwelling, "small_appliance_load", "small_appliance_circuits", f"Small-appliance branch circuits{of_unit}"),
        _circuits(given, dwelling, "laundry_load", "laundry_circuits", f"Laundry branch circuits{of_unit}"),
    ]


def _circuits(given: Given, dwelling: Dwelling, provision_id: str, fact: str, description: str) -> LoadRow:
    provision = given.provision(provision_id)
    least = provision.value("smallest_count").number * _units_in(dwelling)
    words = description[:1].lower() + description[1:]
    assumed = Value(least, "count", Assumed(f"number of {words} not stated; the fewest that the code requires"), "n", words)
    count = dwelling.fact(fact) or assumed
    load = circuits_load_va.derive(circuits_count=count, circuit_va=provision.value("circuit_va"), provision=provision, title=words)
    return LoadRow(f"{description}, {count.number:.0f} × {provision.value('circuit_va').number:.0f} VA", load, section=provision.section)


def _units_in(dwelling: Dwelling) -> int:
    """Return how many dwelling units a floor area is that of: two where ``site`` speaks of a two-family dwelling."""
    return 1 if isinstance(dwelling, DwellingUnit) else UNITS_BY_USE.get(dwelling.stated_dwelling, 1)


def sum_row(description: str, loads: list[Value], symbol: str) -> Value:
    """Return the sum of connected loads, VA."""
    return sum_of(loads, symbol=symbol, title=description, unit="va")


def row_of(load: CountedLoad) -> LoadRow:
    """Return a load as a term."""
    return LoadRow(load.name, load.power_va)


def vehicle_load(given: Given, load: CountedLoad) -> Value:
    """Return what a vehicle's supply counts, VA: from 2023 not less than 7200 VA, before its nameplate."""
    provision = given.provision("ev_load")
    return load_at_least_va.derive(
        nameplate_va=load.power_va,
        smallest_va=provision.value("smallest_va"),
        provision=provision,
        symbol=f"S_{load.tag}",
        title=f"{load.name}, as counted",
    )


def vehicle_rows(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Return vehicle supply equipment at 100 percent."""
    found = [(load, vehicle_load(given, load)) for load in scope.of("ev supply equipment")]
    return [LoadRow(load.name, load.power_va, demand_va=counted, section=given.provision("ev_load").section) for load, counted in found]


def charging_rows(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Return storage that charges from the supply at its charging current, as a continuous load of what carries it.

    Raises:
        MissingFactError: a charging current is not stated.
    """
    provision = given.provision("source_charging_load")
    factor = provision.value("continuous_factor").named("k", "charging counts as continuous")
    rows = []
    for unit in scope.charging:
        current = given.need(unit.charge_a, f"charge current of {unit.tag}")
        power = power_of_current_va.derive(
            current_a=current, volts_v=line_to_line(given), symbol=f"S_{unit.tag}", title=f"charging of {unit.tag}"
        )
        if scope.is_of_source:
            rows.append(LoadRow(f"{unit.name}, charging", power, demand_va=power, section=provision.section))
            continue
        demand = demand_at_factor_va.derive(
            demand_factor=factor, load_va=power, provision=provision, title=f"charging of {unit.tag}, as counted"
        )
        rows.append(LoadRow(f"{unit.name}, charging", power, factor, demand, provision.section))
    return rows


def largest_motor_rows(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Return the addition for the largest motor."""
    motors = scope.of("motor", "heat pump", "air conditioning")
    if not motors:
        return []
    largest = max(motors, key=lambda load: load.power_va.number)
    provision = given.provision("largest_motor_load")
    factor = provision.value("added_factor").named("k", "addition for the largest motor")
    demand = demand_at_factor_va.derive(
        demand_factor=factor, load_va=largest.power_va, provision=provision, title="addition for the largest motor"
    )
    return [LoadRow(f"Largest motor, added: {largest.name}", largest.power_va, factor, demand, provision.section)]
