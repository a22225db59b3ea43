"""The circuits of the reviewer's calculation, each on one row: current, device, ampacity with its factors, ground, drop, raceway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.review_figures import circuit_figures
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.views.circuit_text import device_text, ground_text, run_text, wires_text
from permitgen.views.findings import numbers_of, worst_of
from permitgen.views.reviewer.lines import is_to_confirm, short_section, without_tag
from permitgen.views.reviewer.parts import CircuitLine
from permitgen.views.schedules import compared_numbers, findings_about
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
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


def circuit_line(evaluation: Evaluation, circuit: Circuit) -> CircuitLine:
    """Return the row of one circuit."""
    figures = circuit_figures(evaluation.given, circuit)
    book = evaluation.given.code.edition.book
    about = [finding for finding in findings_about(evaluation, circuit.tag) if finding.verdict is not Verdict.DOES_NOT_APPLY]
    own = [finding for finding in about if finding.rule in RULES]
    current, terminals, ampacity = figures.current, figures.terminals, figures.ampacity
    run = ampacity.governing if ampacity is not None else None
    return CircuitLine(
        key=f"circuit_{circuit.tag}",
        tag=f"{circuit.tag} (E)" if circuit.existing else circuit.tag,
        name=circuit.name,
        path=f"{circuit.start} → {circuit.finish}",
        current=_text(current.maximum_a if current else None),
        basis=_basis(figures),
        required=_text(current.required_a if current else None),
        device=", ".join(f"{device_text(each.device)} ({each.part})" for each in devices_protecting(evaluation.given, circuit)) or NOTHING,
        conductors=wires_text(circuit),
        table=f"{value_text(run.table_a)} at {value_text(run.insulation.start_c)}" if run else NOTHING,
        ambient=f"{value_text(run.ambient_factor)} at {value_text(run.ambient_c)}" if run else NOTHING,
        count=f"{value_text(run.count_factor)} for {value_text(run.count)}" if run else NOTHING,
        corrected=_text(ampacity.corrected_a if ampacity else None),
        terminal=f"{value_text(terminals.ampacity_a)} at {value_text(terminals.column_c)}" if terminals else NOTHING,
        ground=ground_text(circuit.conductors),
        why=_why(evaluation, circuit, figures, book),
        drop=_drop(evaluation, circuit),
        runs=_runs(evaluation, circuit),
        verdict=str(worst_of(each.verdict for each in about) or Verdict.DOES_NOT_APPLY),
        sections=tuple(dict.fromkeys(short_section(each.citation, book) for each in own)),
        to_confirm=any(is_to_confirm(each) for each in own),
    )


def _text(value: Value | None) -> str:
    return value_text(value) if value is not None else NOTHING


def _basis(figures: CircuitFigures) -> str:
    """Return in a word what the current is: of a load, of a source, or of the device where the load is not stated."""
    if figures.current is None:
        return ""
    if figures.current.is_of_device:
        return "device"
    return "source" if figures.current.role in _SOURCES else "load"


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


def _drop(evaluation: Evaluation, circuit: Circuit) -> str:
    drop = _judged(evaluation, DROP, circuit)
    if drop is not None:
        parts = [numbers_of(part)[0] for part in drop.judgement.parts] or [numbers_of(drop.judgement)[0]]
        with_feeder = f"; {parts[1]} in all" if len(parts) > 1 and parts[1] else ""
        return f"{parts[0]} drop{with_feeder}" if parts[0] else NOTHING
    rise = _judged(evaluation, RISE, circuit)
    computed = numbers_of(rise.judgement)[0] if rise is not None else ""
    return f"{computed} rise" if computed else NOTHING


def _judged(evaluation: Evaluation, rule: str, circuit: Circuit) -> Finding | None:
    finding = evaluation.by_id.get(f"{rule}:{circuit.tag}")
    return finding if finding is not None and finding.verdict is not Verdict.DOES_NOT_APPLY else None


def _runs(evaluation: Evaluation, circuit: Circuit) -> tuple[str, ...]:
    system = evaluation.system
    return tuple(f"{run_text(system, tag)}{_fill(evaluation, tag)}" for tag in circuit.runs)


def _fill(evaluation: Evaluation, tag: str) -> str:
    rule = "wireway-fill" if evaluation.system.raceways[tag].is_wireway else "conduit-fill"
    fill, permitted = compared_numbers(evaluation, rule, tag)
    unit = permitted.rpartition("\u00a0")[2]
    return f", {fill.removesuffix(unit).rstrip()} of {permitted}" if fill != NOTHING else ""
