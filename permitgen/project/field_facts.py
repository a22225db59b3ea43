"""What the files of ``field/`` say, as facts of the system: results, and a departure where something was built otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.project.built_to_system import permitted_text
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.system.built_state import Built, Departure, FieldResult, WithdrawnPhoto
from permitgen.values.origin import ProjectLine

if TYPE_CHECKING:
    from permitgen.project.field_batches import FieldLog, LoggedEntry, PhotoReference
    from permitgen.project.load import LoadedProject
    from permitgen.project.sections.project_file import ProjectFile

_KINDS = {
    "torque": "torque",
    "serial": "serial number",
    "firmware": "firmware",
    "setting": "setting",
    "photo": "photo",
    "label": "label",
    "insulation": "insulation resistance",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """What a line of the checklist compares: the key of the project file, and what is permitted there."""

    path: str
    permitted: str


def with_results(loaded: LoadedProject, log: FieldLog) -> LoadedProject:
    """Return the project with the results of ``log`` in its built state.

    Raises:
        ProblemsError: a photo is withdrawn that the log does not have.
    """
    built = loaded.system.built or Built()
    withdrawn = {each.photo: each for each in built.withdrawn}
    _require_known(built.withdrawn, [photo.file for photo in log.photos])
    log = log.of_checklist
    if not log.entries and not log.photos:
        return loaded
    results = (*(_result(logged) for logged in log.entries), *(_photo(photo, withdrawn.get(photo.file)) for photo in log.photos))
    return replace(loaded, system=replace(loaded.system, built=replace(built, results=results)))


def _require_known(withdrawn: tuple[WithdrawnPhoto, ...], photos: list[str]) -> None:
    problems = []
    for each in withdrawn:
        if each.photo not in photos and each.at is not None:
            said = f"field/ has no photo {quoted(each.photo)}{did_you_mean(each.photo, photos)}"
            problems.append(Problem(each.at.file, each.at.line, each.at.column, each.at.path, said))
    if problems:
        raise ProblemsError(problems)


def _result(logged: LoggedEntry) -> FieldResult:
    entry = logged.entry
    values = {"line": entry.line, "answer": entry.answer, "shown": entry.permitted, "value": entry.value}
    values |= {"unit": entry.unit if entry.value else ""} | {f"with {name}": text for name, text in entry.inputs.items()}
    values |= {
        "reason": entry.reason,
        "note": entry.note,
        "by": entry.by,
        "instrument": entry.instrument,
        "at": entry.at,
        "zone": entry.zone,
    }
    values |= {"entry": entry.id, "repeats": entry.repeats}
    kind = _KINDS.get(entry.line.partition(":")[0], "check")
    return FieldResult(kind=kind, subject=entry.tag or entry.line, values=_told(values), at=_at(logged))


def _photo(photo: PhotoReference, withdrawn: WithdrawnPhoto | None) -> FieldResult:
    """A photo is no answer: it belongs to its line whenever it was sent, until somebody withdraws it."""
    said = {"photos": photo.path}
    if withdrawn is not None:
        said = {"note": f"photo {photo.file} withdrawn {withdrawn.date} by {withdrawn.by}: {withdrawn.reason}"}
    values = {"line": photo.line, "answer": "note", **said}
    return FieldResult(kind="photo", subject=photo.line, values=_told(values))


def _told(values: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, text) for name, text in values.items() if text)


def _at(logged: LoggedEntry) -> ProjectLine:
    return ProjectLine(logged.file, logged.line, 1, logged.entry.line, logged.entry.value)


def answered_departures(log: FieldLog, lines: Mapping[str, Compared], models: ProjectFile) -> list[Departure]:
    """Return what the field says was built, for each path where anybody saw something else than is permitted now.

    ``lines`` are the program's own: an entry names a line, never a path. Each path's departures are in order of time, those whose entry
    another one repeats first; where the answers return to what is permitted, that is said too.
    """
    answers: dict[str, list[LoggedEntry]] = {}
    for logged in log.entries:
        if logged.entry.line in lines and said_by(logged, lines[logged.entry.line]):
            answers.setdefault(logged.entry.line, []).append(logged)
    found: list[Departure] = []
    for line, given in sorted(answers.items()):
        compared = lines[line]
        if any(said_by(logged, compared) != compared.permitted for logged in given):
            found += _in_turn(given, compared, models)
    return found


def _in_turn(given: list[LoggedEntry], compared: Compared, models: ProjectFile) -> list[Departure]:
    repeated = {logged.entry.repeats for logged in given}
    found: list[Departure] = []
    for logged in sorted(given, key=lambda each: each.entry.id not in repeated):
        is_replaced = logged.entry.id in repeated
        if not found or (found[-1].built, found[-1].is_replaced) != (said_by(logged, compared), is_replaced):
            found.append(replace(departure_of(logged, compared, models, is_first=not found), is_replaced=is_replaced))
    return found


def in_conflict(departures: Sequence[Departure]) -> Mapping[str, list[Departure]]:
    """Return the paths at which answers that stand say different things: the newest of each, in order of time."""
    said: dict[str, dict[str, Departure]] = {}
    for departure in departures:
        if not departure.is_replaced:
            values = said.setdefault(departure.path, {})
            values.pop(departure.built, None)
            values[departure.built] = departure
    return {path: list(values.values()) for path, values in said.items() if len(values) > 1}


def said_by(logged: LoggedEntry, compared: Compared) -> str:
    """Return what an entry says was built; empty where it says nothing about that."""
    entry = logged.entry
    if entry.answer == "as drawn":
        return entry.permitted or compared.permitted
    return entry.value if entry.answer == "built otherwise" else ""


def departure_of(logged: LoggedEntry, compared: Compared, models: ProjectFile, *, is_first: bool) -> Departure:
    """Return the departure that an entry says."""
    entry, said = logged.entry, said_by(logged, compared)
    reason = entry.reason
    if entry.answer == "as drawn":
        drawn = "as drawn" if is_first else "as drawn after all, by a later entry"
        reason = drawn if said == compared.permitted else f"as drawn on an earlier plan, which showed {said}"
    return Departure(
        path=compared.path,
        permitted=permitted_text(models, compared.path),
        built=said,
        reason=reason,
        decided_by=entry.by,
        date=entry.day,
        at=_at(logged),
        said_by="field",
    )
