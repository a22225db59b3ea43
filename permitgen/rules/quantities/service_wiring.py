"""Runs of service conductors: which they are, and when one inside a building counts as outside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, require_at_least
from permitgen.rules.quantities.service_disconnects import service_circuits

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway


def service_circuits_in(given: Given, run: Raceway) -> tuple[Circuit, ...]:
    """Return the service conductors in a run, in file order; nothing for a run that holds none."""
    tags = given.once_for_topology("service circuits by run", lambda: _by_run(given)).get(run.tag, ())
    return tuple(given.system.circuits[tag] for tag in tags)


def _by_run(given: Given) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for circuit in service_circuits(given):
        for tag in circuit.runs:
            found.setdefault(tag, []).append(circuit.tag)
    return {tag: tuple(circuits) for tag, circuits in found.items()}


def enclosed(given: Given, run: Raceway) -> Judgement | None:
    """Judge whether enough concrete or earth lies around a run for it to count as outside; None where neither is stated."""
    provision = given.provision("service_conductors_inside")
    methods = []
    concrete = run.fact("concrete_around")
    if concrete is not None:
        message = f"{run.tag}: {concrete.number:g} in of concrete around it"
        methods.append(require_at_least(message, computed=concrete, limit=provision.value("concrete_in"), method="concrete"))
    if run.buried and run.cover_in is not None:
        message = f"{run.tag}: {run.cover_in.number:g} in of earth over it"
        methods.append(require_at_least(message, computed=run.cover_in, limit=provision.value("earth_in"), method="earth"))
    return any_of(f"{run.tag} counts as outside the building", methods) if methods else None


def counts_as_outside(given: Given, run: Raceway) -> bool:
    """Whether a run that passes through or under a building counts as outside of it."""
    judgement = enclosed(given, run)
    return judgement is not None and judgement.holds
