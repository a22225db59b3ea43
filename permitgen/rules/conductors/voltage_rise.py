"""The voltage at an inverter stays so near the utility's that it does not trip: at most 2 percent of rise to the service."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, does_not_apply, require_at_most
from permitgen.rules.larger_conductor import larger_conductors
from permitgen.rules.quantities.circuit_current import output_of_sources, role, sources_behind
from permitgen.rules.quantities.voltage_drop import percent_of, rise_v, trunk_rise_v
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.system.walks.service_path import circuits_toward_utility
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

_CARRY_OUTPUT = (CircuitRole.INVERTER_OUTPUT, CircuitRole.STORAGE_AC, CircuitRole.SOURCE_FEEDER)


@rule(
    "voltage-rise",
    title="The voltage at an inverter stays so near the utility's that it does not trip: at most 2 percent of rise to the service",
    provision="voltage_rise",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the rise from a source to the service disconnect at full output, the trunk of microinverters and all feeders in it.

    Requires: at most 2 percent of the nominal voltage.
    Why: an inverter that lifts its own voltage above its limit disconnects on the sunniest days.
    Applies to: the first ac circuit of each inverter or storage unit, together with what follows.
    Example that fails: 32 A over 150 ft of 8 AWG copper in PVC, 3.1 percent.
    Example that passes: 32 A over 60 ft of it, 1.2 percent.
    """
    if role(given, circuit) not in _CARRY_OUTPUT or not _starts_at_source(circuit, given):
        return does_not_apply(f"{circuit.tag} is not the first ac circuit of a source")
    path = circuits_to_service(circuit, given)
    if not path:
        return does_not_apply(f"{circuit.tag}: the utility does not reach it")
    rises = [_rise_of(other, given) for other in path]
    volts = one_or_sum_of(rises, symbol="ΣV_r", title=f"voltage rise from the source of {circuit.tag} to the service")
    percent = percent_of(given, circuit, volts)
    limit = given.provision("voltage_rise").value("limit_percent")
    return require_at_most(
        f"{circuit.tag}: voltage rise {percent.number:.2f} percent to the service, {limit.figure} percent advised",
        computed=percent,
        limit=limit,
        otherwise=Verdict.CAUTION,
        remedies=larger_conductors(circuit),
    )


def _starts_at_source(circuit: Circuit, given: Given) -> bool:
    tags = {source.tag for source in sources_behind(given, circuit)}
    return any(end.tag in tags for end in circuit.ends)


def circuits_to_service(circuit: Circuit, given: Given) -> list[Circuit]:
    """Return the circuits from the source to the service disconnect, the own one first."""
    source = next(s for s in sources_behind(given, circuit) if any(end.tag == s.tag for end in circuit.ends))
    path = circuits_toward_utility(given.system, source.node)
    return [other for other in path if role(given, other) is not CircuitRole.SERVICE]


def _rise_of(circuit: Circuit, given: Given) -> Value:
    """A trunk that ends in a junction box under the array gathers its current along its length; anything else carries all of it."""
    ends = [given.system.equipment[end.tag] for end in circuit.ends]
    array = next((item for item in ends if isinstance(item, PVArray)), None)
    if array is not None and array.module_inverter is not None and any(item.kind == "junction_box" for item in ends):
        unit = given.need(array.module_inverter.output_a, f"output current of the units of {array.tag}")
        name = next(end.terminal for end in circuit.ends if end.tag == array.tag)
        return trunk_rise_v(given, circuit, unit, given.need(array.branches.get(name), f"units on branch {array.tag}.{name}"))
    return rise_v(given, circuit, output_of_sources(given, circuit))
