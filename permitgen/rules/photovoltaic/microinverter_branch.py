"""The microinverters on one branch fit its overcurrent device and the manufacturers' limits."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.currents import required_continuous_current_a
from permitgen.code.equations.overcurrent import units_on_branch_count
from permitgen.rules.judgement import Judgement, Remedy, RemedyKind, Verdict, all_of, require, require_at_most
from permitgen.rules.parts import parts_for, parts_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.feeds import border_devices
from permitgen.values.equation import one_or_sum_of, sum_of
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import ArrayCircuit
    from permitgen.system.equipment.photovoltaic import ModuleInverter
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System


@rule(
    "microinverter-branch",
    title="The microinverters on one branch fit its overcurrent device and the manufacturers' limits",
    provision="microinverter_branch",
    judges="PV branch",
)
def judge(branch: ArrayCircuit, given: Given) -> Judgement:
    """Judge one branch against its device and its units' limits.

    Requires: 1.25 × sum of unit output currents ≤ device ≤ maker's largest device; units ≤ maker's largest number.
    Why: the trunk cable and the connectors are made for one device and one number of units.
    Applies to: branches of microinverters and ac modules; units of several kinds joined on a branch are added.
    Example that fails: 14 units of 1.21 A on 20 A: 21.2 A.
    Example that passes: 10 units of 1.6 A on 20 A: 20 A exactly.
    """
    sources = _on_same_branch(given, branch)
    devices = _devices(given, branch)
    if not devices:
        return require(fact=False, message=f"{branch.tag} reaches the other sources without an overcurrent device")
    ratings = [_rating(given, branch, device) for device in devices]
    if len(ratings) == 1:
        return _on_device(branch, sources, ratings[0], given)
    return all_of(f"{branch.tag}: each of its devices", parts_for(ratings, lambda rating: _on_device(branch, sources, rating, given)))


def _rating(given: Given, branch: ArrayCircuit, device: OvercurrentDevice) -> Value:
    rating = given.need(device.rating_a, f"rating of the overcurrent device of {branch.tag}")
    return rating.named("OCPD", f"overcurrent device of {branch.tag}")


def _on_device(branch: ArrayCircuit, sources: tuple[PowerSource, ...], rating: Value, given: Given) -> Judgement:
    parts = [
        *parts_of(lambda: _current(branch, sources, rating, given)),
        *parts_for(dict.fromkeys(source.tag for source in sources), lambda tag: _makers_limits(branch, tag, sources, rating, given)),
    ]
    text = f"{branch.tag}: {branch.count.figure} units on {rating.figure} A, within the manufacturers' limits"
    judgement = all_of(text, parts)
    return replace(parts[0], parts=tuple(parts)) if judgement.verdict is Verdict.PASSES else judgement


def _on_same_branch(given: Given, branch: ArrayCircuit) -> tuple[PowerSource, ...]:
    nodes = given.system.graph.reach([f"{branch.array.tag}.{branch.name}"], lambda link: link.device is None)
    return tuple(s for s in given.system.sources.values() if s.kind == "photovoltaic" and s.is_ac and s.node in nodes)


def _devices(given: Given, branch: ArrayCircuit) -> list[OvercurrentDevice]:
    """Return the first device on each way that leads away from the branch; none where a way reaches the utility without one."""
    inside, border = border_devices(given.system, f"{branch.array.tag}.{branch.name}")
    return [] if inside & set(given.system.utility_nodes) else [each.device for each in border]


def _current(branch: ArrayCircuit, sources: tuple[PowerSource, ...], rating: Value, given: Given) -> Judgement:
    provision = given.provision("microinverter_branch")
    outputs = [given.need(s.output_a, f"output current of {s.id}") for s in sources]
    total = (
        outputs[0].named("I") if len(outputs) == 1 else sum_of(outputs, symbol="I", title=f"output current of all units on {branch.tag}")
    )
    title = f"125 percent of the output current on {branch.tag}"
    needed = required_continuous_current_a.derive(
        continuous_factor=provision.value("continuous_factor"), continuous_a=total, provision=provision, title=title
    )
    message = f"{branch.tag}: 1.25 × {total.number:.4g} A of units need {needed.number:.5g} A, the breaker or fuse is {rating.figure} A"
    fewer = _fewer(branch, rating, provision.value("continuous_factor")) if len(sources) == 1 else ()
    return require_at_most(message, computed=needed, limit=rating, remedies=fewer)


def _fewer(branch: ArrayCircuit, rating: Value, factor: Value) -> tuple[Remedy, ...]:
    unit = branch.array.module_inverter.output_a if branch.array.module_inverter is not None else None
    if unit is None:
        return ()
    fitting = int(units_on_branch_count(rating.number, factor.number, unit.number) + 1e-9)
    if not 0 < fitting < branch.count.number:
        return ()

    def change(system: System) -> System:
        count = Value(float(fitting), "count", Assumed("tried as a remedy"), branch.count.symbol, branch.count.title)
        return system.with_equipment(replace(branch.array, branches={**branch.array.branches, branch.name: count}))

    return (Remedy(f"{fitting} units on branch {branch.name} of {branch.array.tag}", change, RemedyKind.SMALLER),)


def _makers_limits(branch: ArrayCircuit, tag: str, sources: tuple[PowerSource, ...], rating: Value, given: Given) -> list[Judgement]:
    array = given.system.equipment[tag]
    assert isinstance(array, PVArray)  # noqa: S101 - the source's kind says so
    unit = given.need(array.module_inverter, f"microinverter of {tag}")
    count = branch.count if array is branch.array else _count(array, sources)
    return parts_of(lambda: _largest_device(branch, unit, rating, given), lambda: _most_units(branch, unit, count, given))


def _largest_device(branch: ArrayCircuit, unit: ModuleInverter, rating: Value, given: Given) -> Judgement:
    largest = given.need(unit.largest_branch_device_a, f"largest overcurrent device on a branch of {unit.name}")
    message = f"{branch.tag}: breaker or fuse of {rating.figure} A, {largest.figure} A permitted by the manufacturer"
    return require_at_most(message, computed=rating, limit=largest)


def _most_units(branch: ArrayCircuit, unit: ModuleInverter, count: Value, given: Given) -> Judgement:
    most = given.need(unit.largest_units_per_branch, f"most units of {unit.name} on one branch")
    message = f"{branch.tag}: {count.figure} units, {most.figure} permitted by the manufacturer"
    return require_at_most(message, computed=count, limit=most)


def _count(array: PVArray, sources: tuple[PowerSource, ...]) -> Value:
    names = [source.node.split(".", maxsplit=1)[1] for source in sources if source.tag == array.tag]
    counts = [array.branches[name] for name in names]
    return one_or_sum_of(counts, symbol="n", title=f"units of {array.tag} on the branch")
