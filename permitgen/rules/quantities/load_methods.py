"""The ways to calculate a load, each with its worksheet, what it misses, or why it is not permitted here.

The optional method is for one dwelling unit on one set of service or feeder conductors of 100 A or more that carries everything,
also where a smaller source is asked for that load: the size of the conductors is asked for, not that of the source; the method for
existing dwellings needs an existing dwelling; two dwelling units together may count as three alike; measured demand is barred where a
source hid the load while it was recorded, from 2023 unless the record is of a year. A load that is known as one figure stands in place
of all of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Verdict, at_least, at_most
from permitgen.rules.quantities.load_capacity import conductors_of_whole_a
from permitgen.rules.quantities.load_known import known_load, provision_of
from permitgen.rules.quantities.load_managed import managed_load, management_setting
from permitgen.rules.quantities.load_measured import measured_load
from permitgen.rules.quantities.load_optional import existing_load, optional_load
from permitgen.rules.quantities.load_record import record_judgements
from permitgen.rules.quantities.load_standard import standard_load
from permitgen.rules.quantities.load_two_units import two_units_load, why_not_two_units

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_calculation import LoadCalculation
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class LoadMethod:
    """One method. Exactly one of ``calculation``, ``missing`` and ``barred`` is given; ``provision`` is the id it stands on.

    ``caution`` says why its figure may be too low although the method is permitted.
    """

    name: str
    provision: str
    calculation: LoadCalculation | None = None
    missing: tuple[str, ...] = ()
    barred: str = ""
    caution: str = ""


def load_methods(given: Given, scope: LoadScope, capacity_a: Value) -> tuple[LoadMethod, ...]:
    """Return every method for the loads of ``scope`` on conductors that carry ``capacity_a``."""
    if scope.is_known:
        return (_computed("known load", provision_of(scope.known[0]), lambda: known_load(given, scope)), _managed(given, scope))
    return (
        _computed("standard method", "standard_load_calculation", lambda: standard_load(given, scope)),
        _optional(given, scope, capacity_a),
        _existing(given, scope),
        _two_units(given, scope),
        _measured(given, scope),
        _managed(given, scope),
    )


def _computed(name: str, provision: str, compute: Callable[[], LoadCalculation]) -> LoadMethod:
    try:
        return LoadMethod(name, provision, calculation=compute())
    except MissingFactError as missing:
        return LoadMethod(name, provision, missing=missing.names)
    except NotInTableError as beyond:
        return LoadMethod(name, provision, missing=(str(beyond),))


def _optional(given: Given, scope: LoadScope, capacity_a: Value) -> LoadMethod:
    name, provision = "optional method", "optional_dwelling_load"
    smallest = given.provision(provision).value("smallest_ampacity_a")
    if not given.need(scope.is_one_unit, "kind of dwelling"):
        return LoadMethod(name, provision, barred="the optional method is for the whole load of one dwelling unit")
    found = _computed(name, provision, lambda: optional_load(given, scope))
    try:
        carried_a = conductors_of_whole_a(given, scope, smallest) if scope.is_of_source else capacity_a
    except MissingFactError as missing:
        if found.calculation is not None and not at_most(found.calculation.current_a, capacity_a):
            return LoadMethod(name, provision, barred="nobody says whether it may be used, and it does not fit")
        return LoadMethod(name, provision, missing=missing.names)
    if carried_a is None or not at_least(carried_a, smallest):
        return LoadMethod(name, provision, barred=f"the optional method needs {smallest.figure} A or more")
    return found


def _existing(given: Given, scope: LoadScope) -> LoadMethod:
    name, provision = "method for existing dwellings", "optional_existing_dwelling_load"
    if not given.system.site.answer("existing_dwelling"):
        return LoadMethod(name, provision, barred="the dwelling is not stated to be existing")
    if not given.need(scope.is_one_unit, "kind of dwelling"):
        return LoadMethod(name, provision, barred="not the whole load of one dwelling unit")
    return _computed(name, provision, lambda: existing_load(given, scope))


def _two_units(given: Given, scope: LoadScope) -> LoadMethod:
    name, provision = "method for two dwelling units", "optional_two_dwelling_load"
    barred = why_not_two_units(given, scope)
    if barred:
        return LoadMethod(name, provision, barred=barred)
    return _computed(name, provision, lambda: two_units_load(given, scope))


def _measured(given: Given, scope: LoadScope) -> LoadMethod:
    name, provision = "measured demand", "measured_existing_load"
    demand = given.system.site.measured_demand
    if demand is None or not scope.is_whole_dwelling:
        return LoadMethod(name, provision, barred="no measured demand of the whole dwelling")
    judgements = record_judgements(given, demand.record, "measured demand")
    for judgement in judgements:
        if judgement.verdict is Verdict.NOT_JUDGED:
            return LoadMethod(name, provision, missing=judgement.missing)
        if judgement.verdict is Verdict.VIOLATED:
            return LoadMethod(name, provision, barred=judgement.message)
    computed = _computed(name, provision, lambda: measured_load(given, scope, demand))
    return replace(computed, caution="; ".join(each.message for each in judgements if each.verdict is Verdict.CAUTION))


def _managed(given: Given, scope: LoadScope) -> LoadMethod:
    name, provision = "load management", "load_management"
    setting = management_setting(given, scope)
    if setting is None or not any(load.is_managed for load in scope.loads):
        return LoadMethod(name, provision, barred="no load is under load management")
    return _computed(name, provision, lambda: managed_load(given, scope, setting))
