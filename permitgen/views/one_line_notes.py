"""Notes of the one-line diagram: each explains something that is on the drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.panel_rows import removed_devices
from permitgen.system.walks.circuit_sides import role_of
from permitgen.views.presence import has_rapid_shutdown

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.system import System


_TAGS = (
    "Circuit tags: see E-603. Equipment tags: see E-604. Conductor sizes are AWG unless marked kcmil. "
    "N neutral, G equipment grounding conductor, IR interrupting rating."
)


def _bonds(evaluation: Evaluation, places: str) -> str:
    findings = evaluation.findings_of("single-neutral-bond")
    if any(finding.verdict is Verdict.NOT_JUDGED for finding in findings):
        elsewhere = "; whether they are elsewhere is not checked, for nobody says it of every enclosure"
    else:
        elsewhere = " and nowhere else shown, except in the utility's equipment"
    mark = "VIOLATED, not to be built: " if any(finding.is_open for finding in findings) else ""
    return f"{mark}Neutral and ground are bonded at {places}{elsewhere}."


def _island(system: System) -> list[str]:
    """Name the islanding point and where the sources connect."""
    devices = [item for item in system.equipment.values() if isinstance(item, MicrogridInterconnectDevice)]
    sources = {s.tag for s in system.sources.values() if s.kind != "utility"}
    if not sources:
        return []
    lines = [f"Islanding point: the contactor of {' and '.join(item.tag for item in devices)}."] if devices else []
    landings = [str(end) for c in system.circuits.values() for end in c.ends if end.tag in system.busbars and brings_source(system, c, end)]
    if landings:
        lines.append(f"Points of interconnection: {', '.join(dict.fromkeys(landings))}.")
    return lines


def brings_source(system: System, circuit: Circuit, landing: End) -> bool:
    """Whether a circuit brings to a busbar what sources put out."""
    other = next(end for end in circuit.ends if end is not landing)
    return role_of(system, circuit).is_source_output and system.equipment[other.tag].kind != "junction_box" and landing.terminal != "main"


def notes_of(evaluation: Evaluation) -> tuple[str, ...]:
    """Return the notes that this system needs, in order."""
    system = evaluation.system
    found = [_TAGS]
    bonded = [item.tag for item in system.equipment.values() if item.neutral_bond is not None and item.neutral_bond.state.is_bonded]
    if bonded:
        found.append(_bonds(evaluation, " and ".join(bonded)))
    found += _island(system)
    if gone := [*system.removed, *system.removed_circuits, *(tag for tag, _, _ in removed_devices(system))]:
        found.append(f"Existing, to be removed and not shown here: {', '.join(gone)}; see E-604.")
    found.append("Number in a black disc: step of the shutdown procedure, E-608.")
    if has_rapid_shutdown(evaluation):
        found.append("Array boundary: dash-dot line. Conductors outside it are controlled by rapid shutdown.")
    return tuple(found)
