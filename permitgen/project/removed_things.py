"""What is to be removed: it stands in the file and on the drawings, and nothing that is there afterwards may hang on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from permitgen.project.sections.placed_equipment import TO_BE_REMOVED

if TYPE_CHECKING:
    from permitgen.project.messages import Location
    from permitgen.project.reference_check import Check
    from permitgen.project.sections.project_file import ProjectFile
    from permitgen.reading.problems import Problem

_NAMES_EQUIPMENT = ("shuts_down", "also_stops", "lands_at", "generator")


def is_to_be_removed(item: Any) -> bool:
    """Whether a piece of equipment is taken out in this work."""
    return bool(item.status == TO_BE_REMOVED)


def removed_runs(models: ProjectFile) -> frozenset[str]:
    """Return the runs that hold circuits to be removed and nothing else."""
    gone: set[str] = set()
    kept = {run for control in models.control.values() for run in control.runs}
    for circuit in models.circuits.values():
        runs = {*circuit.runs, *circuit.shared_runs, *(run for way in circuit.parallel.values() for run in way)}
        (gone if circuit.to_be_removed else kept).update(runs)
    return frozenset(gone - kept)


def left_hanging(check: Check) -> Iterator[Problem]:
    """Whatever stays names nothing that is to be removed."""
    models = check.models
    gone = {tag for tag, item in models.equipment.items() if is_to_be_removed(item)}
    for location, tag in _named(models):
        if tag in gone:
            circuit = location[0] == "circuits"
            other = "to_be_removed: yes at this circuit, or another end" if circuit else "what takes its place, or nothing"
            yield check.problem(location, f"{tag} is to be removed; expected {other}")
    for tag, stays in models.circuits.items():
        if stays.tap_of in models.circuits and models.circuits[stays.tap_of].to_be_removed and not stays.to_be_removed:
            yield check.problem(
                ("circuits", tag, "tap_of"), f"{stays.tap_of} is to be removed; expected the circuit that is tapped afterwards"
            )


def _named(models: ProjectFile) -> Iterator[tuple[Location, str]]:
    """Yield where what stays names equipment, and the tag."""
    yield from _by_wiring(models)
    yield from _by_figures(models)
    for tag, item in models.equipment.items():
        for key in _NAMES_EQUIPMENT if not is_to_be_removed(item) else ():
            named = getattr(item, key, ())
            yield from ((("equipment", tag, key), name) for name in ((named,) if isinstance(named, str) else named))


def _by_wiring(models: ProjectFile) -> Iterator[tuple[Location, str]]:
    for tag, circuit in models.circuits.items():
        if not circuit.to_be_removed:
            yield ("circuits", tag, "from"), circuit.from_.partition(".")[0]
            yield ("circuits", tag, "to"), circuit.to.partition(".")[0]
    for tag, load in models.loads.items():
        yield ("loads", tag, "panel"), load.panel
    for tag, control in models.control.items():
        yield ("control", tag, "source"), control.source
        yield ("control", tag, "device"), control.device


def _by_figures(models: ProjectFile) -> Iterator[tuple[Location, str]]:
    for tag in models.known_loads:
        yield ("known_loads", tag), tag
    for tag, setting in models.power_control.items():
        for key in ("sources", "limits"):
            yield from ((("power_control", tag, key), name) for name in getattr(setting, key))
    for building, stated in models.site.buildings.items():
        for name, unit in stated.units.items():
            yield ("site", "buildings", building, "units", name, "served_by"), unit.served_by
