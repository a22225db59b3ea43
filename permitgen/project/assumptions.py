"""What the project does not state and is read as the trade reads silence; the calculation sheet lists it under Assumptions.

Only facts stand here whose silence no reviewer asks about: nobody writes on a plan that wire is of copper with ordinary strands.
Numbers that are assumed carry their reason themselves (``values.origin.Assumed``). Sources of the readings: what the code's own
sizes and materials mean where nothing else is said; else common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from permitgen.project.run_place import run_place_of
from permitgen.project.sections import equipment as kinds
from permitgen.project.sections.project_file import ProjectFile
from permitgen.system.equipment.kinds import KINDS
from permitgen.system.project_facts import Assumption

_COPPER = "no material stated; sizes without a material are those of copper"
_TWO_WIRE = "number not stated; as many as the device has poles, else the two legs of 120/240 V"


@dataclass(frozen=True, slots=True)
class _Reading:
    """``keys`` of the things that ``of`` yields; one that states none of them is read as ``taken``."""

    of: Callable[[ProjectFile], Iterable[tuple[str, Any]]]
    keys: tuple[str, ...]
    title: str
    taken: str
    reason: str
    all_of: str = ""


def assumptions_of(models: ProjectFile) -> tuple[Assumption, ...]:
    """Return one assumption for each kind of fact that somebody left out, naming all who did."""
    found = []
    for reading in _READINGS:
        asked = list(reading.of(models))
        silent = list(dict.fromkeys(tag for tag, model in asked if not any(_states(model, key) for key in reading.keys)))
        if silent:
            who = f"all {reading.all_of}" if reading.all_of and len(silent) == len(asked) > 1 else ", ".join(silent)
            found.append(Assumption(title=f"{reading.title} {who}", taken=reading.taken, reason=reading.reason))
    return tuple(found)


def _states(model: Any, key: str) -> bool:
    return key in model.model_fields_set and getattr(model, key) is not None


def _conductors(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    return ((tag, circuit.conductors) for tag, circuit in models.circuits.items())


def _grounds(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    """Yield the conductors of circuits with a wire for equipment grounding of their own; service conductors have none."""
    for tag, circuit in models.circuits.items():
        ends = (models.equipment[end.partition(".")[0]] for end in (circuit.from_, circuit.to))
        is_service = any(KINDS[end.kind].is_wired_with_neutral_alone for end in ends)
        conductors = circuit.conductors
        if not is_service and not conductors.equipment_ground_by_raceway and not conductors.equipment_ground_shared_with:
            yield tag, conductors


def _devices(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    for tag, circuit in models.circuits.items():
        for device in (circuit.overcurrent.from_end, circuit.overcurrent.to_end):
            if device is not None:
                yield tag, device
    for tag, item in models.equipment.items():
        for key in ("main", "device", "breaker", "load_device"):
            if getattr(item, key, None) is not None:
                yield tag, getattr(item, key)


def _of_kind(*wanted: type[Any]) -> Callable[[ProjectFile], Iterator[tuple[str, Any]]]:
    return lambda models: ((tag, item) for tag, item in models.equipment.items() if isinstance(item, wanted))


def _plan(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    return iter([] if models.site.plan is None else [("the site plan", models.site.plan)])


def _told_roofs(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    plan = models.site.plan
    return ((name, drawn.roof) for name, drawn in (plan.buildings.items() if plan is not None else ()) if drawn.roof is not None)


def _with_jumper(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    electrodes = _of_kind(kinds.GroundingElectrodeSystemModel)(models)
    return ((tag, item) for tag, item in electrodes if item.bonding_jumper is not None)


def _run_outside_attics(models: ProjectFile) -> Iterator[tuple[str, Any]]:
    """Yield the runs that have the ambient of the site unless they state their own; in an attic nothing is assumed."""
    if models.site.climate.design_high is not None:
        yield from ((tag, run) for tag, run in models.raceways.items() if run_place_of(run).in_attic is False)


_READINGS = (
    _Reading(_plan, ("north", "front_faces"), "North on", "up the page", "direction not stated"),
    _Reading(_told_roofs, ("shape",), "Shape of the roof of", "gable", "ridge stated without the shape"),
    _Reading(_conductors, ("material",), "Material of", "copper", _COPPER),
    _Reading(_conductors, ("ungrounded",), "Ungrounded conductors of", "two, or one on a one-pole device", _TWO_WIRE),
    _Reading(_conductors, ("sets",), "Conductors in parallel in", "one set", "no number of sets stated", "circuits"),
    _Reading(_conductors, ("fine_stranded", "stranding"), "Strands of", "ordinary (Class B or C)", "building wire is sold so", "circuits"),
    _Reading(_grounds, ("equipment_ground_material",), "Material of the equipment ground of", "copper", _COPPER),
    _Reading(
        _devices, ("poles",), "Poles of devices of", "as many as ungrounded conductors", "not stated; no proof that they open together"
    ),
    _Reading(_devices, ("kind",), "Overcurrent devices of", "circuit breakers", "fuses are stated as such"),
    _Reading(
        lambda models: models.raceways.items(),
        ("other_current_carrying",),
        "Conductors of other wiring in",
        "none",
        "a run holds the circuits of this project unless the file counts others",
        "runs",
    ),
    _Reading(
        _run_outside_attics,
        ("ambient",),
        "Ambient temperature along",
        "the design high of the site",
        "no temperature stated for a run that passes no attic",
    ),
    _Reading(
        _of_kind(kinds.EVSupplyEquipmentModel),
        ("exports", "output"),
        "Direction of",
        "charges only",
        "equipment that feeds back is stated as such",
    ),
    _Reading(
        _of_kind(kinds.DisconnectModel), ("switches_neutral",), "Neutral in", "not switched", "switches of dwellings have solid neutrals"
    ),
    _Reading(
        _of_kind(kinds.GroundingElectrodeSystemModel), ("conductor_material",), "Material of the electrode conductor of", "copper", _COPPER
    ),
    _Reading(_with_jumper, ("bonding_jumper_material",), "Material of the main bonding jumper of", "copper", _COPPER),
)
