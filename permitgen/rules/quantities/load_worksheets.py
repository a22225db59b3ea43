"""Every load calculation of a project as worksheets for print: the service, each feeder with loads, the backup in each mode."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.load_backup import backup_of
from permitgen.rules.quantities.load_capacity import feeder_limit, feeder_scope, service_limit, service_scope
from permitgen.rules.quantities.load_methods import load_methods
from permitgen.rules.quantities.service_disconnects import enclosures_of
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from collections.abc import Callable

    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_calculation import LoadCalculation
    from permitgen.rules.quantities.load_scope import LoadScope
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class LoadWorksheet:
    """The calculations of one part of the installation by every method whose facts are stated, and what that part carries.

    ``subject`` is a tag, or the words for a mode; ``missing`` says why there is no calculation where there is none.
    """

    subject: str
    title: str
    capacity_a: Value | None
    calculations: tuple[LoadCalculation, ...]
    missing: tuple[str, ...] = ()


def load_worksheets(given: Given) -> tuple[LoadWorksheet, ...]:
    """Return the worksheets: services first, then feeders in file order, then operation without the utility."""
    found = [
        *(_service(given, tag) for tag, item in given.system.equipment.items() if item.kind == "utility_service"),
        *(_feeder(given, tag) for tag in given.system.circuits),
        *(_backup(given, mode) for mode in given.system.modes),
    ]
    return tuple(sheet for sheet in found if sheet is not None)


def _worksheet(subject: str, title: str, given: Given, facts: Callable[[], tuple[LoadScope, Value]]) -> LoadWorksheet | None:
    try:
        scope, capacity = facts()
    except MissingFactError as missing:
        return LoadWorksheet(subject, title, None, (), missing.names)
    if scope.is_empty:
        return None
    methods = load_methods(given, scope, capacity)
    calculations = tuple(method.calculation for method in methods if method.calculation is not None)
    missing_facts = tuple(dict.fromkeys(name for method in methods for name in method.missing))
    return LoadWorksheet(subject, title, capacity, calculations, missing_facts)


def _service(given: Given, service: str) -> LoadWorksheet | None:
    enclosures = enclosures_of(given, service)
    if not enclosures:
        return None
    several = len(given.system.utility_nodes) > 1
    title = f"Service {service}" if several else "Service"
    return _worksheet(enclosures[0], title, given, lambda: (service_scope(given, service), service_limit(given, service)))


def _feeder(given: Given, tag: str) -> LoadWorksheet | None:
    circuit = given.system.circuits[tag]
    if role(given, circuit) is not CircuitRole.FEEDER:
        return None
    try:
        scope = feeder_scope(given, circuit)
    except MissingFactError as missing:
        return LoadWorksheet(tag, f"Feeder {tag}", None, (), missing.names)
    if scope is None:
        return None
    return _worksheet(tag, f"Feeder {tag}", given, lambda: (scope, feeder_limit(given, circuit)))


def _backup(given: Given, mode: OperatingMode) -> LoadWorksheet | None:
    if mode is OperatingMode.WITH_UTILITY:
        return None
    try:
        backup = backup_of(given, mode)
    except MissingFactError as missing:
        return LoadWorksheet(str(mode), f"Backup, {mode}", None, (), missing.names)
    if backup is None:
        return None
    kept = backup.scope.without(("island", "always"))
    return _worksheet(str(mode), f"Backup, {mode}, loads that are not shed", given, lambda: (kept, backup.output_a))
