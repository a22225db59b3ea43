"""The voltage for which a source is made, beside the voltage of the system that it feeds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, at_least, at_most
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.power_source import PowerSource


def source_circuits(given: Given, source: PowerSource) -> tuple[Circuit, ...]:
    """Return the ac circuits that land on the equipment of a source."""
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_at.get(source.tag, ()))
    return tuple(circuit for circuit in circuits if not circuit.is_dc)


def compare_voltage(given: Given, source: PowerSource, where: str) -> Judgement:
    """Judge that a source is made for the nominal voltage between the conductors that it feeds.

    Raises:
        MissingFactError: its ac voltage, or that of the system, is not stated.
    """
    stated = given.need(source.output_v, f"ac voltage of {source.id}").named("E_source", f"ac voltage of {source.id}")
    circuits = source_circuits(given, source)
    to_neutral = bool(circuits) and all(circuit.conductors.ungrounded_count == 1 for circuit in circuits)
    system = (line_to_neutral(given) if to_neutral else line_to_line(given)).named("E", "voltage of the system")
    same = at_most(stated, system) and at_least(stated, system)
    message = f"{source.id}: made for {stated.figure} V, {where} has {system.figure} V between its conductors"
    return Judgement(Verdict.PASSES if same else Verdict.VIOLATED, message, computed=stated, limit=system, relation="=")
