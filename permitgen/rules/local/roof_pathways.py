"""Each roof plane with modules keeps the pathways that a local ordinance asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.clearances import length_in
from permitgen.rules.judgement import Judgement, all_of, at_least, does_not_apply, require_at_least
from permitgen.rules.quantities.siting_roof import free_spans_ft, planes_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import LocalSubject
    from permitgen.system.site.plan import RoofPlane


@rule(
    "local-roof-pathways",
    title="Each roof plane with modules keeps the pathways that a local ordinance asks for",
    provision="local_requirement",
    judges="local pathways",
)
def judge(subject: LocalSubject, given: Given) -> Judgement:
    """Judge how many strips from eave to ridge each plane with modules keeps free, each as wide as the ordinance asks.

    Requires: the number of separate strips on every plane that carries modules; one wide strip counts once.
    Why: where ladders go up on one side only, a crew has no second way down.
    Applies to: arrays on buildings; the exemptions of the code for flat roofs and sheds are not the ordinance's.
    Example that fails: two strips of 36 in asked for on each plane, one gable covered.
    Example that passes: 36 in free at both gables.
    """
    array = subject.item
    assert isinstance(array, PVArray)  # noqa: S101 - pathways are asked of arrays alone
    if not given.need(is_array_on_building(array), f"whether {array.tag} is on a building"):
        return does_not_apply(f"{array.tag}: not on a building")
    provision = given.provision(subject.requirement.id)
    width, least = provision.value("width_in"), provision.value("smallest_count")
    parts = [_on_plane(array, plane, width, least) for plane in planes_of(given, array)]
    return all_of(f"{array.tag}: {least.figure} strips of {width.length} on each plane", parts).under(provision)


def _on_plane(array: PVArray, plane: RoofPlane, width: Value, least: Value) -> Judgement:
    spans = [
        Value(high - low, "ft", FromSystem(f"site plan, roof plane {plane.name}"), "w", f"free strip of the {plane.name} roof")
        for low, high in free_spans_ft(plane)
    ]
    wide = [span for span in spans if at_least(length_in.derive(length_ft=span), width)]
    count = Value(float(len(wide)), "count", FromSystem("counted on the site plan"), "n", f"strips of the {plane.name} roof")
    message = f"{array.tag}: {len(wide)} strips of {width.length} on the {plane.name} roof, {least.figure} needed"
    return require_at_least(message, computed=count, limit=least, values=tuple(spans))
