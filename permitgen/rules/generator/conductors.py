"""Generator conductors carry 115 percent of the nameplate current, or 100 percent where the machine cannot be overloaded.

That holds from the terminals to the first distribution equipment with overcurrent protection, through whatever has none. Behind a device
of the machine itself the device decides, as everywhere: the conductors are protected by its rating and carry what it lets through.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.generator import generator_conductor_a
from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require_at_least
from permitgen.rules.overcurrent.conductor_protection import protects
from permitgen.rules.quantities.circuit_current import generator_current, generator_feeds, generator_output, generators_behind, role
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.feeding import place_of, rating_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.generator import Generator
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.walks.feeds import Feed


@rule(
    "generator-conductors",
    title="Generator conductors carry 115 percent of the nameplate current, or 100 percent where the machine cannot be overloaded",
    provision="generator_conductors",
    judges="circuit",
    sizes=("conductor",),
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge the conductors from a generator to the first overcurrent device.

    Requires: ampacity ≥ 1.15 × nameplate current, or ≥ nameplate current where the machine prevents overload; behind a device of the
        machine itself, protected by that device and ≥ what it lets through.
    Why: a generator without a device of its own gives more than its nameplate for a long time.
    Applies to: every circuit that a generator reaches without an overcurrent device, and the output circuit behind its own device.
    Example that fails: 6 AWG copper, 65 A, for 58.3 A without a built-in device: 67.1 A are needed.
    Example that passes: 4 AWG copper there, or 6 AWG behind a built-in 60 A breaker.
    """
    feeds = generator_feeds(given, circuit)
    title = f"{circuit.tag}: {circuit.conductors.size} {circuit.conductors.material}"
    if feeds.direct:
        machines = [item for source in feeds.direct if isinstance(item := given.system.equipment[source.tag], Generator)]
        return any_of(title, _unprotected(circuit, machines, given))
    own = _own_device(given, circuit, feeds.devices)
    if own is None:
        return does_not_apply(f"{circuit.tag} is not between a generator and the first overcurrent device")
    return any_of(title, [_by("nameplate_factor", circuit, generators_behind(given, circuit), given), _behind_device(circuit, own, given)])


def _own_device(given: Given, circuit: Circuit, feeds: tuple[Feed, ...]) -> Feed | None:
    """Return the device of the one machine behind an output circuit, None where another device stands nearer."""
    tags = {f"{machine.tag}.breaker" for machine in generators_behind(given, circuit)}
    own = len(feeds) == len(tags) == 1 and feeds[0].link.handle in tags
    return feeds[0] if own and role(given, circuit) is CircuitRole.GENERATOR_OUTPUT else None


def _unprotected(circuit: Circuit, machines: list[Generator], given: Given) -> list[Judgement]:
    """115 percent, or 100 where none of the machines can be overloaded; one that may be is asked about, one that can is left out."""
    full = _by("nameplate_factor", circuit, machines, given)
    answers = {machine.tag: machine.answer("overload_protected") for machine in machines}
    can = next((tag for tag, answer in answers.items() if answer is False), None)
    unknown = next((tag for tag, answer in answers.items() if answer is None), None)
    if can is not None:
        return [full, replace(does_not_apply(f"{can} does not prevent overload"), method="100 percent")]
    if unknown is not None:
        missing = f"whether {unknown} prevents overload by design or by a device of its own"
        return [full, replace(not_judged(missing), method="100 percent")]
    return [full, _by("overload_prevented_factor", circuit, machines, given)]


def _by(field: str, circuit: Circuit, machines: list[Generator] | tuple[Generator, ...], given: Given) -> Judgement:
    provision = given.provision("generator_conductors")
    factor = provision.value(field)
    nameplates = [generator_current(given, machine) for machine in machines]
    nameplate = one_or_sum_of(nameplates, symbol="I_np", title="nameplate currents together")
    title = f"ampacity asked for in {circuit.tag}"
    needed = generator_conductor_a.derive(nameplate_factor=factor, nameplate_a=nameplate, provision=provision, title=title)
    ampacity = conductor_ampacity(given, circuit).final_a
    message = f"carries {ampacity.number:.4g} A, {factor.number * 100:.0f} percent of {nameplate.number:.4g} A is {needed.number:.4g} A"
    return require_at_least(message, computed=ampacity, limit=needed, method=f"{factor.number * 100:.0f} percent")


def _behind_device(circuit: Circuit, own: Feed, given: Given) -> Judgement:
    """Behind the machine's own device: its rating protects the conductors, and they carry what it lets through."""
    carried = generator_output(given, generators_behind(given, circuit)[0])
    ampacity = conductor_ampacity(given, circuit).final_a
    rating = rating_of(given, own)
    what = f"carries {ampacity.number:.4g} A behind the generator's own device of {rating.figure} A"
    parts = [
        require_at_least(f"{what}, {carried.number:.4g} A flow", computed=ampacity, limit=carried),
        protects(circuit, given, rating, f"device {place_of(own.link)}"),
    ]
    return replace(all_of(what, parts), method="behind its own device")
