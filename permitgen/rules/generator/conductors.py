"""Generator conductors carry 115 percent of the nameplate current, or 100 percent where the machine cannot be overloaded."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.generator import generator_conductor_a
from permitgen.rules.judgement import Judgement, any_of, does_not_apply, not_judged, require_at_least
from permitgen.rules.quantities.circuit_current import generator_current, role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.rule import rule
from permitgen.system.equipment.generator import Generator
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value


@rule(
    "generator-conductors",
    title="Generator conductors carry 115 percent of the nameplate current, or 100 percent where the machine cannot be overloaded",
    provision="generator_conductors",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the conductors from a generator to the first device beyond it.

    Requires: ampacity ≥ 1.15 × nameplate current, or ≥ nameplate current where the machine's own device prevents overload.
    Why: a generator without a device of its own gives more than its nameplate for a long time.
    Applies to: the conductors that leave the generator.
    Example that fails: 6 AWG copper, 65 A, for 58.3 A without a built-in device: 67.1 A are needed.
    Example that passes: 4 AWG copper there, or 6 AWG behind a built-in 60 A breaker.
    """
    machines = [item for end in circuit.ends if isinstance(item := given.system.equipment[end.tag], Generator)]
    if not machines or role(given, circuit) is not CircuitRole.GENERATOR_OUTPUT:
        return does_not_apply(f"{circuit.tag} does not leave a generator")
    machine = machines[0]
    ampacity = conductor_ampacity(given, circuit).final_a
    nameplate = generator_current(given, machine)
    methods = [_by("nameplate_factor", circuit, ampacity, nameplate, given), _protected(machine, circuit, ampacity, nameplate, given)]
    return any_of(f"{circuit.tag}: {circuit.conductors.size} {circuit.conductors.material}", methods)


def _by(field: str, circuit: Circuit, ampacity: Value, nameplate: Value, given: Given) -> Judgement:
    provision = given.provision("generator_conductors")
    factor = provision.value(field)
    title = f"ampacity asked for in {circuit.tag}"
    needed = generator_conductor_a.derive(nameplate_factor=factor, nameplate_a=nameplate, provision=provision, title=title)
    message = f"carries {ampacity.number:.4g} A, {factor.number * 100:.0f} percent of {nameplate.number:.4g} A is {needed.number:.4g} A"
    return require_at_least(message, computed=ampacity, limit=needed, method=f"{factor.number * 100:.0f} percent")


def _protected(machine: Generator, circuit: Circuit, ampacity: Value, nameplate: Value, given: Given) -> Judgement:
    prevents = machine.answer("overload_protected")
    if machine.device is None and prevents is None:
        return replace(not_judged(f"whether {machine.tag} prevents overload by design or by a device of its own"), method="100 percent")
    if machine.device is None and not prevents:
        return replace(does_not_apply(f"{machine.tag} does not prevent overload"), method="100 percent")
    return _by("overload_prevented_factor", circuit, ampacity, nameplate, given)
