"""The torque log: one row a screw, with the value and where it comes from.

The value marked on the equipment or given in its instructions governs. Where the project gives none it is read at the equipment; the
default of the terminal standard for slotted screws is printed as a guide, and no torque passes by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.evaluation.field_verdict import PassRule
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.walks.array_place import is_array_on_building
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection, FurtherInput, done_line, place_of, practice
from permitgen.views.one_line_text import MATERIAL_MARKS
from permitgen.views.wording import number_text, value_text, with_unit

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.circuit import Circuit, End
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.terminal import Terminal
    from permitgen.values.conductor_size import ConductorSize

_MARKED = FurtherInput("marked", "Value marked on the equipment or in its instructions", "lbf·in")


@dataclass(frozen=True, slots=True)
class _Screw:
    """One screw: what lands there and, where it is the equipment's own terminal, that terminal."""

    role: str
    size: ConductorSize | None
    words: str
    terminal: Terminal | None


def terminations(evaluation: Evaluation) -> ChecklistSection:
    """Return the torque log."""
    lines = [line for circuit in evaluation.system.circuits.values() if not circuit.existing for line in _circuit(evaluation, circuit)]
    lines += _joints(evaluation)
    lines += _controls(evaluation)
    lines += _electrode_conductors(evaluation)
    intro = (
        "Fill this in while tightening: checking torque later does not show what was applied. Where a row is "
        "missing, loosen, re-land and tighten the termination, or report it. Factory terminations only where instructions require it."
    )
    return ChecklistSection("torque", "Torque log", intro, tuple(lines))


def _circuit(evaluation: Evaluation, circuit: Circuit) -> Iterator[ChecklistLine]:
    for end in circuit.ends:
        item = evaluation.system.equipment[end.tag]
        if item.kind == "utility_service":
            continue
        if not item.has_marked_terminals:
            continue
        title = f"{circuit.tag} at {end}"
        for screw in _screws(evaluation, circuit, end):
            yield _screw_line(evaluation, f"torque:{circuit.tag}@{end}:{screw.role}", circuit.tag, title, end.tag, screw)


def _is_on_the_ground(evaluation: Evaluation, end: End) -> bool:
    item = evaluation.system.equipment[end.tag]
    return isinstance(item, PVArray) and is_array_on_building(item) is False


def _joints(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """One line for each place where conductors are spliced or mated without a terminal of its own: one look answers it."""
    system = evaluation.system
    found: dict[str, dict[str, End]] = {}
    for circuit in system.circuits.values():
        for end in () if circuit.existing else circuit.ends:
            item = system.equipment[end.tag]
            if item.kind != "utility_service" and not item.has_marked_terminals:
                found.setdefault(end.tag, {})[circuit.tag] = end
    for tag, ends in found.items():
        yield _joined(evaluation, tag, ends)


def _joined(evaluation: Evaluation, tag: str, ends: Mapping[str, End]) -> ChecklistLine:
    spliced = evaluation.system.equipment[tag].kind == "junction_box"
    what = (
        "Splices made and tightened per instructions, listed for the conductors and the location"
        if spliced
        else "Connectors mated with their own type or one listed to mate with it, latched, opened only with a tool, held off the"
        f" {'ground' if _is_on_the_ground(evaluation, next(iter(ends.values()))) else 'roof'}"
    )
    return done_line(
        f"joined:{tag}",
        tag,
        f"{what}: {', '.join(ends)}",
        "INST",
        source=practice(evaluation, "splices" if spliced else "pv_connectors").citation,
        place=place_of(evaluation, tag),
        photo=True,
    )


def _screws(evaluation: Evaluation, circuit: Circuit, end: End) -> list[_Screw]:
    conductors = circuit.conductors
    own = evaluation.system.terminal_at(end)
    material = {"copper": "Cu", "aluminum": "Al"}[conductors.material]
    names = ("+", "−") if circuit.is_dc else ("L1", "L2", "L3")
    screws = []
    for one_set in _sets(circuit):
        words = f"{conductors.size} {material} {conductors.insulation}"
        screws += [_Screw(f"{name}{one_set}", conductors.size, words, own) for name in names[: conductors.ungrounded_count]]
        if conductors.neutral:
            size = conductors.neutral_size or conductors.size
            screws.append(_Screw(f"N{one_set}", size, f"{size} {material} {conductors.insulation}", None))
        if conductors.egc_size is not None and conductors.has_wire_egc:
            ground = {"copper": "Cu", "aluminum": "Al"}[conductors.egc_material]
            screws.append(_Screw(f"G{one_set}", conductors.egc_size, f"{conductors.egc_size} {ground}", None))
    return screws


def _sets(circuit: Circuit) -> list[str]:
    """Return what tells the sets apart behind the name of a conductor: the file's names of sets, else numbers; nothing for one set."""
    if circuit.is_split:
        return [f" set {way.name}" for way in circuit.ways]
    return [""] if circuit.conductors.sets == 1 else [f" set {number}" for number in range(1, circuit.conductors.sets + 1)]


def _screw_line(evaluation: Evaluation, id_: str, tag: str, title: str, at: str, screw: _Screw) -> ChecklistLine:
    tolerance = practice(evaluation, "torque_tool_tolerance").value("tolerance_percent").number
    own = screw.terminal.torque_lbf_in if screw.terminal is not None else None
    if screw.terminal is not None and own is not None:
        return ChecklistLine(
            id=id_,
            tag=tag,
            instruction=f"{screw.role}: {screw.words}",
            rule=PassRule(kind="torque", unit="lbf·in", base=own.number, tolerance_percent=tolerance),
            basis="INST",
            expected=value_text(own),
            limit=_within(tolerance),
            source=f"{screw.terminal.torque_source or 'equipment marking'}; {practice(evaluation, 'terminal_torque').citation}",
            group=f"{title}",
            group_title=title,
            place=place_of(evaluation, at),
        )
    return _default_line(evaluation, id_, tag, title, at, screw, tolerance)


def _default_line(evaluation: Evaluation, id_: str, tag: str, title: str, at: str, screw: _Screw, tolerance: float) -> ChecklistLine:
    guide = _default_torque(evaluation, screw.size)
    return ChecklistLine(
        id=id_,
        tag=tag,
        instruction=f"{screw.role}: {screw.words}",
        rule=PassRule(kind="torque", unit="lbf·in", tolerance_percent=tolerance),
        basis="486",
        expected="as marked on the equipment",
        limit=_within(tolerance),
        why=guide,
        source=practice(evaluation, "default_tightening_torque").citation,
        group=title,
        group_title=title,
        place=place_of(evaluation, at),
        inputs=(_MARKED,),
    )


def _default_torque(evaluation: Evaluation, size: ConductorSize | None) -> str:
    """Return in words the default torque of a slotted screw and of other screws, a guide for a value that looks wrong."""
    if size is None:
        return ""
    try:
        table = evaluation.given.table("tightening_torque")
        base = table.at(size, "slotted_wide_or_long").number
        others = ", ".join(
            f"{name} {value_text(table.at(size, column))}"
            for name, column in (("hex head", "other_hexagonal"), ("split bolt", "split_bolt"))
        )
    except NotInTableError:
        return ""
    return f"guide where a mark looks wrong: slotted {with_unit(number_text(base, 'lbf_in'), 'lbf_in')} ({others}); nothing passes by it"


def _within(tolerance: float) -> str:
    return f"within {number_text(tolerance, 'percent')} %"


def _controls(evaluation: Evaluation) -> list[ChecklistLine]:
    """A screw whose torque is stated has a row; the other wires at one place are one look."""
    lines: list[ChecklistLine] = []
    others: dict[str, list[ControlCircuit]] = {}
    for control in evaluation.system.controls.values():
        for tag in dict.fromkeys((control.device, control.source)):
            terminals = [t for t in evaluation.system.equipment[tag].terminals.values() if t.name in ("contact", "control", control.tag)]
            landed = control.tail_size or control.size if tag == control.device else control.size
            title = f"{control.tag} at {tag}"
            if terminals and terminals[0].torque_lbf_in is not None:
                screws = [
                    _Screw(f"wire {number}", landed, f"{landed or ''} {control.insulation}".strip(), terminals[0]) for number in (1, 2)
                ]
                lines += [
                    _screw_line(evaluation, f"torque:{control.tag}@{tag}:{s.role.replace(' ', '')}", control.tag, title, tag, s)
                    for s in screws
                ]
                continue
            others.setdefault(tag, []).append(control)
    return [*lines, *(_control_wires(evaluation, tag, controls) for tag, controls in others.items())]


def _control_wires(evaluation: Evaluation, tag: str, controls: list[ControlCircuit]) -> ChecklistLine:
    names = ", ".join(f"{control.name} ({control.tag})" if control.name else control.tag for control in controls)
    return done_line(
        f"joined:control@{tag}",
        tag,
        f"Control wires landed and tightened per the instructions of {tag}: {names}",
        "INST",
        source=practice(evaluation, "listed_and_instructed").citation,
        place=place_of(evaluation, tag),
    )


def _electrode_conductors(evaluation: Evaluation) -> list[ChecklistLine]:
    lines: list[ChecklistLine] = []
    for item in evaluation.system.equipment.values():
        if not isinstance(item, GroundingElectrodeSystem):
            continue
        ends = {at: item.size_at_landing(at) for at in item.lands_at}
        ends |= {item.tag: item.conductor_size or max(item.sizes_to_each.values(), default=None)}
        for at, size in ends.items():
            if size is not None:
                screw = _Screw("GEC", size, f"{size} {MATERIAL_MARKS[item.conductor_material]}", None)
                lines.append(_screw_line(evaluation, f"torque:{item.tag}@{at}:GEC", item.tag, f"{item.tag} at {at}", at, screw))
    return lines
