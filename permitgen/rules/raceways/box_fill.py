"""A box has room for its conductors, clamps, devices and grounding conductors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.box_fill import allowance_volume_in3, grounding_allowance_count
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.quantities.box_conductors import grounding_conductors, insulated_conductors
from permitgen.rules.rule import rule
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.equipment.pass_through import JunctionBox


@rule(
    "box-fill",
    title="A box has room for its conductors, clamps, devices and grounding conductors",
    provision="box_fill",
    judges="junction_box",
)
def judge(box: JunctionBox, given: Given) -> Judgement:
    """Judge the allowances of what enters a box against its volume.

    Requires: sum of the allowances ≤ volume; one for each conductor, one for clamps, two for a device, one for the first grounding
    conductors and from 2020 a quarter for each beyond the fourth, from 2023 one for each terminal block.
    Why: a crammed box pinches conductors and cannot shed the heat of its splices.
    Applies to: boxes with conductors of 6 AWG and smaller; larger ones ask for length (see pull-box).
    Example that fails: eight 12 AWG, four grounds and a receptacle in 24 in³, 24.75 in³ needed.
    Example that passes: the same in 30.3 in³.
    """
    counts = insulated_conductors(given, box)
    provision = given.provision("box_fill")
    if not counts:
        return does_not_apply(f"{box.tag}: no circuit ends there")
    if any(size > ConductorSize(provision.text("largest_size")) for size in counts):
        return does_not_apply(f"{box.tag} holds conductors larger than {provision.text('largest_size')} AWG (see pull-box)")
    clamps = box.answer("internal_clamps")
    if clamps is None:
        raise MissingFactError(f"whether {box.tag} has internal clamps")
    volume = given.need(box.fact("volume"), f"volume of {box.tag}").named("V_box", f"volume of {box.tag}")
    largest = max(counts)
    parts = [_volume(given, size, float(count), f"{size} conductors") for size, count in sorted(counts.items())]
    parts += _further(box, given, provision, largest, clamps=clamps)
    parts += _grounding(box, given, provision)
    total = sum_of(parts, symbol="V", title=f"volume needed in {box.tag}", provision=provision)
    return require_at_most(f"{box.tag}: {total.number:.4g} in³ needed, {volume.number:.4g} in³ there", computed=total, limit=volume)


def _volume(given: Given, size: ConductorSize, allowances: float | Value, what: str) -> Value:
    count = allowances if isinstance(allowances, Value) else Value(allowances, "count", FromSystem(f"counted: {what}"), "n", what)
    each = given.table("box_fill_allowance").at(size, "volume").named("v", f"allowance of {size}")
    return allowance_volume_in3.derive(allowance_count=count, allowance_in3=each, title=f"volume of {what}")


def _further(box: JunctionBox, given: Given, provision: Provision, largest: ConductorSize, *, clamps: bool) -> list[Value]:
    """Return the allowances of clamps, devices and terminal blocks, each by the largest conductor."""
    parts = [_volume(given, largest, provision.value("clamps_count"), "internal clamps")] if clamps else []
    devices = box.fact("devices")
    if devices is not None and devices.number > 0:
        parts.append(_volume(given, largest, devices.number * provision.value("device_count").number, f"{devices.figure} devices"))
    blocks = box.fact("terminal_blocks")
    if blocks is not None and blocks.number > 0 and provision.has("terminal_block_count"):
        count = blocks.number * provision.value("terminal_block_count").number
        parts.append(_volume(given, largest, count, f"{blocks.figure} terminal blocks"))
    return parts


def _grounding(box: JunctionBox, given: Given, provision: Provision) -> list[Value]:
    sizes = grounding_conductors(given, box)
    if not sizes:
        return []
    largest, number = max(sizes), float(len(sizes))
    if not provision.has("further_grounding_factor"):
        return [_volume(given, largest, provision.value("grounding_count"), f"{number:g} grounding conductors")]
    allowances = grounding_allowance_count.derive(
        grounding_count=provision.value("grounding_count"),
        conductors_count=Value(number, "count", FromSystem(f"grounding conductors in {box.tag}"), "n", "grounding conductors"),
        included_count=provision.value("grounding_included_count"),
        further_factor=provision.value("further_grounding_factor"),
        provision=provision,
    )
    return [_volume(given, largest, allowances, f"{number:g} grounding conductors")]
