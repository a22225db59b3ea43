"""Takes field results into a project: every line is one that the program itself asked, and one new file in ``field/`` holds them.

The project file is never touched. The same results taken in twice change nothing; results that overlap earlier ones add what is
new; where people say different things all of it is kept.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.built_project import built_project
from permitgen.package.field_and_record import labels_to_place
from permitgen.package.opened_project import OpenedProject, open_project
from permitgen.package.survey_job import survey_of_project
from permitgen.project.field_batches import (
    FIELD_FOLDER,
    PHOTO_FOLDER,
    Batch,
    FieldLog,
    LoggedEntry,
    PhotoReference,
    batch_file,
    require_room,
)
from permitgen.project.field_results import FieldResults, ResultEntry, ResultPhoto, read_field_results, refuse
from permitgen.project.new_file import create_file
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.system.key_form import is_of_survey
from permitgen.views.checklist.occasions import is_of_occasion
from permitgen.views.field_checklist import view_of
from permitgen.views.survey import answered_line

if TYPE_CHECKING:
    from permitgen.project.load import LoadedProject
    from permitgen.views.field_checklist import ChecklistLine

_GRACE = timedelta(days=1)
_SURVEY_ANSWERS = ("value", "could not see", "note")
_UNSAFE = re.compile(r"[^A-Za-z0-9]+")
_ASCII = str.maketrans({"+": "plus", "−": "minus"})


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What was taken in. ``file`` is the new file, empty where nothing was new; ``notices`` are sentences for whoever did it."""

    file: str
    added: int
    already_there: int
    departures: tuple[str, ...]
    photos: tuple[str, ...]
    notices: tuple[str, ...]

    @property
    def is_changed(self) -> bool:
        """Whether anything was written."""
        return bool(self.file or self.photos)


def take_in_results(project: Path, results_file: Path, today: date | None = None) -> TakenIn:
    """Take a results file into ``field/`` of a project: all of it, or nothing. ``today`` (UTC): nothing is answered later than that.

    Raises:
        ProblemsError: the results or the project cannot be used, or do not belong together; nothing was written.
        OSError: the project folder cannot be written; nothing was left there.
    """
    sent = read_field_results(results_file)
    opened = open_project(project)
    results = _of_this_project(sent, opened.loaded)
    require_possible_days(results, opened.loaded, today)
    lines = _lines_asked(opened, results)
    _require_own_lines(results, lines, opened.fingerprint)
    batch, pictures = new_batch(results, lines, opened.field)
    name, content = batch_file(batch) if batch.entries or batch.photos else ("", b"")
    if name:
        require_room(opened.field, name, content, results.file)
    departures, unreadable = _departures(opened, batch, f"{FIELD_FOLDER}/{name}")
    written = _write(results.file, opened.loaded.folder, pictures, name, content)
    return TakenIn(
        file=f"{FIELD_FOLDER}/{name}" if name else "",
        added=len(batch.entries),
        already_there=len(results.entries) - len(batch.entries),
        departures=departures,
        photos=written,
        notices=(*_conflicts(opened.field, batch), *unreadable),
    )


def _lines_asked(opened: OpenedProject, results: FieldResults) -> Mapping[str, ChecklistLine]:
    """Return the lines that the program asks: those of the checklist and the short forms; where results answer the survey, its too.

    A question that was answered before is still one: its answer may be in the file already, and phones send all they hold each time.
    """
    lines = view_of(opened.evaluation, opened.fingerprint, labels_to_place(opened)).answerable
    if not any(map(is_of_survey, results.lines)):
        return lines
    entries = [logged.entry for logged in opened.field.of_survey]
    answered = {entry.line: answered_line(entry.line, entry.tag, entry.permitted) for entry in entries}
    return {**lines, **survey_of_project(opened).by_id, **answered}


def new_batch(results: FieldResults, lines: Mapping[str, ChecklistLine], log: FieldLog) -> tuple[Batch, dict[str, bytes]]:
    """Return what is new in ``results``, and the content of every photo in them by the name of its file.

    Raises:
        ProblemsError: an entry was taken in already, and says something else now.
    """
    entries = tuple(replace(entry, tag=lines[entry.line].tag) for entry in results.entries)
    _require_unchanged(results, entries, log)
    _require_same_line(results, entries, log)
    pictures = {_reference(photo): photo.data for photo in results.photos}
    held = {(photo.line, photo.file) for photo in log.photos}
    fresh = {(photo.line, photo.file): photo for photo in pictures if (photo.line, photo.file) not in held}
    known = log.by_id
    batch = Batch(
        results.project,
        results.revision,
        results.fingerprint,
        tuple(entry for entry in entries if entry.id not in known),
        tuple(fresh.values()),
    )
    return batch, {photo.file: data for photo, data in pictures.items()}


def _of_this_project(results: FieldResults, loaded: LoadedProject) -> FieldResults:
    """Return the results under the project's own name; the public page of the record knows its id alone.

    A short form of the record may be of an older revision: what it asks is the same in each.
    """
    system = loaded.system
    name, revision = system.project.key, system.project.revision
    newest = revision.number if revision is not None else 0
    is_of_record = bool(results.lines) and all(map(is_of_occasion, results.lines))
    own_id = system.record.record_id if system.record is not None else ""
    if is_of_record and own_id and results.project == own_id:
        results = replace(results, project=name)
    if results.project != name:
        refuse(results.file, f"these results are of the project {quoted(results.project)}; the project file is {quoted(name)}", "project")
    if results.revision < newest and not is_of_record:
        asked = f"make the checklist of revision {newest} and check again what changed"
        refuse(results.file, f"these results are of revision {results.revision}; the project is at revision {newest}: {asked}", "revision")
    if results.revision > newest:
        still = f"the project file is still at revision {newest}: take them into the newer file"
        refuse(results.file, f"these results are of revision {results.revision}; {still}", "revision")
    return results


def require_possible_days(results: FieldResults, loaded: LoadedProject, today: date | None) -> None:
    """Refuse answers from before the first revision of the plans, or from after ``today``: the clock of that phone was wrong.

    What is newest counts at later occasions and makes the day of commissioning, so that a day to come would silence what comes after it.
    A day of grace on either side, since entries have the time of UTC and revisions that of the place.

    Raises:
        ProblemsError: one problem.
    """
    system = loaded.system
    days = [revision.date for revision in system.project.revisions]
    first = min(days, default="")
    latest = max([*days, *(each.date for each in system.inspections), str(today)]) if today is not None else ""
    for number, entry in enumerate(results.entries, 1):
        day, where = date.fromisoformat(entry.at[:10]), f"entries[{number}].at"
        clock = "set the clock of the phone, and answer again"
        if first and day + _GRACE < date.fromisoformat(first):
            refuse(results.file, f"answered on {day}, before the first revision of the plans ({first}): {clock}", where)
        if latest and day - _GRACE > date.fromisoformat(latest):
            refuse(results.file, f"answered on {day}, which has not come yet ({latest} by the clock here): {clock}", where)


def _require_own_lines(results: FieldResults, lines: Mapping[str, ChecklistLine], fingerprint: str) -> None:
    """Refuse what the checklist of this project does not ask, or asks otherwise: a results file chooses nothing."""
    of_this_plan = results.fingerprint == fingerprint
    _require_known("entries", [entry.line for entry in results.entries], results, lines, of_this_plan=of_this_plan)
    _require_known("photos", [photo.line for photo in results.photos], results, lines, of_this_plan=of_this_plan)
    for number, entry in enumerate(results.entries, 1):
        line = lines[entry.line]
        if of_this_plan and entry.permitted and entry.permitted != line.permitted:
            shown = quoted(line.permitted) if line.permitted else "nothing"
            said = f"{quoted(entry.permitted)} is said to be permitted for {quoted(entry.line)}; this checklist shows {shown}"
            refuse(results.file, said, f"entries[{number}].permitted")
        if entry.value and entry.unit and entry.unit != line.unit:
            asked = quoted(line.unit) if line.unit else "no unit"
            refuse(results.file, f"{quoted(entry.line)} is given in {quoted(entry.unit)}; expected {asked}", f"entries[{number}].unit")
        if line.rule.kind == "answer":
            _require_answer(results, entry, number)


def _require_answer(results: FieldResults, entry: ResultEntry, number: int) -> None:
    """Refuse an answer to a question of the survey that is none, or of which nobody says that he saw it."""
    if entry.answer not in _SURVEY_ANSWERS:
        expected = ", ".join(_SURVEY_ANSWERS)
        refuse(results.file, f"{quoted(entry.answer)} does not answer a question; expected {expected}", f"entries[{number}].answer")
    if entry.answer == "value" and not entry.value:
        refuse(results.file, f"{quoted(entry.line)} is answered with nothing", f"entries[{number}].value")
    if not entry.by:
        refuse(results.file, f"nobody says that he saw {quoted(entry.line)}; expected a name", f"entries[{number}].by")


def _require_known(kind: str, asked: list[str], results: FieldResults, lines: Mapping[str, ChecklistLine], *, of_this_plan: bool) -> None:
    unknown = [(number, line) for number, line in enumerate(asked, 1) if line not in lines]
    if unknown:
        number, line = unknown[0]
        more = f", nor {len(unknown) - 1} more of these" if len(unknown) > 1 else ""
        asks = "survey" if is_of_survey(line) else "checklist"
        plan = "" if of_this_plan else f"; the results answer the {asks} of another plan"
        said = f"the {asks} of this project has no line {quoted(line)}{more}{plan}{did_you_mean(line, lines)}"
        refuse(results.file, said, f"{kind}[{number}].line")


def _require_unchanged(results: FieldResults, entries: tuple[ResultEntry, ...], log: FieldLog) -> None:
    known = log.by_id
    for number, entry in enumerate(entries, 1):
        old = known.get(entry.id)
        if old is not None and old.entry != entry:
            refuse(results.file, f"this entry was taken in already and says something else in {old.file}", f"entries[{number}]")


def _require_same_line(results: FieldResults, entries: tuple[ResultEntry, ...], log: FieldLog) -> None:
    """Refuse an entry that repeats one of another line, one that nobody has, or in the end itself."""
    known = {entry.id: entry for entry in entries} | {id_: logged.entry for id_, logged in log.by_id.items()}
    for number, entry in enumerate(entries, 1):
        gone_back: set[str] = {entry.id}
        at = entry
        while at.repeats:
            before = known.get(at.repeats)
            if before is None or before.line != entry.line or before.id in gone_back:
                refuse(results.file, f"no earlier entry of {quoted(entry.line)} has the id {at.repeats}", f"entries[{number}].repeats")
            gone_back.add(before.id)
            at = before


def _reference(photo: ResultPhoto) -> PhotoReference:
    """Name a photo by its line and content, so that the same photo has the same name whoever takes it in."""
    digest = hashlib.sha256(photo.data).hexdigest()
    line = _UNSAFE.sub("-", photo.line.translate(_ASCII)).strip("-")[:60]
    return PhotoReference(photo.id, photo.line, f"{line}-{digest[:12]}.jpg", digest)


def _write(results_file: str, folder: Path, photos: Mapping[str, bytes], name: str, content: bytes) -> tuple[str, ...]:
    """Write the photos that are not there, then the batch; what was written is taken back where something fails."""
    field, pictures = folder / FIELD_FOLDER, folder / FIELD_FOLDER / PHOTO_FOLDER
    if pictures.is_symlink():
        refuse(results_file, f"{FIELD_FOLDER}/{PHOTO_FOLDER} is a link; a folder was expected")
    missing = {file: data for file, data in photos.items() if not (pictures / file).exists()}
    for file in photos.keys() - missing.keys():
        if (pictures / file).read_bytes() != photos[file]:
            refuse(results_file, f"{FIELD_FOLDER}/{PHOTO_FOLDER}/{file} was changed after it was written; move it away")
    with ExitStack() as undo:
        for place in [field] * bool(name or missing) + [pictures] * bool(missing):
            with suppress(FileExistsError):
                place.mkdir()
                undo.callback(_remove_empty, place)
        for file, data in missing.items():
            if create_file(pictures / file, data):
                undo.callback((pictures / file).unlink)
        if name:
            create_file(field / name, content)
        undo.pop_all()
    return tuple(f"{FIELD_FOLDER}/{PHOTO_FOLDER}/{file}" for file in missing)


def _remove_empty(place: Path) -> None:
    """Remove a folder that was made for what could not be written, unless somebody else put something into it meanwhile."""
    if not any(place.iterdir()):
        place.rmdir()


def _conflicts(log: FieldLog, batch: Batch) -> tuple[str, ...]:
    found = []
    for entry in batch.entries:
        for logged in log.entries:
            old = logged.entry
            differs = (old.answer, old.value) != (entry.answer, entry.value)
            if old.line == entry.line and "note" not in (entry.answer, old.answer) and differs:
                before, now = quoted(old.value or old.answer), quoted(entry.value or entry.answer)
                found.append(f"{entry.line}: an earlier entry says {before}, this one {now}; both are kept")
                break
    return tuple(found)


def _departures(opened: OpenedProject, batch: Batch, file: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what stands as built by these entries, and what cannot stand there."""
    entries = [*opened.field.entries, *(LoggedEntry(entry, file, 1) for entry in batch.entries)]
    log = replace(opened.field, entries=tuple(sorted(entries, key=lambda logged: (logged.entry.at, logged.entry.id))))
    built = built_project(opened, log).system.built
    last = {departure.path: departure for departure in (built.departures if built is not None else ())}
    stands = [d for d in last.values() if d.said_by == "field" and d.at is not None and d.at.file == file]
    said = tuple(f"{d.path}: {d.built}" for d in stands if d.is_readable)
    notices = (
        f"{d.path}: {quoted(d.built)} cannot stand there; it is kept, write the departure under built:" for d in stands if not d.is_readable
    )
    return said, tuple(notices)
