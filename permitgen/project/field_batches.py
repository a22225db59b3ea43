"""Batches of field results: the files of ``field/`` beside the project file, one for each time that results were taken in.

A batch is never rewritten. Its name is the day of its first entry and a digest of what it says, so that a batch that was changed
by hand is seen. In which order batches were taken in, or are read, never matters: entries stand in the order of their time.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import stat
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from permitgen.project.field_results import DIGEST, ID, LONGEST, MOST_ENTRIES, MOST_PHOTOS, ResultEntry, ResultsCheck, parsed_json, refuse
from permitgen.reading.characters import UndecodableError, decode
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.system.key_form import is_of_survey

FORMAT = "permitgen field batch"
FIELD_FOLDER = "field"
PHOTO_FOLDER = "photos"
LARGEST_BATCH = 20_000_000
LARGEST_TOGETHER = 100_000_000
MOST_BATCHES = 2_000

_NAME = re.compile(r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2}|undated)-[0-9a-f]{16}\.json")
_PHOTO = re.compile(r"[A-Za-z0-9-]{1,60}-[0-9a-f]{12}\.jpg")
_ENTRY_ID = re.compile(r'"id": ?"([0-9a-f]{32})"')


@dataclass(frozen=True, slots=True)
class PhotoReference:
    """A photo of a line: the name of its file in ``field/photos/`` and the SHA-256 of its content."""

    id: str
    line: str
    file: str
    sha256: str

    @property
    def path(self) -> str:
        """The photo's path in the project folder."""
        return f"{FIELD_FOLDER}/{PHOTO_FOLDER}/{self.file}"


@dataclass(frozen=True, slots=True)
class Batch:
    """What was taken in at once: the plan that the phone showed (its project, revision, fingerprint), entries and photos."""

    project: str
    revision: int
    fingerprint: str
    entries: tuple[ResultEntry, ...]
    photos: tuple[PhotoReference, ...]


@dataclass(frozen=True, slots=True)
class LoggedEntry:
    """An entry, the file in which it stands, from the project folder, and its line there."""

    entry: ResultEntry
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class FieldLog:
    """Every batch of a project together.

    ``entries`` are in order of time, each once however often it was sent; ``photos`` in order of their names; ``inputs`` the bytes
    of the files by name.
    """

    entries: tuple[LoggedEntry, ...] = ()
    photos: tuple[PhotoReference, ...] = ()
    inputs: Mapping[str, bytes] | None = None

    @property
    def by_id(self) -> Mapping[str, LoggedEntry]:
        """Entries by id."""
        return {logged.entry.id: logged for logged in self.entries}

    @property
    def of_survey(self) -> tuple[LoggedEntry, ...]:
        """Answers to questions of the survey, in order of time: they become text of the project file, and no result."""
        return tuple(logged for logged in self.entries if is_of_survey(logged.entry.line))

    @property
    def survey_photos(self) -> tuple[PhotoReference, ...]:
        """Photos that belong to questions of the survey."""
        return tuple(photo for photo in self.photos if is_of_survey(photo.line))

    @property
    def of_checklist(self) -> FieldLog:
        """What answers the checklist: results of what was built and tested."""
        entries = tuple(logged for logged in self.entries if not is_of_survey(logged.entry.line))
        return replace(self, entries=entries, photos=tuple(photo for photo in self.photos if not is_of_survey(photo.line)))


def batch_file(batch: Batch) -> tuple[str, bytes]:
    """Return the name of a batch's file and its content: JSON, one entry a line."""
    head = {"format": FORMAT, "version": "1.0", "project": batch.project, "revision": batch.revision, "fingerprint": batch.fingerprint}
    entries = [_written(entry) for entry in sorted(batch.entries, key=_in_time)]
    photos = [asdict(photo) for photo in sorted(batch.photos, key=lambda photo: (photo.file, photo.id))]
    text = f'{_json(head)[:-1]}, "entries": [{_lines(entries)}], "photos": [{_lines(photos)}]}}\n'
    first = entries[0]["at"][:10] if entries else "undated"
    return f"{first}-{_digest({**head, 'entries': entries, 'photos': photos})}.json", text.encode("utf-8")


def _in_time(entry: ResultEntry) -> tuple[str, str]:
    return entry.at, entry.id


_WHEN = ("id", "at", "zone", "by")
_ORDER = (*_WHEN, "line", "tag", "permitted", "answer", "value", "unit", "inputs", "reason", "note", "instrument", "repeats")


def _written(entry: ResultEntry) -> dict[str, Any]:
    facts = asdict(entry)
    return {name: facts[name] for name in _ORDER if facts[name]}


def _lines(items: list[dict[str, Any]]) -> str:
    return "\n" + ",\n".join(_json(item) for item in items) + "\n" if items else ""


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _digest(data: Any) -> str:
    """Return a digest of what a batch says: neither line ends nor spaces between count."""
    said = json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(said.encode("utf-8")).hexdigest()[:16]


def read_field_log(folder: Path, project: str, shown_as: str = "") -> FieldLog:
    """Read every batch beside the project file in ``folder``; ``shown_as`` stands before file names in messages.

    Raises:
        ProblemsError: one problem: a file is malformed, was changed after it was written, is of another project than ``project``, or
            contradicts another file.
    """
    names = _batch_names(folder, shown_as)
    entries: dict[str, LoggedEntry] = {}
    photos: dict[tuple[str, str], PhotoReference] = {}
    inputs: dict[str, bytes] = {}
    left = LARGEST_TOGETHER
    for name in names:
        file = f"{FIELD_FOLDER}/{name}"
        content = _content(folder / file, f"{shown_as}{file}")
        inputs[file] = content
        left -= len(content)
        if left < 0:
            most = LARGEST_TOGETHER // 1_000_000
            refuse(f"{shown_as}{file}", f"the files of {FIELD_FOLDER}/ are larger than {most} MB together, the most that is read")
        batch, places = _read_batch(content, name, f"{shown_as}{file}")
        if batch.project != project:
            said = f"these results are of the project {quoted(batch.project)}; this one is {quoted(project)}"
            refuse(f"{shown_as}{file}", f"{said}: move the file out of {FIELD_FOLDER}/", "project")
        for entry in batch.entries:
            logged = entries.setdefault(entry.id, LoggedEntry(entry, file, places.get(entry.id, 1)))
            if logged.entry != entry:
                refuse(f"{shown_as}{file}", f"the entry {entry.id} says something else in {logged.file}; move one of the two files away")
        for photo in batch.photos:
            photos.setdefault((photo.line, photo.file), photo)
    in_time = tuple(sorted(entries.values(), key=lambda logged: _in_time(logged.entry)))
    return FieldLog(in_time, tuple(photos[key] for key in sorted(photos)), inputs)


def _batch_names(folder: Path, shown_as: str) -> list[str]:
    """Return the names of the batches; hidden files and those that are not JSON are none."""
    place = folder / FIELD_FOLDER
    shown = f"{shown_as}{FIELD_FOLDER}"
    try:
        kind = place.lstat().st_mode
        if not stat.S_ISDIR(kind):
            refuse(shown, "this is not a folder; field results stand in a folder of this name beside the project file")
        names = sorted(name for name in os.listdir(place) if name.endswith(".json") and not name.startswith("."))  # noqa: PTH208
    except FileNotFoundError:
        return []
    except OSError as error:
        refuse(shown, f"the folder cannot be read ({(error.strerror or 'input error').lower()})")
    if len(names) > MOST_BATCHES:
        refuse(shown, f"{len(names)} files; at most {MOST_BATCHES} are read")
    return names


def _content(path: Path, file: str) -> bytes:
    """Read a regular file; a pipe or a device would never end, a link may lead out of the project."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(handle, "rb") as stream:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                refuse(file, "this is not a regular file; a file of field results was expected")
            content = stream.read(LARGEST_BATCH + 1)
    except OSError as error:
        refuse(file, f"the file cannot be read ({(error.strerror or 'input error').lower()}); a file of field results was expected")
    if len(content) > LARGEST_BATCH:
        refuse(file, f"the file is larger than {LARGEST_BATCH // 1_000_000} MB, the most that is read")
    return content


def _read_batch(content: bytes, name: str, file: str) -> tuple[Batch, dict[str, int]]:
    """Return a batch and the line of each of its entries."""
    try:
        text = decode(content)
    except UndecodableError as error:
        raise ProblemsError(
            [Problem(file, *error.place, "", "this is not a file of field results; JSON text in UTF-8 was expected")]
        ) from error
    data = parsed_json(file, text)
    check = ResultsCheck(file)
    top = check.top(data, FORMAT, "a file of field results that permitgen record wrote; give a phone's results to permitgen record")
    batch = Batch(
        project=check.text(top, "project", "", 200, required=True),
        revision=check.whole(top, "revision"),
        fingerprint=check.matching(top, "fingerprint", "", DIGEST, "64 hexadecimal digits"),
        entries=tuple(check.entry(e, f"entries[{n}]") for n, e in enumerate(check.many(top, "entries", MOST_ENTRIES, required=True), 1)),
        photos=tuple(_photo(check, p, f"photos[{n}]") for n, p in enumerate(check.many(top, "photos", MOST_PHOTOS, required=True), 1)),
    )
    if not _NAME.fullmatch(name):
        refuse(file, "expected a name such as 2026-05-14-0123456789abcdef.json, as permitgen record gives it")
    if batch_file(batch)[0] != name:
        refuse(file, "the file was changed after it was written; put it back, and settle what is wrong under built: settlements:")
    places = {id_: number for number, line in enumerate(text.splitlines(), 1) for id_ in _ENTRY_ID.findall(line)[:1]}
    return batch, places


def _photo(check: ResultsCheck, value: Any, where: str) -> PhotoReference:
    given = check.mapping(value, where)
    return PhotoReference(
        id=check.matching(given, "id", where, ID, "32 hexadecimal digits"),
        line=check.text(given, "line", where, LONGEST["line"], required=True),
        file=check.matching(given, "file", where, _PHOTO, f"the name of a photo in {FIELD_FOLDER}/{PHOTO_FOLDER}/"),
        sha256=check.matching(given, "sha256", where, DIGEST, "64 hexadecimal digits"),
    )


def require_room(log: FieldLog, name: str, content: bytes, file: str) -> None:
    """Refuse a batch that would make the project one that is not read any more; ``file`` is the results file.

    Raises:
        ProblemsError: one problem.
    """
    held = log.inputs or {}
    if len(held) >= MOST_BATCHES or len(content) > LARGEST_BATCH or sum(map(len, held.values())) + len(content) > LARGEST_TOGETHER:
        refuse(
            file, f"{quoted(name)} would be more than is read in {FIELD_FOLDER}/: {MOST_BATCHES} files, {LARGEST_TOGETHER // 1_000_000} MB"
        )
