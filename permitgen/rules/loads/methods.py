"""The ways to calculate a load, each judged against the same capacity; one that fits suffices.

The optional method is for one dwelling unit on one set of conductors of 100 A or more that carries everything; the method for
existing dwellings needs an existing dwelling; measured demand is barred where a source hid the load while it was recorded.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require_at_most
from permitgen.rules.quantities.dwelling_kind import is_one_family
from permitgen.rules.quantities.load_managed import managed_load, management_setting
from permitgen.rules.quantities.load_measured import measured_load
from permitgen.rules.quantities.load_optional import existing_load, optional_load
from permitgen.rules.quantities.load_standard import standard_load

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_calculation import LoadCalculation
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.values.value import Value

Compute = Callable[[], "LoadCalculation"]


def judge_methods(given: Given, scope: LoadScope, limit: Value) -> list[Judgement]:
    """Judge the load behind ``scope`` against ``limit`` (A) by every method; those that do not apply say why."""
    return [
        _standard(given, scope, limit),
        _optional(given, scope, limit),
        _existing(given, scope, limit),
        _measured(given, scope, limit),
        _managed(given, scope, limit),
    ]


def _compared(given: Given, name: str, provision_id: str, limit: Value, compute: Compute) -> Judgement:
    provision = given.provision(provision_id)
    try:
        found = compute()
    except MissingFactError as missing:
        return replace(not_judged(*missing.names), method=name).under(provision)
    except NotInTableError as beyond:
        return replace(not_judged(str(beyond)), method=name).under(provision)
    message = f"{found.current_a.number:.4g} A by the {name}, {limit.number:g} A available"
    return require_at_most(message, computed=found.current_a, limit=limit, method=name).under(provision)


def _standard(given: Given, scope: LoadScope, limit: Value) -> Judgement:
    return _compared(given, "standard method", "standard_load_calculation", limit, lambda: standard_load(given, scope))


def _optional(given: Given, scope: LoadScope, limit: Value) -> Judgement:
    provision = given.provision("optional_dwelling_load")
    reason = _why_not_optional(given, scope, limit)
    if reason:
        return replace(does_not_apply(reason), method="optional method").under(provision)
    return _compared(given, "optional method", "optional_dwelling_load", limit, lambda: optional_load(given, scope))


def _why_not_optional(given: Given, scope: LoadScope, limit: Value) -> str:
    if not is_one_family(given):
        return "the optional method is for one dwelling unit"
    if not scope.is_whole_dwelling:
        return "the optional method needs conductors that carry the whole load of the dwelling"
    smallest = given.provision("optional_dwelling_load").value("smallest_ampacity_a")
    return f"the optional method needs {smallest.number:g} A or more" if limit.number < smallest.number else ""


def _existing(given: Given, scope: LoadScope, limit: Value) -> Judgement:
    provision = given.provision("optional_existing_dwelling_load")
    existing = given.system.site.answer("existing_dwelling")
    if not existing or not scope.is_whole_dwelling:
        reason = "the dwelling is not stated to be existing" if not existing else "not the whole load of the dwelling"
        return replace(does_not_apply(reason), method="existing dwelling").under(provision)
    return _compared(given, "method for existing dwellings", "optional_existing_dwelling_load", limit, lambda: existing_load(given, scope))


def _measured(given: Given, scope: LoadScope, limit: Value) -> Judgement:
    provision = given.provision("measured_existing_load")
    demand = given.system.site.measured_demand
    if demand is None or not scope.is_whole_dwelling:
        return replace(does_not_apply("no measured demand of the whole dwelling"), method="measured demand").under(provision)
    if demand.sources_connected is None or not demand.record:
        missing = (
            "whether a source fed the service while the demand was recorded"
            if demand.record
            else "length of the record of the measured demand"
        )
        return replace(not_judged(missing), method="measured demand").under(provision)
    if demand.sources_connected:
        reason = "a power source hid part of the load while the demand was recorded"
        return replace(does_not_apply(reason), method="measured demand").under(provision)
    return _compared(given, "measured demand", "measured_existing_load", limit, lambda: measured_load(given, scope, demand))


def _managed(given: Given, scope: LoadScope, limit: Value) -> Judgement:
    provision = given.provision("load_management")
    setting = management_setting(given)
    if setting is None or not any(load.shed == "always" for load in scope.loads):
        return replace(does_not_apply("no load is under load management"), method="load management").under(provision)
    return _compared(given, "load management", "load_management", limit, lambda: managed_load(given, scope, setting))
