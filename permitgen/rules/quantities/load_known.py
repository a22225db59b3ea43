"""A load that is known as one figure, calculated for a permit or measured, and what the project adds to it.

What is added counts whole: no demand factor takes anything off it, so that the sum is never below the true demand. A load calculated by
the standard method gets the addition for a motor where one is added.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.loads import demand_at_factor_va, power_of_current_va
from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import line_to_line
from permitgen.rules.quantities.load_calculation import (
    LoadCalculation,
    LoadRow,
    calculation,
    charging_rows,
    largest_motor_rows,
    vehicle_load,
)
from permitgen.rules.quantities.load_record import need_record

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.system.known_load import KnownLoad
    from permitgen.values.value import Value

PROVISIONS = {
    "standard": "standard_load_calculation",
    "optional": "optional_dwelling_load",
    "existing dwelling": "optional_existing_dwelling_load",
}


def provision_of(known: KnownLoad) -> str:
    """Return the id of the provision under which a figure was found; the standard method where nobody says."""
    return "measured_existing_load" if known.is_measured else PROVISIONS.get(known.method, PROVISIONS["standard"])


def known_load(given: Given, scope: LoadScope) -> LoadCalculation:
    """Return the worksheet: the figures that are known, and every load that the project adds.

    Raises:
        MissingFactError: a figure, its method, or what makes a record of it permitted is not stated.
    """
    provision = given.provision(provision_of(scope.known[0]))
    rows = known_rows(given, scope)
    for load in scope.loads:
        power = vehicle_load(given, load) if load.category == "ev supply equipment" else load.power_va
        rows.append(LoadRow(f"New: {load.name}", load.power_va, demand_va=power))
    rows += charging_rows(given, scope)
    if any(known.method == "standard" for known in scope.known):
        rows += largest_motor_rows(given, scope)
    return calculation(given, "known load", scope.title, provision, rows)


def known_rows(given: Given, scope: LoadScope) -> list[LoadRow]:
    """Return one row for each figure.

    Raises:
        MissingFactError: as for ``known_load``.
    """
    return [_row(given, scope, known) for known in scope.known]


def _row(given: Given, scope: LoadScope, known: KnownLoad) -> LoadRow:
    power = _power(given, known)
    kind = "Measured" if known.is_measured else "Calculated"
    words = ", ".join(part for part in (f"{kind} load behind {known.tag}", known.by) if part)
    if not known.is_measured:
        _need_method(given, scope, known)
        return LoadRow(words, power, demand_va=power, section=given.provision(provision_of(known)).section)
    provision = given.provision("measured_existing_load")
    need_record(given, known.record, f"measured load of {known.tag}")
    factor = provision.value("peak_factor").named("k", "factor on the measured peak")
    title = f"measured load of {known.tag}, with its factor"
    demand = demand_at_factor_va.derive(demand_factor=factor, load_va=power, provision=provision, title=title)
    days = given.need(known.record.days_count, "").number
    return LoadRow(f"{words}, record of {days:g} days", power, factor, demand, provision.section)


def _power(given: Given, known: KnownLoad) -> Value:
    if known.power_va is not None:
        return known.power_va
    current = given.need(known.current_a, f"load behind {known.tag}")
    return power_of_current_va.derive(current_a=current, volts_v=line_to_line(given), symbol="S_known", title=f"load behind {known.tag}")


def _need_method(given: Given, scope: LoadScope, known: KnownLoad) -> None:
    method = given.need(known.method or None, f"method by which the load of {known.tag} was calculated")
    if method != "standard" and not given.need(scope.is_one_unit, "kind of dwelling"):
        raise MissingFactError(f"load of {known.tag} by the standard method; the {method} method is for the whole load of one dwelling")
