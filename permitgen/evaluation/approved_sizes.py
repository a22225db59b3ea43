"""Holds an evaluation to what was approved: no later program, edition or edit chooses another size for it.

A size that the project file leaves open stays as it was approved where the program would choose otherwise today. Where it chooses the
same nothing changes, so that documents stay word for word what was stamped. What the file itself states otherwise is judged as stated,
and said: it is a change that the authority has not seen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.finding import OF_THE_RECORD, Finding
from permitgen.evaluation.sizing import Sizing
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.units import printed_unit
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.approval import ApprovedSize, ApprovedSizes, SizedThing
    from permitgen.system.project_facts import ProjectFacts
    from permitgen.system.system import System

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Approved:
    """What a project is held to: the sizes that were kept, or the name of the file that would hold them (``missing``)."""

    sizes: ApprovedSizes | None
    missing: str = ""


def sizes_of(system: System) -> dict[Key, str]:
    """Return every size of a system as printed, by thing and tag; what has none is left out."""
    found: dict[tuple[SizedThing, str], object] = {}
    for tag, installed in system.devices.items():
        rating = installed.device.rating_a
        found["overcurrent device", tag] = f"{rating.figure} {printed_unit(rating.unit)}" if rating is not None else ""
    for tag, circuit in system.circuits.items():
        found["conductor", tag] = circuit.conductors.size
        found["equipment grounding conductor", tag] = circuit.conductors.egc_size
    for tag, raceway in system.raceways.items():
        found["raceway", tag] = f"{raceway.trade_size} in" if raceway.trade_size else ""
    for tag, item in system.equipment.items():
        if isinstance(item, GroundingElectrodeSystem):
            found["grounding electrode conductor", tag] = item.conductor_size
    return {key: str(size) for key, size in found.items() if size}


def held_to(stated: System, approved: Approved | None, evaluated: Callable[[System], Evaluation]) -> Evaluation:
    """Return the evaluation of a system, its open sizes as they were approved.

    ``evaluated`` evaluates a system. The approved size is put in where another would be chosen, until no choice is another.
    """
    evaluation = today = evaluated(stated)
    sizes = approved.sizes if approved is not None else None
    kept: dict[Key, ApprovedSize] = {}
    while sizes is not None:
        other = _chosen_otherwise(stated, evaluation, sizes, kept)
        if not other:
            break
        kept |= other
        evaluation = evaluated(_with_sizes(stated, kept))
    if kept and sizes is not None:
        said = tuple(Sizing(s.tag, s.what, s.text, "", "", f"as approved in revision {sizes.revision}") for s in kept.values())
        evaluation = replace(evaluation, sizings=(*evaluation.sizings, *said))
    project = stated.project
    if project.approved_revision is None:
        return evaluation
    return replace(evaluation, approval=tuple(_findings(project, approved, stated, sizes_of(today.system))))


def _chosen_otherwise(
    stated: System, evaluation: Evaluation, sizes: ApprovedSizes, kept: Mapping[Key, ApprovedSize]
) -> dict[Key, ApprovedSize]:
    """Return the approved sizes that the file leaves open and for which the program would choose another, or none."""
    now, own = sizes_of(evaluation.system), sizes_of(stated)
    return {
        size.key: size
        for size in sizes.sizes
        if size.key not in kept and size.key not in own and now.get(size.key) != size.text and _is_open(stated, size)
    }


def _is_open(system: System, size: ApprovedSize) -> bool:
    """Whether the file leaves a size to be chosen: the thing is there, and nobody says that its size is not known."""
    match size.what:
        case "overcurrent device":
            return size.tag in system.devices and not system.devices[size.tag].device.is_rating_unknown
        case "conductor" | "equipment grounding conductor":
            key = "size" if size.what == "conductor" else "equipment_ground"
            circuit = system.circuits.get(size.tag)
            has_it = circuit is not None and (size.what == "conductor" or circuit.conductors.has_wire_egc)
            return circuit is not None and has_it and key not in circuit.conductors.unknown
        case "raceway":
            return size.tag in system.raceways and not system.raceways[size.tag].is_size_unknown
        case "grounding electrode conductor":
            item = system.equipment.get(size.tag)
            return isinstance(item, GroundingElectrodeSystem) and "conductor" not in item.absent | item.unknown


def _with_sizes(system: System, sizes: Mapping[Key, ApprovedSize]) -> System:
    for each in sizes.values():
        system = _with_size(system, each)
    return system


def _with_size(system: System, each: ApprovedSize) -> System:
    size, tag = each.size, each.tag
    if isinstance(size, Value):
        device = system.devices[tag].device
        return system.with_device(device, replace(device, rating_a=size))
    if isinstance(size, str):
        return system.with_raceway(replace(system.raceways[tag], trade_size=size))
    item = system.equipment.get(tag)
    if each.what == "grounding electrode conductor" and isinstance(item, GroundingElectrodeSystem):
        return system.with_equipment(replace(item, conductor_size=size))
    return _with_conductor(system, each, size)


def _with_conductor(system: System, each: ApprovedSize, size: ConductorSize) -> System:
    circuit = system.circuits[each.tag]
    conductors = circuit.conductors
    sized = replace(conductors, size=size) if each.what == "conductor" else replace(conductors, egc_size=size)
    return system.with_circuit(replace(circuit, conductors=sized))


def _findings(project: ProjectFacts, approved: Approved | None, stated: System, today: Mapping[Key, str]) -> Iterator[Finding]:
    """Yield what differs from the approved set, and what of it was not kept."""
    revision, newest = project.approved_revision, project.revision
    if revision is None or newest is None:
        return
    if not project.is_approved:
        said = f"revision {newest.number} is not approved; what is permitted is revision {revision.number} of {revision.date}"
        yield _finding("approved-revision", str(newest.number), Verdict.CAUTION, said)
    if approved is None or approved.sizes is None:
        missing = f": {approved.missing} is missing" if approved is not None else ""
        said = f"the sizes that revision {revision.number} was approved with are not kept{missing}; permitgen freeze writes them"
        yield _finding("approved-sizes-kept", str(revision.number), Verdict.NOT_JUDGED, said)
        return
    yield from _of_sizes(approved.sizes, stated, today, is_same=project.is_approved)


def _of_sizes(approved: ApprovedSizes, stated: System, today: Mapping[Key, str], *, is_same: bool) -> Iterator[Finding]:
    own = sizes_of(stated)
    known = {size.key: size for size in approved.sizes}
    # A later revision may state another size: that is what it is handed in for. In the approved one it is an edit behind the stamp.
    edited = Verdict.VIOLATED if is_same else Verdict.CAUTION
    for key, size in known.items():
        what, tag = key
        now = own.get(key, today.get(key, ""))
        if now == size.text:
            continue
        if key in own:
            said = f"{what} of {tag}: approved as {size.text}, the file says {now}; a change is handed in as a revision"
            yield _finding("approved-size", f"{tag}", edited, said, what, size)
        elif _is_open(stated, size):
            said = f"{what} of {tag}: approved as {size.text}, today {now or 'none'} would be chosen; documents keep {size.text}"
            yield _finding("approved-size", f"{tag}", Verdict.CAUTION, said, what, size)
        elif is_same:
            said = f"{what} of {tag}: approved as {size.text}, no longer in the file; a change is handed in as a revision"
            yield _finding("approved-size", f"{tag}", edited, said, what, size)
    for key in sorted(today.keys() - known.keys()) if is_same else ():
        said = f"{key[0]} of {key[1]}: {today[key]} is in no approved set; a change is handed in as a revision"
        yield _finding("approved-size", f"{key[1]}", edited, said, key[0])


def _finding(rule: str, subject: str, verdict: Verdict, said: str, what: str = "", size: ApprovedSize | None = None) -> Finding:
    titles = {
        "approved-revision": "What is permitted was approved",
        "approved-sizes-kept": "What was approved is kept",
        "approved-size": "Sizes are those that were approved",
    }
    at = size.at if size is not None else None
    return Finding(rule, titles[rule], f"{subject}{f'@{what}' if what else ''}", Judgement(verdict, said), "", OF_THE_RECORD, at)
