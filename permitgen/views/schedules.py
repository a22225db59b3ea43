"""The schedules of the plan set as rows of words: conductors, raceways, overcurrent devices, equipment, disconnects, panels."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.evaluation.review_figures import circuit_figures
from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.protection import devices_protecting
from permitgen.system.equipment.dc_combiner import DCCombiner
from permitgen.system.installed_device import InstalledDevice
from permitgen.system.panel_rows import PanelRow, branch_breakers, loads_without_device, panel_rows, removed_devices, rows_by_name
from permitgen.system.walks.circuit_sides import role_of
from permitgen.system.walks.dc_circuits import circuit_at
from permitgen.views.circuit_reasons import protected_by
from permitgen.views.circuit_text import conductor_text, device_text, run_tags_text, run_words
from permitgen.views.circuit_voltage import voltage_texts
from permitgen.views.document_id import BESIDE
from permitgen.views.findings import numbers_of, worst_of
from permitgen.views.one_line_ratings import rating_lines
from permitgen.views.panel_faces import PanelFace, panel_face
from permitgen.views.vocabulary import verdict_word
from permitgen.views.wiring_schedules import identification_rows, supports_rows
from permitgen.views.wording import spaces_text, value_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.circuit import Circuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.load import Load
    from permitgen.system.raceway import Raceway
    from permitgen.system.system import System
    from permitgen.values.value import Value

_NOTHING = "–"


@dataclass(frozen=True, slots=True)
class Schedule:
    """A table under its title; every row has as many cells as there are headings.

    ``tags`` holds for each row the tags of what it tells of; none where the rows are about nothing that has one.
    """

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    tags: tuple[tuple[str, ...], ...] = field(default=(), metadata=BESIDE)


def circuit_schedules(evaluation: Evaluation) -> tuple[Schedule, ...]:
    """Return the schedules of conductors, raceways and overcurrent devices, then supports and identification; no row is left out."""
    supports = Schedule(
        "Supports of raceways and cables", ("TAG", "RUN", "WITHIN", "EVERY", "AT LEAST", "SECTION"), supports_rows(evaluation)
    )
    colors = Schedule(
        "Identification of conductors", ("CONDUCTOR", "COLOR OR MARK", "CIRCUITS", "SECTION"), identification_rows(evaluation)
    )
    return with_rows(_conductors(evaluation), _raceways(evaluation), _devices(evaluation), supports, colors)


def equipment_schedules(evaluation: Evaluation) -> tuple[Schedule, ...]:
    """Return the schedules of equipment, of what is taken out, and of disconnecting means; panels have their faces."""
    return with_rows(_equipment(evaluation), _removed(evaluation.system), _disconnects(evaluation))


def with_rows(*schedules: Schedule) -> tuple[Schedule, ...]:
    """Return the schedules that have a row."""
    return tuple(schedule for schedule in schedules if schedule.rows)


def worst_verdict(findings: Iterable[Finding]) -> str:
    """Return the heaviest verdict among findings, or a dash where nothing was judged."""
    worst = worst_of(finding.verdict for finding in findings)
    return _NOTHING if worst in (None, Verdict.DOES_NOT_APPLY) else verdict_word(str(worst))


def findings_about(evaluation: Evaluation, tag: str) -> list[Finding]:
    """Return the findings about a tag and its terminals."""
    return [finding for finding in evaluation.findings if finding.subject.split("@")[0] == tag]


def compared_numbers(evaluation: Evaluation, rule: str, tag: str) -> tuple[str, str]:
    """Return both numbers that a rule compared for a subject, as text."""
    finding = evaluation.by_id.get(f"{rule}:{tag}")
    if finding is None or finding.verdict is Verdict.DOES_NOT_APPLY:
        return (_NOTHING, _NOTHING)
    computed, limit = numbers_of(finding.judgement)
    return (computed or _NOTHING, limit or _NOTHING)


def _text(value: Value | None) -> str:
    return value_text(value) if value is not None else _NOTHING


def _conductors(evaluation: Evaluation) -> Schedule:
    circuits = evaluation.system.circuits
    headings = ("TAG", "FROM", "TO", "KIND", "CONDUCTORS", "RUNS", "AMPACITY", "CURRENT", "PROTECTED BY", "V DROP, RISE", "RESULT")
    voltages = voltage_texts(evaluation)
    rows = tuple(_conductor_row(evaluation, circuit, voltages[circuit.tag]) for circuit in circuits.values())
    return Schedule("Conductors", headings, rows, _each(circuits))


def _conductor_row(evaluation: Evaluation, circuit: Circuit, voltage: str) -> tuple[str, ...]:
    ampacity, current = _ampacity_and_current(evaluation, circuit)
    return (
        f"{circuit.tag} (E)" if circuit.existing else circuit.tag,
        str(circuit.start),
        str(circuit.finish),
        str(role_of(evaluation.system, circuit)),
        conductor_text(circuit),
        run_tags_text(circuit) or _NOTHING,
        ampacity,
        current,
        _protected_by(evaluation, circuit),
        voltage,
        worst_verdict(findings_about(evaluation, circuit.tag)),
    )


def _protected_by(evaluation: Evaluation, circuit: Circuit) -> str:
    """Return the ratings of the devices that protect a circuit, and the section by which they do."""
    ratings = dict.fromkeys(_text(each.device.rating_a) for each in devices_protecting(evaluation.given, circuit))
    return ": ".join(part for part in (", ".join(ratings), protected_by(evaluation, circuit).text) if part) or _NOTHING


def _ampacity_and_current(evaluation: Evaluation, circuit: Circuit) -> tuple[str, str]:
    """Return the lower of what the conductors carry at their terminals and after factors, as in the calculation, and what flows."""
    figures = circuit_figures(evaluation.given, circuit)
    ampacity = figures.ampacity.final_a if figures.ampacity is not None else None
    return _text(ampacity), _text(figures.current.maximum_a if figures.current is not None else None)


def _raceways(evaluation: Evaluation) -> Schedule:
    headings = ("TAG", "KIND", "LENGTH", "WHERE", "AMBIENT", "COVER", "HOLDS", "FILL", "PERMITTED", "RESULT")
    runs = evaluation.system.raceways
    return Schedule("Raceways and cables", headings, tuple(_raceway_row(evaluation, run) for run in runs.values()), _each(runs))


def _raceway_row(evaluation: Evaluation, run: Raceway) -> tuple[str, ...]:
    fill, permitted = compared_numbers(evaluation, "wireway-fill" if run.is_wireway else "conduit-fill", run.tag)
    held = [_held(evaluation.system.circuits[tag], run) for tag in evaluation.system.circuits_in_run.get(run.tag, ())]
    held += [control.tag for control in evaluation.system.controls.values() if run.tag in control.runs]
    return (
        run.tag,
        run_words(run),
        _text(run.length_ft),
        run.location or _NOTHING,
        _text(run.ambient_c),
        _text(run.cover_in) if run.underground else _NOTHING,
        ", ".join(held) or _NOTHING,
        fill,
        permitted,
        worst_verdict(findings_about(evaluation, run.tag)),
    )


def _held(circuit: Circuit, run: Raceway) -> str:
    """Return a circuit that lies in a run; of one whose sets go several ways, which sets do."""
    if not circuit.is_split:
        return circuit.tag
    names = " and ".join(way.name for way in circuit.ways if run.tag in way.runs)
    return f"{circuit.tag} set {names}"


def _devices(evaluation: Evaluation) -> Schedule:
    """Overcurrent devices; those of loads that say the same about one panel are one row, their ratings stand on the panel."""
    headings = ("DEVICE", "IN", "RATING", "INTERRUPTING", "AVAILABLE", "CIRCUIT", "RESULT")
    of_loads = {tag: panel for panel, tags in branch_breakers(evaluation.system).items() for tag in tags}
    rows: dict[tuple[str, ...], list[str]] = {}
    for tag, device in evaluation.system.devices.items():
        row = _device_row(evaluation, device)
        same = (f"branch breakers of {of_loads[tag]}", row[1], "see panel", *row[3:5], _NOTHING, row[6]) if tag in of_loads else row
        rows.setdefault(same, []).append(tag)
    return Schedule("Overcurrent devices", headings, tuple(rows), tuple(tuple(tags) for tags in rows.values()))


def _each(tags: Iterable[str]) -> tuple[tuple[str, ...], ...]:
    return tuple((tag,) for tag in tags)


def _device_row(evaluation: Evaluation, installed: InstalledDevice) -> tuple[str, ...]:
    available, _ = compared_numbers(evaluation, "interrupting-rating", installed.tag)
    return (
        f'{installed.tag} "{installed.name}"' if installed.name else installed.tag,
        installed.enclosure,
        device_text(installed.device),
        _text(installed.device.interrupting_rating_ka),
        available,
        installed.circuit or _circuit_at(evaluation.system, installed) or _NOTHING,
        worst_verdict(findings_about(evaluation, installed.tag)),
    )


def _circuit_at(system: System, installed: InstalledDevice) -> str:
    """Return the circuit that lands at a device standing at a terminal, as a main or the breaker of a generator does."""
    rows = rows_by_name(system, installed.enclosure)
    return next((row.circuit.tag for row in rows if row.tag == installed.tag and row.circuit is not None), "")


def _equipment(evaluation: Evaluation) -> Schedule:
    headings = ("TAG", "EQUIPMENT", "RATINGS", "SCCR", "ENCLOSURE", "NEUTRAL BOND", "WHERE", "RESULT")
    equipment = evaluation.system.equipment
    return Schedule("Equipment", headings, tuple(_equipment_row(evaluation, item) for item in equipment.values()), _each(equipment))


_STATUS = {"existing": " (E)"}


def _equipment_row(evaluation: Evaluation, item: Equipment) -> tuple[str, ...]:
    return (
        item.tag + _STATUS.get(item.status, ""),
        item.name,
        ", ".join(rating_lines(item)) or _NOTHING,
        _text(item.short_circuit_rating_ka),
        f"Type {item.enclosure_type}" if item.enclosure_type else _NOTHING,
        item.neutral_bond.state.value if item.neutral_bond is not None else _NOTHING,
        item.place.description if item.place is not None else _NOTHING,
        worst_verdict(findings_about(evaluation, item.tag)),
    )


def _removed(system: System) -> Schedule:
    """What is there today and is taken out in this work: equipment with its place, circuits with their ends, single devices of panels."""
    things = [(item.tag, item.name, item.place.description if item.place is not None else _NOTHING) for item in system.removed.values()]
    things += [(circuit.tag, circuit.name, f"{circuit.start} to {circuit.finish}") for circuit in system.removed_circuits.values()]
    things += [(tag, f"{device_text(each.device)} {each.device.name}".strip(), where) for tag, where, each in removed_devices(system)]
    return Schedule("Existing, to be removed", ("TAG", "NAME", "WHERE"), tuple((f"{tag} (E)", *rest) for tag, *rest in things))


def _disconnects(evaluation: Evaluation) -> Schedule:
    """Disconnecting means; breakers of loads alone stand in the schedule of their panel."""
    of_loads = {handle for handles in branch_breakers(evaluation.system).values() for handle in handles}
    shown = [handle for handle in evaluation.system.handles.values() if handle.id not in of_loads]
    rows = tuple(
        (
            handle.id,
            handle.name,
            handle.kind,
            handle.place.description if handle.place is not None else _NOTHING,
            handle.action or "turn OFF",
        )
        for handle in shown
    )
    return Schedule("Disconnecting means", ("HANDLE", "NAME", "KIND", "WHERE", "ACTION"), rows, _each(handle.id for handle in shown))


def panel_faces(evaluation: Evaluation) -> tuple[PanelFace, ...]:
    """Return the face of each panel: of every busbar with spaces, and of dc combiners."""
    system = evaluation.system
    found = [(tag, bus.rating_a, int(bus.spaces or 0), bus.supply_end) for tag, bus in system.busbars.items() if bus.spaces]
    combiners = [item for item in system.equipment.values() if isinstance(item, DCCombiner) and item.spaces]
    panels = [*found, *((item.tag, item.busbar_rating_a, int(item.spaces or 0), None) for item in combiners)]
    return tuple(
        panel_face(evaluation, tag, spaces, end, _panel(evaluation, tag, rating, spaces, end)) for tag, rating, spaces, end in panels
    )


def _panel(evaluation: Evaluation, tag: str, rating: Value | None, spaces: int, supply_end: str | None) -> Schedule:
    """The directory; of a panel the end at which the supply enters is named, because the place of a source's breaker matters."""
    system = evaluation.system
    item = system.equipment[tag]
    shown = (*rows_by_name(system, tag), *panel_rows(system, tag))
    device_tags = {id(each.device): each.tag for each in system.devices.values()}
    rows, tags = [_panel_row(row) for row in shown], [_tags_of(row, device_tags) for row in shown]
    rows += [(_NOTHING, _NOTHING, load.tag, _load_words(load)) for load in loads_without_device(system, tag)]
    through = circuit_at(system, tag, "feed_through")
    rows += [("lugs", _NOTHING, through.tag, through.name or _NOTHING)] if through is not None else []
    blank = item.directory.blank if item.directory is not None else ()
    rows += [(spaces_text(blank), _NOTHING, _NOTHING, "blank")] if blank else []
    supply = "" if supply_end is None else f", supply at the {supply_end}" if supply_end else ", end of supply not stated"
    busbar = f", busbar {value_text(rating)}" if rating is not None else ""
    return Schedule(
        f"Panel {tag}: {item.name}{busbar}, {spaces} spaces{supply}",
        ("SPACE", "DEVICE", "CIRCUIT", "SERVES"),
        tuple(rows),
        (*tags, *[()] * (len(rows) - len(tags))),
    )


def _tags_of(row: PanelRow, device_tags: dict[int, str]) -> tuple[str, ...]:
    """Return the device of a row and the circuit or load behind it."""
    device = device_tags.get(id(row.device), "") if row.device is not None else ""
    return tuple(tag for tag in (device, row.circuit.tag if row.circuit is not None else "", row.tag) if tag)


def _panel_row(row: PanelRow) -> tuple[str, ...]:
    device = row.device
    words = f"{device_text(device)}{_STATUS.get(device.status, '')}" if device is not None else _NOTHING
    serves = "spare" if row.is_spare else row.name or _NOTHING
    if row.load is not None:
        serves = _load_words(row.load, row.name)
    tag = row.circuit.tag if row.circuit is not None else row.load.tag if row.load is not None else _NOTHING
    return (row.place or ",".join(map(str, row.spaces)), words, tag, serves)


def _load_words(load: Load, name: str = "") -> str:
    size = load.power_va if load.power_va is not None else load.current_a
    return ", ".join(part for part in (name or load.name, value_text(size) if size is not None else "", load.stated_category) if part)
