"""Field results beside what was expected: each line of the checklist with the entry that counts, judged again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.evaluation.field_verdict import FieldVerdict, number_in
from permitgen.views.checklist.occasions import is_of_occasion
from permitgen.views.field_standing import LineState, line_states, results_by_line, what_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.system.built_state import FieldResult
    from permitgen.views.field_checklist import FieldChecklist


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultRow:
    """One line with its verdict.

    ``by``, ``instrument``, ``note``, ``photos`` and other entries stand in the private record only; so does ``said``, what somebody
    typed, until it is released. ``is_private`` keeps the value itself there.
    """

    id: str
    section: str
    tag: str
    what: str
    expected: str
    limit: str
    source: str
    measured: str
    measured_number: float | None
    unit: str
    least: float | None
    most: float | None
    conditions: str
    verdict: str
    why: str
    date: str
    is_private: bool
    said: str = ""
    by: str = ""
    instrument: str = ""
    note: str = ""
    photos: tuple[str, ...] = ()
    earlier: tuple[str, ...] = ()


def result_rows(checklist: FieldChecklist, results: Sequence[FieldResult]) -> tuple[ResultRow, ...]:
    """Return a row for every line of the checklist, done or not, and for results whose line is no longer in it."""
    by_line = results_by_line(results)
    rows = [_row(state, by_line.get(state.line.id, [])) for state in line_states(checklist, results)]
    known = checklist.answerable
    rows += [_other(result) for line, found in by_line.items() if line not in known for result in found]
    return tuple(rows)


def _row(state: LineState, results: list[FieldResult]) -> ResultRow:
    line, counting = state.line, state.counting
    unit = counting.value("unit") or line.unit if counting is not None else line.unit
    measured = counting.value("value") if counting is not None else ""
    return ResultRow(
        id=line.id,
        section=state.section,
        tag=line.tag,
        what=what_of(line),
        expected=line.expected,
        limit=line.limit,
        source=line.source,
        measured=f"{measured} {unit}".strip() if measured else "",
        measured_number=number_in(measured),
        unit=unit,
        least=line.rule.least,
        most=line.rule.most,
        conditions=_conditions(counting),
        verdict=str(state.judged.verdict),
        why=state.judged.why,
        said="; ".join(part for part in (state.judged.said, _typed_beside(counting)) if part),
        date=counting.day if counting is not None else "",
        is_private=line.is_private or line.rule.kind == "text",
        by=counting.value("by") if counting is not None else "",
        instrument=counting.value("instrument") if counting is not None else "",
        note="; ".join(r.value("note") for r in results if r.value("note")),
        photos=tuple(r.value("photos") for r in results if r.value("photos")),
        earlier=tuple(_said(r) for r in state.answers if r is not counting),
    )


def _conditions(result: FieldResult | None) -> str:
    """Return the further values of a reading that are numbers."""
    return ", ".join(f"{name} {text}" for name, text in _beside(result) if number_in(text) is not None)


def _typed_beside(result: FieldResult | None) -> str:
    """Return what stands where a number was asked for."""
    return ", ".join(f"{name} {text}" for name, text in _beside(result) if number_in(text) is None)


def _beside(result: FieldResult | None) -> list[tuple[str, str]]:
    values = result.values if result is not None else ()
    return [(name.removeprefix("with ").replace("_", " "), text) for name, text in values if name.startswith("with ")]


def _said(result: FieldResult) -> str:
    parts = (
        result.time,
        result.value("answer"),
        result.value("value"),
        result.value("reason"),
        result.value("by"),
    )
    return ", ".join(part for part in parts if part)


def _other(result: FieldResult) -> ResultRow:
    """A result of a line that the checklist no longer has: kept and shown, never judged."""
    return ResultRow(
        id=result.value("line") or f"{result.kind}:{result.subject}",
        section="Other results",
        tag=result.subject,
        what=result.kind,
        expected="",
        limit="",
        source="",
        measured=" ".join(part for part in (result.value("value"), result.value("unit")) if part),
        measured_number=number_in(result.value("value")),
        unit=result.value("unit"),
        least=None,
        most=None,
        conditions=_conditions(result),
        verdict=str(FieldVerdict.RECORDED),
        why="",
        said=result.value("reason"),
        date=result.day,
        is_private=True,
        by=result.value("by"),
        instrument=result.value("instrument"),
        note=result.value("note"),
    )


def commissioning_day(results: Sequence[FieldResult]) -> str:
    """Return the day of the newest result of the checklist, year-month-day; empty where there is none."""
    days = (result.day for result in results if not is_of_occasion(result.value("line")))
    return max(days, default="")
