"""Existing load by measurement: 125 percent of the measured maximum demand and the new load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.loads import demand_at_factor_va, power_of_current_va
from permitgen.rules.quantities.circuit_current import line_to_line
from permitgen.rules.quantities.load_calculation import LoadCalculation, LoadRow, calculation, charging_rows, vehicle_load

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.system.project_facts import MeasuredDemand
    from permitgen.values.value import Value


def measured_load(given: Given, scope: LoadScope, demand: MeasuredDemand) -> LoadCalculation:
    """Return the worksheet: the peak at 125 percent, and every load that is new, whole.

    Raises:
        MissingFactError: the peak is not stated, or a load does not say whether it is new.
    """
    provision = given.provision("measured_existing_load")
    factor = provision.value("peak_factor").named("k", "factor on the measured peak")
    peak = _peak(given, demand)
    counted = demand_at_factor_va.derive(demand_factor=factor, load_va=peak, provision=provision, title="measured peak, with its factor")
    rows = [LoadRow(f"Measured maximum demand, record of {demand.length}", peak, factor, counted, provision.section)]
    for load in scope.loads:
        if given.need(load.is_new, f"whether {load.tag} is new"):
            power = vehicle_load(given, load) if load.category == "ev supply equipment" else load.power_va
            rows.append(LoadRow(f"New: {load.name}", load.power_va, demand_va=power))
    rows += charging_rows(given, scope)
    return calculation(given, "measured demand", scope.title, provision, rows)


def _peak(given: Given, demand: MeasuredDemand) -> Value:
    if demand.peak_va is not None:
        return demand.peak_va
    current = given.need(demand.peak_a, "measured maximum demand")
    return power_of_current_va.derive(current_a=current, volts_v=line_to_line(given), symbol="S_peak", title="measured maximum demand")
