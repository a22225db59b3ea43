"""Modules keep the distance from hips, valleys and other roof edges that a local ordinance asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require_at_least
from permitgen.rules.quantities.siting_roof import planes_of
from permitgen.rules.rule import rule
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.site.roof_edges import along_roof_ft, edges_called
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import LocalSubject
    from permitgen.system.site.plan import RoofPlane


@rule(
    "local-roof-edges",
    title="Modules keep the distance from hips, valleys and other roof edges that a local ordinance asks for",
    provision="local_requirement",
    judges="local roof edges",
)
def judge(subject: LocalSubject, given: Given) -> Judgement:
    """Judge how far modules lie from each edge of their roof planes that an ordinance names, along the roof.

    Requires: distance ≥ what the ordinance states, from every hip, valley, ridge, eave or rake that it names.
    Why: towns ask for room to walk beside hips and valleys, to cut the roof, and to keep ice and water off modules at eaves.
    Applies to: arrays on buildings, on planes that have such an edge; the exemptions of the code are not the ordinance's.
    Example that fails: 18 in at hips asked for, modules 12 in from one.
    Example that passes: the same modules 18 in from it.
    """
    array, names = subject.item, subject.requirement.roof_edges
    assert isinstance(array, PVArray)  # noqa: S101 - distances to roof edges are asked of arrays alone
    if not given.need(is_array_on_building(array), f"whether {array.tag} is on a building"):
        return does_not_apply(f"{array.tag}: not on a building")
    provision = given.provision(subject.requirement.id)
    limit = provision.value("from_roof_edge_in").named("d_min")
    parts = [part for plane in planes_of(given, array) for name in names for part in _at(array, plane, name, limit)]
    if not parts:
        return does_not_apply(f"{array.tag}: its roof planes have no {' and no '.join(names)}")
    return all_of(f"{array.tag}: {limit.length} from each {' and '.join(names)}", parts).under(provision)


def _at(array: PVArray, plane: RoofPlane, name: str, limit: Value) -> list[Judgement]:
    """Judge the nearest module to the edges of one kind; nothing where the plane has none."""
    found = edges_called(plane, name)
    if not found:
        return []
    nearest = min(along_roof_ft(plane, shape, edge) for shape in plane.arrays for edge in found)
    title = f"distance to the {name} along the {plane.name} roof"
    distance = Value(12 * nearest, "in", FromSystem(f"site plan, roof plane {plane.name}"), "d", title)
    message = f"{array.tag}: {distance.number:.1f} in to the {name} of the {plane.name} roof, {limit.length} needed"
    return [require_at_least(message, computed=distance, limit=limit)]
