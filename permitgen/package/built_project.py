"""The project as built: what a person wrote in ``built:`` over what the field answered, each answer at the path of its own line.

Where answers differ and nobody settled it, the worse one is built: that with which more is violated, else the newest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.comparison import compare_states
from permitgen.project.built_to_system import permitted_text
from permitgen.project.departures import as_built
from permitgen.project.field_facts import Compared, answered_departures, departure_of, in_conflict, said_by, with_results
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.rules.judgement import Verdict
from permitgen.system.built_state import Built, Departure, FieldResult, Settlement
from permitgen.system.project_facts import IN_SERVICE, RecordFacts
from permitgen.views.checklist.occasions import status_after
from permitgen.views.field_checklist import view_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.project.field_batches import FieldLog, LoggedEntry
    from permitgen.project.load import LoadedProject
    from permitgen.views.field_checklist import ChecklistLine


def built_project(opened: OpenedProject, log: FieldLog | None = None) -> LoadedProject:
    """Return the project as built; ``log`` stands in place of what was read from ``field/``.

    Raises:
        ProblemsError: a departure or settlement of ``built:`` cannot be applied; placed there.
    """
    log = opened.field if log is None else log
    loaded = with_results(opened.loaded, log)
    log = log.of_checklist
    built = loaded.system.built or Built()
    released = loaded.system.record.released if loaded.system.record is not None else ()
    if not log.entries and not built.settlements and not released:
        return as_built(loaded)
    # Lines for labels compare nothing with the project file, so that they need not be known here.
    lines = view_of(opened.evaluation, opened.fingerprint).answerable
    compared = {id_: Compared(line.path, line.permitted) for id_, line in lines.items() if line.path}
    _require_known(loaded, released, [*lines, *(what.path for what in compared.values())])
    answered = answered_departures(log, compared, loaded.models)
    settled = list(_settled(loaded, log, lines, compared))
    for decision in settled:
        if decision.departure is not None:
            answered.append(decision.departure)
    results = _with_decisions(built.results, [decision.result for decision in settled])
    loaded = replace(loaded, system=replace(loaded.system, built=replace(built, results=results)))
    return _announced(_with_the_worse(opened, loaded, answered))


def _with_the_worse(opened: OpenedProject, loaded: LoadedProject, answered: list[Departure]) -> LoadedProject:
    """Return the project as built, of answers that differ the worse one; the result that says it is marked as the one that counts."""
    built = loaded.system.built or Built()
    decided = {departure.path for departure in (*built.departures, *answered) if departure.said_by != "field"}
    counting = []
    for path, candidates in sorted(in_conflict(answered).items()):
        if path not in decided:
            gravities = [_gravity(opened, as_built(loaded, _last(each, answered))) for each in candidates]
            worst = candidates[max(range(len(candidates)), key=lambda number: (gravities[number], number))]
            answered = _last(worst, answered)
            counting.append(worst.at)
    results = tuple(replace(r, values=(*r.values, ("counts", "yes"))) if r.at in counting else r for r in built.results)
    return as_built(replace(loaded, system=replace(loaded.system, built=replace(built, results=results))), answered)


def _gravity(opened: OpenedProject, built: LoadedProject) -> tuple[int, int, int]:
    """Return how bad a built state is: how much shuts the gates, is violated, cannot be judged."""
    comparison = compare_states(opened.evaluation, built.system)
    found = (*comparison.worse, *comparison.record_findings)
    return (
        sum(finding.shuts_service for finding in found),
        sum(finding.is_open for finding in found),
        sum(finding.verdict is Verdict.NOT_JUDGED for finding in found),
    )


def _last(departure: Departure, answered: list[Departure]) -> list[Departure]:
    """Return the departures with one of them last, so that it stands."""
    return [*(each for each in answered if each is not departure), departure]


def _announced(loaded: LoadedProject) -> LoadedProject:
    """Return the project with what was reported of a fire or a removal; what a person wrote in the file stands over it."""
    system = loaded.system
    record = system.record or RecordFacts()
    said = status_after(system.results)
    if not said or record.status != IN_SERVICE:
        return loaded
    return replace(loaded, system=replace(system, record=replace(record, status=said)))


def _require_known(loaded: LoadedProject, released: tuple[str, ...], known: list[str]) -> None:
    for index, name in enumerate(released):
        if name not in known:
            said = f"the checklist has no line and compares no key {quoted(name)}{did_you_mean(name, known)}"
            raise ProblemsError([loaded.file.problem(("record", "released", index), said)])


@dataclass(frozen=True, slots=True)
class _Decision:
    """What a settlement says: the result that counts for its line, and what was built at its path."""

    result: FieldResult | None
    departure: Departure | None


def _with_decisions(results: tuple[FieldResult, ...], decided: list[FieldResult | None]) -> tuple[FieldResult, ...]:
    """Return the results, those that count in place of themselves, and those that only a settlement says."""
    counting = [result for result in decided if result is not None]
    entries = {result.value("entry") for result in counting} - {""}
    return (*(result for result in results if result.value("entry") not in entries), *counting)


def _settled(
    loaded: LoadedProject, log: FieldLog, lines: Mapping[str, ChecklistLine], compared: Mapping[str, Compared]
) -> Iterator[_Decision]:
    built = loaded.system.built or Built()
    by_path = {what.path: id_ for id_, what in compared.items()}
    results = {result.value("entry"): result for result in built.results}
    done: set[str] = set()
    for index, settlement in enumerate(built.settlements):
        key, name = ("line", settlement.line) if settlement.line else ("path", settlement.path)
        id_ = settlement.line or by_path.get(settlement.path, "")
        if id_ not in lines:
            known = lines if settlement.line else by_path
            raise ProblemsError([_problem(loaded, index, key, f'the checklist has no {key} "{name}"{did_you_mean(name, known)}')])
        if id_ in done or any(departure.path == compared[id_].path for departure in built.departures if id_ in compared):
            raise ProblemsError([_problem(loaded, index, key, f"{quoted(name)} is decided twice under built:; keep one of the two")])
        done.add(id_)
        if settlement.entry:
            logged = log.by_id.get(settlement.entry)
            if logged is None or logged.entry.line != id_:
                raise ProblemsError([_problem(loaded, index, "entry", f"no answer to {quoted(id_)} in field/ has this id")])
            result = results[settlement.entry]
            yield _Decision(_counting(result), _departure(loaded, settlement, compared.get(id_), logged))
        elif id_ in compared:
            what = compared[id_]
            departure = _departure(loaded, settlement, what)
            yield _Decision(_said(settlement, id_, lines[id_].tag, what), departure)
        else:
            said = f"{quoted(id_)} is measured or answered, not compared with the plan; name the entry that counts"
            raise ProblemsError([_problem(loaded, index, "value", said)])


def _problem(loaded: LoadedProject, index: int, key: str, message: str) -> Problem:
    return loaded.file.problem(("built", "settlements", index, key), message)


def _counting(result: FieldResult) -> FieldResult:
    return replace(result, values=(*result.values, ("settled", "yes")))


def _said(settlement: Settlement, line: str, tag: str, compared: Compared) -> FieldResult:
    answer = "as drawn" if settlement.value == compared.permitted else "built otherwise"
    values = {"line": line, "answer": answer, "value": settlement.value, "reason": settlement.reason}
    values |= {"by": settlement.decided_by, "at": settlement.date, "settled": "yes"}
    return FieldResult(kind="check", subject=tag or line, values=tuple(values.items()), at=settlement.at)


def _departure(
    loaded: LoadedProject, settlement: Settlement, compared: Compared | None, logged: LoggedEntry | None = None
) -> Departure | None:
    """Return what a settlement says was built, placed where that is written; None where its line compares nothing."""
    if compared is None or (logged is not None and not said_by(logged, compared)):
        return None
    entry = departure_of(logged, compared, loaded.models, is_first=True) if logged is not None else None
    return Departure(
        path=compared.path,
        permitted=permitted_text(loaded.models, compared.path),
        built=entry.built if entry is not None else settlement.value,
        reason=settlement.reason,
        decided_by=settlement.decided_by,
        date=settlement.date,
        approved_by=settlement.approved_by,
        at=entry.at if entry is not None else settlement.at,
        said_by="settlement",
    )
