"""A string has an overcurrent device, or nothing that can flow into it exceeds its conductors and its modules."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import backfeed_current_a
from permitgen.rules.judgement import Judgement, Verdict, all_of, any_of, at_most, not_judged, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.rule import rule
from permitgen.system.walks.dc_circuits import circuit_at, inverters_fed, storage_joined, strings_joined, strings_joined_without_device
from permitgen.values.equation import sum_of
from permitgen.values.origin import Assumed, FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.circuit import Circuit


@rule(
    "pv-overcurrent-required",
    title="A string has an overcurrent device, or nothing that can flow into it exceeds its conductors and its modules",
    provision="pv_overcurrent_required",
    judges="PV string",
)
def judge(circuit: ArrayCircuit, given: Given) -> Judgement:
    """Judge whether a string may do without an overcurrent device, or has one.

    Requires: current from all other sources ≤ the modules' maximum device and ≤ the string conductors' ampacity, or a device fitted.
    Why: a shorted string is fed backwards by the others; modules and leads burn where nothing limits that current.
    Applies to: every string; strings on separate inputs of one inverter do not feed each other. One that nothing flows back into
        needs no device whatever its modules permit.
    Example that fails: three strings of 10 A in parallel on modules whose largest device is 20 A: 25 A flows back.
    Example that passes: two of them: 12.5 A.
    """
    node = f"{circuit.array.tag}.{circuit.name}"
    joined = strings_joined(given.system, node)
    fitted = len(strings_joined_without_device(given.system, node)) == 1 and _has_device(given, node)
    has = "has" if fitted else "has no"
    if storage_joined(given.system, node):
        return require(
            fitted, f"{circuit.tag} joins storage, a stronger source, and {has} overcurrent device of its own", method="device fitted"
        )
    device = require(fitted, f"{circuit.tag} {has} overcurrent device of its own", method="device fitted")
    return any_of(f"{circuit.tag}, {len(joined)} in parallel", [_without(circuit, given, len(joined)), device])


def _has_device(given: Given, node: str) -> bool:
    reached = given.system.graph.reach([node], lambda link: not link.is_converter and link.device is None)
    return any(link.device is not None for name in reached for link in given.system.graph.at_node.get(name, ()))


def _without(circuit: ArrayCircuit, given: Given, number: int) -> Judgement:
    """Judge the string as if it had no device: converters by their own limit, modules by theirs."""
    if circuit.array.converter is not None and number > 1:
        return replace(
            not_judged(f"largest number of strings that {circuit.array.converter.name} permits in parallel"), method="not required"
        )
    provision = given.provision("pv_overcurrent_required")
    module = given.need(circuit.array.module, f"module of {circuit.array.tag}")
    is_known = module.counted_isc_a is not None and module.largest_series_fuse_a is not None
    if not is_known and number == 1 and _from_inverters(circuit, given).number == 0:
        return require(fact=True, message=f"{circuit.tag} is alone on its input, and nothing flows back into it", method="not required")
    short_circuit = given.need(module.counted_isc_a, f"short-circuit current of {module.name}")
    count = Value(float(number), "count", FromSystem("strings joined, counted on the graph"), "N", "strings in parallel")
    back = backfeed_current_a.derive(
        strings_count=count,
        irradiance_factor=provision.value("irradiance_factor"),
        short_circuit_current_a=short_circuit,
        inverter_backfeed_a=_from_inverters(circuit, given),
        provision=provision,
        title=f"current that can flow back into {circuit.tag}",
    )
    limit = given.need(module.largest_series_fuse_a, f"maximum overcurrent device of {module.name}").named("I_fuse")
    parts = [
        require_at_most(
            f"{back.number:.4g} A can flow back, the modules permit an overcurrent device of {limit.figure} A", computed=back, limit=limit
        )
    ]
    own = circuit_at(given.system, circuit.array.tag, circuit.name)
    if own is not None:
        parts += parts_of(lambda: _on_conductors(own, given, back))
    judgement = replace(all_of(f"{back.number:.4g} A can flow back, the modules permit {limit.figure} A", parts), method="not required")
    return replace(judgement, doubt=_edge(number, short_circuit, limit, judgement))


def _on_conductors(own: Circuit, given: Given, back: Value) -> Judgement:
    if own.conductors.size is None:
        return not_judged(f"conductor size of {own.tag}")
    ampacity = conductor_ampacity(given, own).final_a
    return require_at_most(
        f"{own.tag}: {back.number:.4g} A can flow back, its conductors carry {ampacity.number:.4g} A", computed=back, limit=ampacity
    )


def _from_inverters(circuit: ArrayCircuit, given: Given) -> Value:
    inverters = inverters_fed(given.system, f"{circuit.array.tag}.{circuit.name}")
    if not inverters:
        return Value(0.0, "a", Assumed(f"{circuit.tag} reaches no inverter in the file"), "I_inv", "back-feed of the inverter")
    found = [given.need(inverter.dc_backfeed_a, f"back-feed current of {inverter.tag} into its dc inputs") for inverter in inverters]
    return found[0].named("I_inv") if len(found) == 1 else sum_of(found, symbol="I_inv", title="back-feed of the inverters")


def _edge(number: int, short_circuit: Value, limit: Value, judgement: Judgement) -> str:
    """Where 125 percent decides: read with the plain short-circuit current the string would need no device."""
    plain = replace(short_circuit, number=(number - 1) * short_circuit.number)
    if judgement.verdict is not Verdict.VIOLATED or not at_most(plain, limit):
        return ""
    alone = f"with the short-circuit current alone, {plain.figure} A would stay within {limit.figure} A"
    return f"{alone}; the strict reading takes 125 percent"
