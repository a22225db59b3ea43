"""The circuits of the reviewer's calculation, each on one row: current, device, ampacity with its factors, ground, drop, raceway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.review_figures import circuit_figures
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.views.circuit_reasons import ampacity_tables, cited_numbers, limit_of_cable, protected_by
from permitgen.views.circuit_text import device_text, ground_text, run_text, wires_text
from permitgen.views.circuit_voltage import voltage_texts
from permitgen.views.findings import worst_of
from permitgen.views.reviewer.lines import is_to_confirm, short_section, without_tag
from permitgen.views.reviewer.parts import CircuitLine
from permitgen.views.schedules import compared_numbers, findings_about
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.review_figures import CircuitFigures
    from permitgen.system.circuit import Circuit
    from permitgen.values.value import Value

AMPACITY, PROTECTION, DROP, RISE = "conductor-ampacity", "conductor-protection", "voltage-drop", "voltage-rise"
GROUND_SIZE, GROUND_INCREASE = "equipment-grounding-conductor-size", "equipment-grounding-conductor-increase"
RULES = (AMPACITY, PROTECTION, DROP, RISE, GROUND_SIZE, GROUND_INCREASE)
"""The rules whose numbers stand on the row of a circuit."""
NOTHING = "–"
_BY_NEUTRAL = "none: the grounded conductor"
_SOURCES = frozenset(CircuitRole) - {CircuitRole.SERVICE, CircuitRole.FEEDER, CircuitRole.BRANCH}


def circuit_lines(evaluation: Evaluation) -> tuple[CircuitLine, ...]:
    """Return a row for each circuit."""
    voltages = voltage_texts(evaluation)
    return tuple(_line(evaluation, circuit, voltages[tag]) for tag, circuit in evaluation.system.circuits.items())


def _line(evaluation: Evaluation, circuit: Circuit, voltage: str) -> CircuitLine:
    figures = circuit_figures(evaluation.given, circuit)
    book = evaluation.given.code.edition.book
    about = [finding for finding in findings_about(evaluation, circuit.tag) if finding.verdict is not Verdict.DOES_NOT_APPLY]
    own = [finding for finding in about if finding.rule in RULES]
    current, terminals, ampacity = figures.current, figures.terminals, figures.ampacity
    run = ampacity.governing if ampacity is not None else None
    protection, cited = protected_by(evaluation, circuit), ampacity_tables(figures)
    return CircuitLine(
        key=f"circuit_{circuit.tag}",
        tag=f"{circuit.tag} (E)" if circuit.existing else circuit.tag,
        name=circuit.name,
        path=f"{circuit.start} → {circuit.finish}",
        current=_text(current.maximum_a if current else None),
        basis=_basis(figures),
        required=_text(current.required_a if current else None),
        asked=_asked(evaluation, circuit, book),
        device=_device(evaluation, circuit, protection.text),
        conductors=wires_text(circuit),
        table=f"{value_text(run.table_a)} at {value_text(run.insulation.start_c)}" if run else NOTHING,
        ambient=f"{value_text(run.ambient_factor)} at {value_text(run.ambient_c)}" if run else NOTHING,
        count=f"{value_text(run.count_factor)} for {value_text(run.count)}" if run else NOTHING,
        corrected=_text(ampacity.corrected_a if ampacity else None),
        terminal=f"{value_text(terminals.ampacity_a)} at {value_text(terminals.column_c)}{_cable(evaluation, figures)}"
        if terminals
        else NOTHING,
        ground=ground_text(circuit.conductors),
        why=_why(evaluation, circuit, figures, book),
        drop=voltage,
        runs=_runs(evaluation, circuit),
        verdict=str(worst_of(each.verdict for each in about) or Verdict.DOES_NOT_APPLY),
        sections=tuple(dict.fromkeys((*(short_section(each.citation, book) for each in own), *protection.sections, *cited_numbers(cited)))),
        cited=cited,
        to_confirm=any(is_to_confirm(each) for each in own),
    )


def _text(value: Value | None) -> str:
    return value_text(value) if value is not None else NOTHING


def _device(evaluation: Evaluation, circuit: Circuit, protection: str) -> str:
    devices = ", ".join(f"{device_text(each.device)} ({each.part})" for each in devices_protecting(evaluation.given, circuit))
    return f"{devices}; {protection}" if devices and protection else devices or NOTHING


def _cable(evaluation: Evaluation, figures: CircuitFigures) -> str:
    """Return the section that limits what a cable carries whatever its terminals are marked, where one does."""
    section = limit_of_cable(evaluation, figures)
    return f", {section}" if section else ""


def _basis(figures: CircuitFigures) -> str:
    """Return in a word what the current is: of a load, of a source, or of the device where the load is not stated."""
    if figures.current is None:
        return ""
    if figures.current.is_of_device:
        return "device"
    return "source" if figures.current.role in _SOURCES else "load"


def _asked(evaluation: Evaluation, circuit: Circuit, book: str) -> str:
    """Return the section that asks for the current required, where the conductors are held to it."""
    judged = evaluation.by_id.get(f"{AMPACITY}:{circuit.tag}")
    return short_section(judged.citation, book) if judged is not None and judged.verdict is not Verdict.DOES_NOT_APPLY else ""


def _why(evaluation: Evaluation, circuit: Circuit, figures: CircuitFigures, book: str) -> str:
    """Return why the ground is as large as it is: what the device asks for, what grown conductors ask for, or why there is none."""
    size = evaluation.by_id.get(f"{GROUND_SIZE}:{circuit.tag}")
    if size is None:
        return ""
    if role(evaluation.given, circuit) is CircuitRole.SERVICE:
        return _BY_NEUTRAL
    if size.verdict is Verdict.DOES_NOT_APPLY or figures.ground is None:
        return without_tag(size.judgement.message, circuit.tag)
    asked = f"for {value_text(figures.ground.rating_a)}, {short_section(size.citation, book)}"
    if figures.ground.size != circuit.conductors.egc_size:
        asked = f"{asked}: {figures.ground.size}"
    grown = evaluation.by_id.get(f"{GROUND_INCREASE}:{circuit.tag}")
    if grown is None or grown.verdict is Verdict.DOES_NOT_APPLY:
        return asked
    return f"{asked}; {without_tag(grown.judgement.message, circuit.tag)}"


def _runs(evaluation: Evaluation, circuit: Circuit) -> tuple[str, ...]:
    system = evaluation.system
    return tuple(f"{run_text(system, tag)}{_fill(evaluation, tag)}" for tag in circuit.runs)


def _fill(evaluation: Evaluation, tag: str) -> str:
    rule = "wireway-fill" if evaluation.system.raceways[tag].is_wireway else "conduit-fill"
    fill, permitted = compared_numbers(evaluation, rule, tag)
    unit = permitted.rpartition("\u00a0")[2]
    return f", {fill.removesuffix(unit).rstrip()} of {permitted}" if fill != NOTHING else ""
