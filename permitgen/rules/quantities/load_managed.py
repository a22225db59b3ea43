"""Load management: a listed system holds the loads under it to its setting, which replaces them and counts as continuous."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.loads import demand_at_factor_va, power_of_current_va
from permitgen.rules.quantities.circuit_current import line_to_line
from permitgen.rules.quantities.load_calculation import LoadCalculation, LoadRow, calculation
from permitgen.rules.quantities.load_known import known_load
from permitgen.rules.quantities.load_scope import MANAGEMENT_SETTING, is_ahead_of_loads
from permitgen.rules.quantities.load_standard import standard_load
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.values.value import Value


def management_setting(given: Given, scope: LoadScope) -> Value | None:
    """Return the sum of the settings that hold loads of the scope, A; None where none does.

    A setting holds what lies behind its equipment. One behind whose equipment nothing lies (a monitor with its relays) holds the loads
    that are shed ``always`` and lie behind no other.
    """
    settings = {tag: value for tag, item in given.system.equipment.items() if (value := item.fact(MANAGEMENT_SETTING)) is not None}
    ahead = {load.held_by for load in scope.loads if load.held_by}
    if any(load.is_managed and not load.held_by for load in scope.loads):
        ahead |= {tag for tag in settings if not is_ahead_of_loads(given, tag)}
    found = [value.named(f"I_{tag}") for tag, value in settings.items() if tag in ahead]
    return one_or_sum_of(found, symbol="I_set", title="settings of the load management together") if found else None


def managed_load(given: Given, scope: LoadScope, setting: Value) -> LoadCalculation:
    """Return the worksheet: loads outside the management as known or by the standard method, those under it by its setting.

    Raises:
        MissingFactError: as for the standard method.
    """
    provision = given.provision("load_management")
    kept = scope.unmanaged
    outside = known_load(given, kept) if scope.is_known else standard_load(given, kept)
    power = power_of_current_va.derive(
        current_a=setting, volts_v=line_to_line(given), symbol="S_set", title="setting of the load management"
    )
    factor = provision.value("continuous_factor").named("k", "the setting counts as continuous")
    demand = demand_at_factor_va.derive(demand_factor=factor, load_va=power, provision=provision, title="loads under management")
    managed = ", ".join(load.name for load in scope.loads if load.is_managed)
    rows = [*outside.rows, LoadRow(f"Loads under management, at its setting: {managed}", power, factor, demand, provision.section)]
    return calculation(given, "load management", scope.title, provision, rows)
