"""Permitted against built: every difference with its class and its reason, and what the rules say of the built state.

The permitted state is never overwritten. Sizes the program chose are what the permit documents print, so the built state keeps
them where no departure says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING

from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.finding import OF_THE_RECORD, ORDER, Finding
from permitgen.evaluation.released_text import released_findings
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.values.conductor_size import ALL_SIZES
from permitgen.values.origin import ProjectLine
from permitgen.values.trade_size import TRADE_SIZES
from permitgen.values.units import printed_unit

if TYPE_CHECKING:
    from permitgen.system.built_state import Departure
    from permitgen.system.circuit import Circuit
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.system import System
    from permitgen.values.value import Value


class DifferenceClass(Enum):
    """What a difference asks for."""

    NEEDS_APPROVAL = "needs approval"
    RECORD_ONLY = "record only"

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True)
class Difference:
    """One departure: what was permitted, what was built, why, and whether the authority must approve it.

    ``findings`` are ids of findings that are worse in the built state and concern the same part. ``is_superseded`` says that a
    later departure at the same path stands over it, ``is_replaced`` that a later answer repeats the one that says it.
    """

    path: str
    tag: str
    permitted: str
    built: str
    reason: str
    decided_by: str
    date: str
    approved_by: str
    kind: DifferenceClass
    findings: tuple[str, ...]
    at: ProjectLine | None
    said_by: str
    is_readable: bool
    is_superseded: bool = False
    is_replaced: bool = False


@dataclass(frozen=True, slots=True)
class Comparison:
    """Both states.

    ``worse`` are findings of the built state that the permitted one does not have; ``record_findings`` are about the record itself.
    """

    permitted: Evaluation
    built: Evaluation
    differences: tuple[Difference, ...]
    worse: tuple[Finding, ...]
    record_findings: tuple[Finding, ...]

    @property
    def not_known(self) -> tuple[Finding, ...]:
        """What was built otherwise in words that nothing can be judged by: as long as nobody says it, the built state is not known."""
        return tuple(finding for finding in self.record_findings if finding.verdict is Verdict.NOT_JUDGED)


def compare_states(permitted: Evaluation, built_system: System) -> Comparison:
    """Evaluate ``built_system`` (the permitted one with its departures) and compare.

    Without departures the built state is the permitted one.
    """
    departures = built_system.built.departures if built_system.built is not None else ()
    if departures:
        sized = with_permitted_sizes(built_system, permitted.system)
        built = evaluate(sized, permitted.given.code, state="built", with_suggestions=False)
        built = replace(built, not_made=permitted.not_made)
    else:
        built = replace(permitted, state="built")
    worse = _worse(permitted, built)
    differences = _differences(departures, permitted.system, worse)
    return Comparison(permitted, built, differences, worse, (*_record_findings(differences), *released_findings(built_system)))


def with_permitted_sizes(built: System, permitted: System) -> System:
    """Return ``built`` with every size it leaves open as the permit documents have it."""
    circuits = {tag: _with_sizes(circuit, permitted.circuits[tag]) for tag, circuit in built.circuits.items() if tag in permitted.circuits}
    raceways = {
        tag: replace(run, trade_size=run.trade_size or permitted.raceways[tag].trade_size)
        for tag, run in built.raceways.items()
        if tag in permitted.raceways
    }
    equipment = dict(built.equipment)
    for tag, item in built.equipment.items():
        drawn = permitted.equipment.get(tag)
        if isinstance(item, GroundingElectrodeSystem) and isinstance(drawn, GroundingElectrodeSystem):
            equipment[tag] = replace(item, conductor_size=item.conductor_size or drawn.conductor_size)
    return replace(built, circuits={**built.circuits, **circuits}, raceways={**built.raceways, **raceways}, equipment=equipment)


def _with_sizes(circuit: Circuit, drawn: Circuit) -> Circuit:
    conductors = replace(
        circuit.conductors,
        size=circuit.conductors.size or drawn.conductors.size,
        egc_size=circuit.conductors.egc_size or drawn.conductors.egc_size,
    )
    return replace(
        circuit,
        conductors=conductors,
        start_device=_with_rating(circuit.start_device, drawn.start_device),
        finish_device=_with_rating(circuit.finish_device, drawn.finish_device),
    )


def _with_rating(device: OvercurrentDevice | None, drawn: OvercurrentDevice | None) -> OvercurrentDevice | None:
    if device is None or drawn is None or device.rating_a is not None:
        return device
    return replace(device, rating_a=drawn.rating_a)


def _worse(permitted: Evaluation, built: Evaluation) -> tuple[Finding, ...]:
    """Return the findings that violate, cannot be judged or ask for care only in the built state."""
    found = []
    for finding in built.findings:
        before = permitted.by_id.get(finding.id)
        rank = ORDER[finding.verdict]
        if rank <= ORDER[Verdict.CAUTION] and (before is None or ORDER[before.verdict] > rank):
            found.append(finding)
    return tuple(found)


def _differences(departures: tuple[Departure, ...], permitted: System, worse: tuple[Finding, ...]) -> tuple[Difference, ...]:
    last = {departure.path: index for index, departure in enumerate(departures)}
    found = []
    for index, departure in enumerate(departures):
        tag = _tag_of(departure.path)
        was = departure.permitted or sized_text(permitted, departure.path)
        kind = class_in(permitted, departure.path, was, departure.built)
        found.append(
            Difference(
                path=departure.path,
                tag=tag,
                permitted=was,
                built=departure.built,
                reason=departure.reason,
                decided_by=departure.decided_by,
                date=departure.date,
                approved_by=departure.approved_by,
                kind=kind,
                findings=tuple(f.id for f in worse if _tag_named(f.subject, tag)),
                at=departure.at,
                said_by=departure.said_by,
                is_readable=departure.is_readable,
                is_superseded=last[departure.path] != index,
                is_replaced=departure.is_replaced,
            )
        )
    return tuple(found)


def _tag_of(path: str) -> str:
    steps = path.split(".")
    return steps[1] if len(steps) > 1 else steps[0]


def _tag_named(subject: str, tag: str) -> bool:
    return subject.partition("@")[0].partition(".")[0] == tag


def sized_text(system: System, path: str) -> str:
    """Return what the program chose for ``path`` where the project file left it open; empty for anything else."""
    match path.split("."):
        case ["circuits", tag, "conductors", "size"] if tag in system.circuits:
            return str(system.circuits[tag].conductors.size or "")
        case ["circuits", tag, "conductors", "equipment_ground"] if tag in system.circuits:
            return str(system.circuits[tag].conductors.egc_size or "")
        case ["circuits", tag, "overcurrent", side, "rating"] if tag in system.circuits:
            device = system.circuits[tag].start_device if side == "from_end" else system.circuits[tag].finish_device
            return _value_text(device.rating_a) if device is not None and device.rating_a is not None else ""
        case ["raceways", tag, "trade_size"] if tag in system.raceways:
            return f"{system.raceways[tag].trade_size} in" if system.raceways[tag].trade_size else ""
    return ""


def _value_text(value: Value) -> str:
    return f"{value.figure} {printed_unit(value.unit)}"


# What may differ without changing what was approved: lengths and wording. More copper or a larger raceway than asked for neither.
_RECORD_ONLY_KEYS = frozenset({"length", "description", "name", "location", "torque", "bends", "splice"})
_RECORD_ONLY_SECTIONS = frozenset({"labels", "settings", "record", "project"})
_SIZES = {str(size): rank for rank, size in enumerate(ALL_SIZES)}
_TRADE_SIZES = {f"{size} in": rank for rank, size in enumerate(TRADE_SIZES)}
_CONDUCTOR_KEYS = frozenset({"size", "equipment_ground", "neutral", "conductor"})


def class_in(system: System, path: str, permitted: str, built: str) -> DifferenceClass:
    """Return whether a difference changes what was approved where the system stands: a jurisdiction may approve every one."""
    if system.jurisdiction.option("built_differences", "usual") == "all need approval":
        return DifferenceClass.NEEDS_APPROVAL
    return class_of(path, permitted, built)


def class_of(path: str, permitted: str, built: str) -> DifferenceClass:
    """Return whether a difference changes what was approved. A larger conductor does not; anything not known to be harmless does."""
    steps = path.split(".")
    if steps[0] in _RECORD_ONLY_SECTIONS or steps[-1] in _RECORD_ONLY_KEYS:
        return DifferenceClass.RECORD_ONLY
    ranks = _SIZES if steps[-1] in _CONDUCTOR_KEYS else _TRADE_SIZES if steps[-1] == "trade_size" else {}
    if permitted in ranks and built in ranks and ranks[built] >= ranks[permitted]:
        return DifferenceClass.RECORD_ONLY
    return DifferenceClass.RECORD_ONLY if permitted == built else DifferenceClass.NEEDS_APPROVAL


def _record_findings(differences: tuple[Difference, ...]) -> tuple[Finding, ...]:
    """Return findings about the record itself: a difference without a reason, without an approval it needs, or said twice."""
    found: list[Finding] = []
    said: Mapping[str, list[Difference]] = {d.path: [o for o in differences if o.path == d.path] for d in differences}
    for difference in differences:
        if difference.is_superseded:
            continue
        if not difference.reason:
            found.append(_finding("difference-reason", "Differences are explained", difference, Verdict.VIOLATED, "no reason is given"))
        if difference.kind is DifferenceClass.NEEDS_APPROVAL and not difference.approved_by:
            found.append(
                _finding(
                    "difference-approval",
                    "Differences are approved",
                    difference,
                    Verdict.CAUTION,
                    "the approval of the authority is not recorded",
                )
            )
        if not difference.is_readable:
            what = "the value cannot stand there, so that the built state is judged as permitted; write the departure under built:"
            found.append(_finding("difference-readable", "Differences can be judged", difference, Verdict.NOT_JUDGED, what))
        if others := _others(difference, said[difference.path]):
            counts = "; the worse one counts until somebody settles it" if difference.said_by == "field" else ""
            what = f"another entry says {', '.join(sorted(others))}{counts}"
            found.append(_finding("difference-agreed", "The field agrees on what was built", difference, Verdict.CAUTION, what))
    return tuple(found)


def _others(difference: Difference, said: list[Difference]) -> set[str]:
    """Return what else is said, and by no person decided: answers are settled by what somebody wrote in the project file."""
    if difference.said_by == "settlement":
        return set()
    standing = (o for o in said if not o.is_replaced)
    return {o.built for o in standing if difference.said_by == "field" or o.said_by == "file"} - {difference.built}


def _finding(rule: str, title: str, difference: Difference, verdict: Verdict, what: str) -> Finding:
    permitted = difference.permitted or "nothing"
    built = difference.built if difference.is_readable else "otherwise"  # words that cannot stand there are the field's own, and private
    message = f"{difference.path}: built {built}, permitted {permitted}; {what}"
    return Finding(rule, title, difference.path, Judgement(verdict, message), "", OF_THE_RECORD, difference.at)
