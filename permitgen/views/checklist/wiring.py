"""What was pulled and landed, against the schedule: conductors, devices, raceways, source terminals."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.origin import ProjectLine
from permitgen.views.checklist.identification import identification_lines
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection, done_line, match_line, place_of, practice, rating_choices
from permitgen.views.checklist.runs import run_lines
from permitgen.views.circuit_text import conductor_text, labeled_device_text
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.overcurrent_device import OvercurrentDevice

_SIZES = tuple(str(size) for size in ALL_SIZES if ConductorSize("14") <= size <= ConductorSize("500"))


def wiring(evaluation: Evaluation) -> ChecklistSection:
    """Return the lines on mechanical work and wiring."""
    lines = (
        *_circuits(evaluation),
        *_source_terminals(evaluation),
        *run_lines(evaluation),
        *identification_lines(evaluation),
        *_electrode_conductors(evaluation),
        *_moved(evaluation),
        *_general(evaluation),
    )
    return ChecklistSection(
        "wiring",
        "Wiring as shown on plans",
        "Choose “different from plans” where it is, with the reason: it is shown as a difference in the record.",
        lines,
    )


def _circuits(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    for circuit in evaluation.system.circuits.values():
        if circuit.existing:
            continue
        yield from _conductors(evaluation, circuit)
        for end, side, device in ((circuit.start, "from_end", circuit.start_device), (circuit.finish, "to_end", circuit.finish_device)):
            if device is not None and device.rating_a is not None:
                yield _device(evaluation, circuit, end, side, device)


def _conductors(evaluation: Evaluation, circuit: Circuit) -> Iterator[ChecklistLine]:
    if circuit.conductors.size is None:
        return
    yield match_line(
        f"conductor:{circuit.tag}",
        circuit.tag,
        f"{circuit.name or 'Circuit'}: {conductor_text(circuit)}; {circuit.start} to {circuit.finish}",
        f"circuits.{circuit.tag}.conductors.size",
        str(circuit.conductors.size),
        choices=_SIZES,
        source=practice(evaluation, "overcurrent_protection_of_conductors").citation,
    )
    if circuit.conductors.egc_size is not None:
        yield match_line(
            f"ground:{circuit.tag}",
            circuit.tag,
            f"Equipment grounding conductor of {circuit.tag}",
            f"circuits.{circuit.tag}.conductors.equipment_ground",
            str(circuit.conductors.egc_size),
            choices=_SIZES,
            source=practice(evaluation, "equipment_grounding_conductor_size").citation,
        )


def _device(evaluation: Evaluation, circuit: Circuit, end: End, side: str, device: OvercurrentDevice) -> ChecklistLine:
    rating = device.rating_a
    own = rating.origin.spelled if rating is not None and isinstance(rating.origin, ProjectLine) else ""
    text = own or (value_text(rating) if rating is not None else "")
    return match_line(
        f"device:{circuit.tag}@{end}",
        circuit.tag,
        f"Overcurrent device at {end}: {labeled_device_text(device)}",
        f"circuits.{circuit.tag}.overcurrent.{side}.rating",
        text,
        choices=rating_choices(evaluation),
        place=place_of(evaluation, end.tag),
        photo=True,
    )


def _source_terminals(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """One line an enclosure: every source that lands there lands ahead of its relay."""
    system = evaluation.system
    found: dict[str, list[str]] = {}
    for circuit in system.circuits.values():
        for end in () if circuit.existing else circuit.ends:
            terminal = system.terminal_at(end)
            if terminal is not None and terminal.accepts:
                found.setdefault(end.tag, []).append(f"{circuit.tag} on {terminal.name}")
    for tag, landings in found.items():
        yield done_line(
            f"landed:{tag}",
            tag,
            f"Each source lands on its own input terminal, ahead of its relay, not on a breaker: {', '.join(landings)}",
            "INST",
            photo=True,
            place=place_of(evaluation, tag),
            source=practice(evaluation, "listed_and_instructed").citation,
            why="on a breaker the source would bypass its relay and stay connected in every mode",
        )


def _electrode_conductors(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    for item in evaluation.system.equipment.values():
        if item.kind == "grounding_electrode_system" and item.status != "existing":
            yield done_line(
                f"electrode-conductor:{item.tag}",
                item.tag,
                "Grounding electrode conductor in one piece, or spliced irreversibly; steel raceways around it bonded at both ends",
                "NEC",
                photo=True,
                place=place_of(evaluation, item.tag),
                source=practice(evaluation, "grounding_electrode_conductor_installation").citation,
            )


def _moved(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """One line a panel to which branch circuits were moved."""
    system = evaluation.system
    panels = [load.panel for load in system.loads.values() if load.is_moved]
    panels += [circuit.start.tag for circuit in system.circuits.values() if circuit.answer("moved")]
    for tag in dict.fromkeys(panels):
        yield done_line(
            f"moved:{tag}",
            tag,
            "Moved circuits: each neutral lands in this panel with its phase; ground-fault and arc-fault breakers are listed for this panel"
            " and trip with their test button",
            "NEC",
            place=place_of(evaluation, tag),
            source=practice(evaluation, "ground_fault_protection_of_moved_circuits").citation,
            why="a neutral left in the old panel trips the new breaker or carries current on another path",
        )


# What is looked at everywhere, with the provision that asks for it.
_GENERAL = (
    (
        "identification",
        "Neutrals are white or gray, or re-marked at both ends; equipment grounding conductors green or bare",
        "grounded_conductor_identification",
    ),
    ("bushings", "Insulating bushings where conductors of 4 AWG and larger enter; bonding bushings on metal service raceways", "bushing"),
    (
        "separation",
        "Dc, power and low-voltage control circuits are separated as shown on the plans",
        "circuits_sharing_raceway",
    ),
    ("burial", "Cover of buried raceways was measured before backfill", "burial_cover"),
    ("hubs", "Entries above live parts outdoors have raintight hubs; enclosures are spaced off wet walls", "damp_and_wet_enclosure"),
    ("directory", "Every breaker is identified in the panel directory", "panel_directory"),
    ("neutral bars", "One neutral per terminal; grounding conductors on their own bar", "panel_neutrals"),
    (
        "grounding bars",
        "Grounding bars are bonded to their cabinet, and joined to the neutral bar only where the neutral is bonded",
        "panel_grounding_bar",
    ),
    (
        "grounds in boxes",
        "Grounding conductors are joined in every box, so that removing a device does not interrupt the ground",
        "equipment_grounding_conductor_continuity",
    ),
)


def _general(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    buried = any(run.underground for run in evaluation.system.raceways.values())
    for name, words, provision in _GENERAL:
        found = evaluation.given.code.provision(provision)
        if found.status != "absent" and (name != "burial" or buried):
            yield done_line(f"wiring:{name.replace(' ', '-')}", "", words, "NEC", source=found.citation, photo=name == "burial")
