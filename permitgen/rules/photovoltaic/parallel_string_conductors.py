"""Strings that share one overcurrent device have conductors for the device and the other strings together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.photovoltaic import parallel_string_conductor_a
from permitgen.rules.judgement import Judgement, does_not_apply, require_at_least
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.dc_circuits import circuit_at, strings_joined_without_device
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


@rule(
    "pv-module-parallel-conductors",
    title="Strings that share one overcurrent device have conductors for the device and the other strings together",
    provision="pv_module_parallel_conductors",
    judges="PV string",
)
def judge(circuit: ArrayCircuit, given: Given) -> Judgement:
    """Judge the conductors of a string that shares its overcurrent device with others.

    Requires: ampacity of the string's conductors ≥ the shared device + 1.25 × the short-circuit current of the other strings on it.
    Why: a fault in one string is fed by the device from outside and by its neighbors from inside, all through its own leads.
    Applies to: two or more strings joined ahead of one device.
    Example that fails: 12 AWG on a string of 9 A that shares a 30 A device with another: 41.25 A needed.
    Example that passes: 8 AWG there.
    """
    node = f"{circuit.array.tag}.{circuit.name}"
    others = [s for s in strings_joined_without_device(given.system, node) if s.node != node]
    device = _shared_device(given, node)
    if not others or device is None:
        return does_not_apply(f"{circuit.tag} shares no overcurrent device with other strings")
    provision = given.provision("pv_module_parallel_conductors")
    own = circuit_at(given.system, circuit.array.tag, circuit.name)
    wires = given.need(own, f"circuit of {circuit.tag}")
    needed = parallel_string_conductor_a.derive(
        overcurrent_device_a=given.need(device.rating_a, f"rating of the breaker or fuse that {circuit.tag} shares").named("I_OCPD"),
        irradiance_factor=provision.value("irradiance_factor"),
        others_current_a=sum_of(
            [_short_circuit(given, s) for s in others], symbol="ΣI_sc", title=f"short-circuit current of the strings beside {circuit.tag}"
        ),
        provision=provision,
    )
    ampacity = conductor_ampacity(given, wires).final_a
    carried = f"{wires.tag}: {wires.conductors.size} carries {ampacity.number:.4g} A"
    message = f"{carried}, the shared breaker or fuse and the other strings require {needed.number:.4g} A"
    return require_at_least(message, computed=ampacity, limit=needed)


def _short_circuit(given: Given, source: PowerSource) -> Value:
    array = given.system.equipment[source.tag]
    assert isinstance(array, PVArray)  # noqa: S101 - the source's kind says so
    module = given.need(array.module, f"module of {array.tag}")
    return given.need(module.counted_isc_a, f"short-circuit current of {module.name}")


def _shared_device(given: Given, node: str) -> OvercurrentDevice | None:
    reached = given.system.graph.reach([node], lambda link: not link.is_converter and link.device is None)
    return next((link.device for name in reached for link in given.system.graph.at_node.get(name, ()) if link.device is not None), None)
