"""Every line of the checklist with the entry that counts: entries are only ever added, and of answers that differ the worst one counts.

An entry that *repeats* another names it and says what was changed in between; it then counts in place of that one, if it is a test: that
it could not be made again, or a reading that proves nothing, takes no failure away. A settlement of a person stands over all entries.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.field_verdict import FieldEntry, FieldVerdict, Judged, judge_entry, number_in
from permitgen.evaluation.gates import TestedLine

if TYPE_CHECKING:
    from permitgen.system.built_state import FieldResult
    from permitgen.views.checklist.line import Needed
    from permitgen.views.field_checklist import ChecklistLine, FieldChecklist

# The worst first: where answers differ, that one counts.
_ORDER = (
    FieldVerdict.FAILS,
    FieldVerdict.DIFFERS,
    FieldVerdict.COULD_NOT_TEST,
    FieldVerdict.NOT_DONE,
    FieldVerdict.RECORDED,
    FieldVerdict.PASSES,
)

_PASSED = (FieldVerdict.PASSES, FieldVerdict.RECORDED)
_MISSING: Mapping[Needed, str] = {
    "by": "nobody says who tested it",
    "instrument": "no meter is named",
    "photo": "the photo itself is missing",
}

# Answers that are no test: such a repeat stands beside what it repeats, never in its place.
_UNTRIED = (FieldVerdict.COULD_NOT_TEST, FieldVerdict.NOT_DONE)


@dataclass(frozen=True, slots=True)
class LineState:
    """A line with the result that counts, how it is judged, and its other answers."""

    line: ChecklistLine
    section: str
    counting: FieldResult | None
    judged: Judged
    answers: tuple[FieldResult, ...]


def results_by_line(results: Sequence[FieldResult]) -> Mapping[str, list[FieldResult]]:
    """Return results by the id of their line, in order of time."""
    found: dict[str, list[FieldResult]] = {}
    for result in sorted(results, key=lambda r: r.value("at")):
        found.setdefault(result.value("line"), []).append(result)
    return found


def line_states(checklist: FieldChecklist, results: Sequence[FieldResult]) -> tuple[LineState, ...]:
    """Return every line of the checklist as it stands."""
    found = results_by_line(results)
    return tuple(_state(line, section.title, found.get(line.id, [])) for section in checklist.sections for line in section.lines)


def occasion_states(checklist: FieldChecklist, results: Sequence[FieldResult]) -> tuple[LineState, ...]:
    """Return the lines of occasions at which a no is a test that failed; of each the answers of the newest day count."""
    found = results_by_line(results)
    return tuple(
        _state(each.line, form.title["en"], _of_newest_day(found.get(each.line.id, [])))
        for form in checklist.occasions
        for each in form.lines
        if each.shuts
    )


def _of_newest_day(results: list[FieldResult]) -> list[FieldResult]:
    answers = [result for result in results if result.value("answer") != "note"]
    return [result for result in answers if result.day == answers[-1].day]


def tested_lines(states: Sequence[LineState]) -> tuple[TestedLine, ...]:
    """Return the lines as the gates ask for them."""
    return tuple(
        TestedLine(
            id=state.line.id,
            tag=state.line.tag,
            what=what_of(state.line),
            safety=state.line.safety,
            judged=state.judged,
            source=state.line.source,
            proves=state.line.proves,
            at=state.counting.at if state.counting is not None else None,
        )
        for state in states
    )


def what_of(line: ChecklistLine) -> str:
    """Return what a line asks, with the termination it belongs to."""
    return f"{line.group_title}, {line.instruction}" if line.group_title else line.instruction


def _state(line: ChecklistLine, section: str, results: list[FieldResult]) -> LineState:
    answers = tuple(result for result in results if result.value("answer") != "note")
    photos = {"photo": next((result.value("photos") for result in results if result.value("photos")), "")}
    settled = [result for result in answers if result.value("settled")]
    if settled:
        return LineState(line, section, settled[-1], _whole(line, settled[-1], photos), answers)
    standing = _standing([(result, _whole(line, result, photos)) for result in answers])
    if not standing:
        return LineState(line, section, None, judge_entry(line.rule, None), answers)
    # Of equals the one that the built state counts, then the newest; entries stand in order of time.
    counting, judged = min(reversed(standing), key=lambda pair: (_ORDER.index(pair[1].verdict), not pair[0].value("counts")))
    other = next((_said(result) for result, _ in standing if result is not counting and _differs(result, counting)), "")
    if other:
        judged = replace(judged, why="; ".join(part for part in (judged.why, f"another entry says {other}; the worse one counts") if part))
    return LineState(line, section, counting, judged, answers)


def _standing(answers: list[tuple[FieldResult, Judged]]) -> list[tuple[FieldResult, Judged]]:
    """Return the answers in whose place no other stands: a repeat stands for all that it goes back to, and for vain repeats of that."""
    earlier = {result.value("entry"): result.value("repeats") for result, _ in answers if result.value("entry")}
    replaced = {id_ for result, judged in answers if judged.verdict not in _UNTRIED for id_ in _back_from(result.value("entry"), earlier)}
    vain = {r.value("entry") for r, judged in answers if judged.verdict in _UNTRIED and replaced & _back_from(r.value("entry"), earlier)}
    return [(result, judged) for result, judged in answers if result.value("entry") not in replaced | vain]


def _back_from(entry: str, earlier: Mapping[str, str]) -> set[str]:
    """Return the ids of the entries that an entry repeats, and those that they repeat."""
    found: set[str] = set()
    at = earlier.get(entry, "")
    while at and at not in found:
        found.add(at)
        at = earlier.get(at, "")
    return found


def _whole(line: ChecklistLine, result: FieldResult, photos: Mapping[str, str]) -> Judged:
    """Judge a result with what belongs to it: who, with which meter, the photo. What failed fails whoever says so."""
    judged = _judged(line, result)
    missing = next((need for need in line.needs if not (photos.get(need) or result.value(need))), None)
    return Judged(FieldVerdict.NOT_DONE, _MISSING[missing]) if missing and judged.verdict in _PASSED else judged


def _judged(line: ChecklistLine, result: FieldResult) -> Judged:
    """Judge a result by its line of today; the plan may have changed since it was answered."""
    shown, unit = result.value("shown"), result.value("unit")
    if line.rule.kind == "match" and result.value("answer") == "as drawn" and shown and shown != line.permitted:
        return Judged(FieldVerdict.DIFFERS, f"as drawn on a plan that showed {shown}")
    if result.value("value") and unit and line.unit and unit != line.unit:
        return Judged(FieldVerdict.NOT_DONE, f"measured in {unit}, where {line.unit} is asked for")
    return judge_entry(line.rule, _entry(result))


def _entry(result: FieldResult) -> FieldEntry:
    inputs = {name.removeprefix("with "): text for name, text in result.values if name.startswith("with ")}
    return FieldEntry(answer=result.value("answer") or "value", value=result.value("value"), inputs=inputs, reason=result.value("reason"))


def _differs(one: FieldResult, other: FieldResult) -> bool:
    """Whether two answers say different things; free text is compared by nobody."""
    first, second = number_in(one.value("value")), number_in(other.value("value"))
    return (one.value("answer"), first) != (other.value("answer"), second)


def _said(result: FieldResult) -> str:
    """Return a number with its unit, or the answer; free text is not repeated."""
    number = number_in(result.value("value"))
    return f"{result.value('value')} {result.value('unit')}".strip() if number is not None else result.value("answer")
