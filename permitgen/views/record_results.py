"""Field results beside what was expected: each line of the checklist with its newest entry, judged again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.field_verdict import FieldEntry, FieldVerdict, Judged, judge_entry, number_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.system.built_state import FieldResult
    from permitgen.views.field_checklist import ChecklistLine, FieldChecklist


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultRow:
    """One line with its verdict. ``by``, ``instrument``, ``note``, ``photos`` and earlier entries stand in the private record only."""

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
    by: str = ""
    instrument: str = ""
    note: str = ""
    photos: tuple[str, ...] = ()
    earlier: tuple[str, ...] = ()


def result_rows(checklist: FieldChecklist, results: Sequence[FieldResult]) -> tuple[ResultRow, ...]:
    """Return a row for every line of the checklist, done or not, and for results whose line is no longer in it."""
    by_line: dict[str, list[FieldResult]] = {}
    for result in sorted(results, key=lambda r: r.value("at")):
        by_line.setdefault(result.value("line"), []).append(result)
    rows = [_row(line, section.title, by_line.get(line.id, [])) for section in checklist.sections for line in section.lines]
    known = checklist.by_id
    rows += [_other(result) for line, found in by_line.items() if line not in known for result in found]
    return tuple(rows)


def _row(line: ChecklistLine, section: str, results: list[FieldResult]) -> ResultRow:
    answers = [r for r in results if r.value("answer") != "note"]
    settled = [r for r in answers if r.value("settled")]
    newest = (settled or answers)[-1] if answers else None
    judged = _judged(line, newest)
    if newest is not None and not settled and (other := _other_person(answers[:-1], newest)):
        judged = replace(judged, why="; ".join(part for part in (judged.why, f"another entry says {other}") if part))
    unit = newest.value("unit") or line.unit if newest is not None else line.unit
    measured = newest.value("value") if newest is not None else ""
    return ResultRow(
        id=line.id,
        section=section,
        tag=line.tag,
        what=f"{line.group_title}, {line.instruction}" if line.group_title else line.instruction,
        expected=line.expected,
        limit=line.limit,
        source=line.source,
        measured=f"{measured} {unit}".strip() if measured else "",
        measured_number=number_in(measured),
        unit=unit,
        least=line.rule.least,
        most=line.rule.most,
        conditions=_conditions(newest),
        verdict=str(judged.verdict),
        why=judged.why,
        date=newest.value("at")[:10] if newest is not None else "",
        is_private=line.is_private,
        by=newest.value("by") if newest is not None else "",
        instrument=newest.value("instrument") if newest is not None else "",
        note="; ".join(r.value("note") for r in results if r.value("note")),
        photos=tuple(name for r in results for name in r.value("photos").split(", ") if name),
        earlier=tuple(_said(r) for r in answers if r is not newest),
    )


def _judged(line: ChecklistLine, result: FieldResult | None) -> Judged:
    """Judge a result by its line of today; the plan may have changed since it was answered."""
    if result is None:
        return judge_entry(line.rule, None)
    shown, unit = result.value("shown"), result.value("unit")
    if line.rule.kind == "match" and result.value("answer") == "as drawn" and shown and shown != line.permitted:
        return Judged(FieldVerdict.DIFFERS, f"as drawn on a plan that showed {shown}")
    if result.value("value") and unit and line.unit and unit != line.unit:
        return Judged(FieldVerdict.NOT_DONE, f"measured in {unit}, where {line.unit} is asked for")
    return judge_entry(line.rule, _entry(result))


def _other_person(earlier: Sequence[FieldResult], newest: FieldResult) -> str:
    """Return what somebody else answered before, where it differs; free text is not repeated."""
    for result in reversed(earlier):
        answer, number = result.value("answer"), number_in(result.value("value"))
        said = f"{result.value('value')} {result.value('unit')}".strip() if number is not None else answer
        differs = (answer, number) != (newest.value("answer"), number_in(newest.value("value")))
        if differs and result.value("by") != newest.value("by") and (number is not None or answer in ("yes", "no", "as drawn")):
            return said
    return ""


def _entry(result: FieldResult) -> FieldEntry:
    inputs = {name.removeprefix("with "): text for name, text in result.values if name.startswith("with ")}
    return FieldEntry(answer=result.value("answer") or "value", value=result.value("value"), inputs=inputs, reason=result.value("reason"))


def _conditions(result: FieldResult | None) -> str:
    if result is None:
        return ""
    return ", ".join(f"{name.removeprefix('with ').replace('_', ' ')} {text}" for name, text in result.values if name.startswith("with "))


def _said(result: FieldResult) -> str:
    parts = (
        result.value("at")[:16].replace("T", " "),
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
        why=result.value("reason"),
        date=result.value("at")[:10],
        is_private=True,
        by=result.value("by"),
        instrument=result.value("instrument"),
        note=result.value("note"),
    )


def commissioning_day(results: Sequence[FieldResult]) -> str:
    """Return the day of the newest result, year-month-day; empty where there is none."""
    return max((result.value("at")[:10] for result in results if result.value("at")), default="")
