"""The sections of the reviewer's calculation: which rules stand where, and on which plan sheet the same is drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.review_figures import load_sheets
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.views.findings import OPEN
from permitgen.views.presence import things_of
from permitgen.views.reviewer.circuits import RULES as ON_CIRCUIT_ROWS
from permitgen.views.reviewer.circuits import circuit_lines
from permitgen.views.reviewer.lines import rows_of, short_section
from permitgen.views.reviewer.parts import LoadLine, LoadTable, ReviewSection
from permitgen.views.reviewer.shutdown import RULE, shutdown_lines
from permitgen.views.wording import joined_tags, origin_text, value_text, with_numbers_held, with_runs_of_tags

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.rules.quantities.load_calculation import LoadCalculation
    from permitgen.rules.quantities.load_worksheets import LoadWorksheet
    from permitgen.views.reviewer.parts import CircuitLine

NOTHING_OPEN = "Nothing is open: every check was made, none fails and none calls for care."
NOTHING_ASSUMED = "No value was assumed."
_ASSUMED = "Not stated in the project and therefore assumed."
_CIRCUITS = (
    "Current: load or source current, or the rating of the device where no load is stated, then the current required of device and "
    "terminals, 125 % of what is continuous, with the section that asks for it. Device: with the section by which it protects the "
    "conductors. Terminals: before factors."
)


@dataclass(frozen=True, slots=True)
class _Kind:
    """A section: the folders of rules that stand in it, single rules besides, those shown with every way or every part, its sheet."""

    key: str
    title: str
    sheet: str
    folders: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    by_method: tuple[str, ...] = ()
    by_part: tuple[str, ...] = ()


_KINDS = (
    _Kind("busbars", "Busbars and panels", "E-604", ("busbars",), ("panelboard-protection", "panel-spaces"), ("busbar-sources",)),
    _Kind("service", "Service and disconnecting means", "E-601", ("service", "disconnects")),
    _Kind("loads", "Load calculation", "E-606", ("loads",), (), ("service-capacity",)),
    _Kind(
        "island",
        "Capacity and conduct of island and generator",
        "E-601",
        ("islanding", "generator"),
        ("backup-capacity",),
        ("backup-capacity",),
    ),
    _Kind("fault", "Fault current against ratings", "E-603", ("fault_current",), ("dc-interrupting-rating", "dc-busbar-short-circuit")),
    _Kind("grounding", "Grounding and bonding", "E-501", ("grounding",)),
    _Kind(
        "siting",
        "Energy storage and siting",
        "A-401",
        ("storage", "clearances", "local"),
        by_part=("storage-energy", "working-space"),
    ),
    _Kind("solar", "Photovoltaic voltages, currents and rapid shutdown", "E-601", ("photovoltaic", "rapid_shutdown")),
)
_FOR_BUILDERS = ("plan-agrees-", "hardware-checked")
"""Rules about the file itself, its plan and its hardware: what is open of them stands with the open points."""

_ELSEWHERE = ("ground-fault-path", RULE)
"""Rules with a row for each circuit that belong to no rating, which stand in the derivations, and one with rows of its own here."""

_NOT_IN_SECTIONS = (Verdict.DOES_NOT_APPLY, Verdict.CAUTION)
"""A caution is told once, among the open points; what fails or is not checked stands in its section as well."""


def sections_of(evaluation: Evaluation) -> tuple[ReviewSection, ...]:
    """Return the sections that have something to say, what is open first."""
    found = (_open(evaluation), _circuits(evaluation), *_of_kinds(evaluation), _assumptions(evaluation))
    return tuple(section for section in found if not section.is_empty)


def _open(evaluation: Evaluation) -> ReviewSection:
    book = evaluation.given.code.edition.book
    rows = rows_of((each for each in evaluation.findings if each.verdict in OPEN), book, "open", is_titled=True)
    return ReviewSection("open", "Open points", "E-605", note="" if rows.lines else NOTHING_OPEN, lines=rows.lines)


def _circuits(evaluation: Evaluation) -> ReviewSection:
    lines = circuit_lines(evaluation)
    note = f"{_CIRCUITS} {_tables(lines)}".strip()
    return ReviewSection("circuits", "Circuits", "E-603", note=note if lines else "", circuits=lines)


def _tables(lines: Sequence[CircuitLine]) -> str:
    """Return from which tables the ampacities and their factors are; one that is not everybody's names the circuits that are read in it."""
    read: dict[str, dict[str, list[str]]] = {}
    for line in lines:
        for what, number in line.cited:
            read.setdefault(what, {}).setdefault(with_numbers_held(number), []).append(line.tag)
    told = "; ".join(f"{what} {_numbers(numbers)}" for what, numbers in read.items())
    return f"Read from: {told}." if told else ""


def _numbers(read: Mapping[str, Sequence[str]]) -> str:
    usual = max(read, key=lambda number: len(read[number]))
    others = (f"{number} for {joined_tags(tags)}" for number, tags in read.items() if number != usual)
    return ", ".join((usual, *others))


def _of_kinds(evaluation: Evaluation) -> Iterator[ReviewSection]:
    book = evaluation.given.code.edition.book
    placed = _placed(evaluation)
    kinds = _KINDS if "energy storage" in things_of(evaluation) else tuple(map(_without_storage, _KINDS))
    for kind in kinds:
        rows = rows_of(placed[kind.key], book, kind.key, by_method=kind.by_method, by_part=kind.by_part)
        loads = tuple(load_tables(evaluation, book)) if kind.key == "loads" else ()
        lines = (*rows.lines, *(shutdown_lines(evaluation) if kind.key == "island" else ()))
        yield ReviewSection(kind.key, kind.title, kind.sheet, loads=loads, lines=lines, also=rows.also)


def _without_storage(kind: _Kind) -> _Kind:
    """Return a section as it is called where there is no storage, and so no sheet of its siting."""
    return replace(kind, title="Siting and clearances", sheet="") if kind.key == "siting" else kind


def _placed(evaluation: Evaluation) -> dict[str, list[Finding]]:
    """Return the findings of each section; a rule named by itself stands there and not with its folder."""
    single = {rule: kind.key for kind in _KINDS for rule in kind.rules}
    folders = {folder: kind.key for kind in _KINDS for folder in kind.folders}
    folder_of = {rule.id: rule.folder for rule in all_rules()}
    placed: dict[str, list[Finding]] = {kind.key: [] for kind in _KINDS}
    for finding in evaluation.findings:
        key = single.get(finding.rule) or folders.get(folder_of[finding.rule], "")
        hidden = finding.rule in ON_CIRCUIT_ROWS or finding.rule.startswith(_FOR_BUILDERS) or finding.rule in _ELSEWHERE
        if key and not hidden and finding.verdict not in _NOT_IN_SECTIONS:
            placed[key].append(finding)
    return placed


def load_tables(evaluation: Evaluation, book: str) -> Iterator[LoadTable]:
    """Yield the calculation by which the service is judged; where none is, every one that can be made."""
    judged = {finding.judgement.method for finding in evaluation.findings_of("service-capacity")}
    sheets = [sheet for sheet in load_sheets(evaluation.given) if sheet.title.startswith("Service")]
    for number, sheet in enumerate(sheets, start=1):
        chosen = [each for each in sheet.calculations if _method(each) in judged] or list(sheet.calculations)
        for calculation in chosen[:1]:
            yield _load_table(f"loads_terms_{number}", sheet, calculation, book)


_NAMES = {"optional method for an existing dwelling": "method for existing dwellings"}


def _method(calculation: LoadCalculation) -> str:
    return _NAMES.get(calculation.method, calculation.method)


def _load_table(key: str, sheet: LoadWorksheet, calculation: LoadCalculation, book: str) -> LoadTable:
    lines = tuple(
        LoadLine(
            f"{key}_{number}",
            row.description,
            value_text(row.load_va),
            value_text(row.demand_factor) if row.demand_factor is not None else "",
            value_text(row.demand_va) if row.demand_va is not None else "",
            short_section(row.section, book),
        )
        for number, row in enumerate(calculation.rows, start=1)
    )
    return LoadTable(
        key,
        f"{sheet.title}, {sheet.subject}: {calculation.method}",
        short_section(calculation.section, book),
        lines,
        value_text(calculation.demand_va),
        value_text(calculation.current_a),
        value_text(sheet.capacity_a) if sheet.capacity_a is not None else "",
    )


def _assumptions(evaluation: Evaluation) -> ReviewSection:
    told = (
        *((each.title, each.taken, each.reason) for each in evaluation.system.assumptions),
        *((value.title, value_text(value), origin_text(value).removeprefix("assumed: ")) for value in evaluation.assumptions),
    )
    alike: dict[tuple[str, str], list[str]] = {}
    for title, taken, reason in told:
        alike.setdefault((taken, reason), []).append(title)
    rows = tuple((with_runs_of_tags("; ".join(titles)), taken, reason) for (taken, reason), titles in alike.items())
    return ReviewSection("assumptions", "Assumptions", "", note=_ASSUMED if rows else NOTHING_ASSUMED, assumptions=rows)
