"""Conductors that pass through an enclosure, or are spliced in it, leave room in its wiring space and are named by a label."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.raceway_fill import gutter_area_in2, permitted_fill_in2
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.conductor_cross_section import groups_of_circuit, groups_of_control
from permitgen.rules.rule import rule
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.conductor_cross_section import ConductorGroup
    from permitgen.system.enclosure import WiringSpace
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.values.value import Value


@rule(
    "enclosure-as-raceway",
    title="Conductors that pass through an enclosure, or are spliced in it, leave room in its wiring space and are named by a label",
    provision="enclosure_as_raceway",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the wiring space that the file describes for an enclosure.

    Requires: conductors ≤ 40 percent of the cross section, with splices and taps ≤ 75 percent; a label naming the disconnect of what
    passes through.
    Why: an enclosure for switches is no junction box; a crowded one traps heat and hides live conductors behind an open switch.
    Applies to: enclosures with a described wiring space.
    Example that fails: 6.5 in² of conductors in a gutter of 4 in by 4 in.
    Example that passes: 6.4 in² in it, with the label.
    """
    space = item.wiring_space
    if space is None:
        return does_not_apply(f"{item.tag}: nothing is said to pass through it")
    label = require(
        space.is_labeled,
        f"{item.tag}: {'a' if space.is_labeled else 'no'} label names the disconnect of the conductors that pass through",
        missing=f"label of the feed-through conductors in {item.tag}",
    )
    parts = [*parts_of(lambda: _filled(item, space, given)), label]
    return all_of(f"{item.tag}: room for what passes through", parts)


def _filled(item: Equipment, space: WiringSpace, given: Given) -> list[Judgement]:
    groups = _groups(space, given)
    if not groups:
        return [not_judged(f"circuits that pass through the wiring space of {item.tag}")]
    conductors = sum_of([group.area_in2 for group in groups], symbol="A_cond", title=f"conductors in the wiring space of {item.tag}")
    area = gutter_area_in2.derive(
        width_in=given.need(space.width_in, f"width of the wiring space of {item.tag}"),
        depth_in=given.need(space.depth_in, f"depth of the wiring space of {item.tag}"),
    )
    return parts_of(
        lambda: _share(item, given, conductors, area, "conductors_percent", "conductors"),
        lambda: _splices(item, space, given, conductors, area),
    )


def _groups(space: WiringSpace, given: Given) -> list[ConductorGroup]:
    found = []
    for tag in space.circuits:
        if tag in given.system.circuits:
            circuit = given.system.circuits[tag]
            found += groups_of_circuit(given, circuit, circuit.conductors.sets)
        elif tag in given.system.controls:
            found += groups_of_control(given, given.system.controls[tag])
    return found


def _share(item: Equipment, given: Given, used: Value, area: Value, field: str, what: str) -> Judgement:
    provision = given.provision("enclosure_as_raceway")
    percent = provision.value(field)
    limit = permitted_fill_in2.derive(fill_percent=percent, total_area_in2=area.named("A_g"), provision=provision)
    return require_at_most(
        f"{item.tag}: {used.number:.4g} in² of {what}, {limit.number:.4g} in² permitted", computed=used, limit=limit, method=what
    )


def _splices(item: Equipment, space: WiringSpace, given: Given, conductors: Value, area: Value) -> list[Judgement]:
    if space.has_splices is None:
        return [not_judged(f"whether splices are in the wiring space of {item.tag}")]
    if not space.has_splices:
        return []
    splices = given.need(space.splices_area_in2, f"cross section of the splices in {item.tag}")
    together = sum_of([conductors, splices.named("A_splice")], symbol="A", title=f"conductors and splices in {item.tag}")
    return [_share(item, given, together, area, "with_splices_percent", "conductors and splices")]
