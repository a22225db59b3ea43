"""Reads what a phone sends home: results of the field checklist as JSON, checked before anything is done with them.

The file comes from outside, so size, counts and types are limited; the first fault is reported in one message and nothing is
used. The form is described for others in ``field_results.schema.json``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, NoReturn

from permitgen.project.jpeg import JpegError, without_metadata
from permitgen.reading.characters import UndecodableError, cleaned, decode, place_of, refused_character
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.regular_file import UnreadableFileError, content_of
from permitgen.system.time_of_place import time_of_place

FORMAT = "permitgen field results"
LARGEST_BYTES = 200_000_000
MOST_ENTRIES = 5_000
MOST_PHOTOS = 400
ANSWERS = ("yes", "no", "value", "as drawn", "built otherwise", "could not test", "could not see", "note")

LONGEST = {
    "line": 160,
    "tag": 40,
    "value": 120,
    "unit": 20,
    "reason": 500,
    "note": 1000,
    "by": 40,
    "instrument": 60,
    "permitted": 120,
}
_LONGEST_PHOTO = 8_000_000
_MOST_INPUTS = 6
ID = re.compile(r"[0-9a-f]{32}")
DIGEST = re.compile(r"[0-9a-f]{64}")
_TIME = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]{1,3})?Z")
_ZONE = re.compile(r"[+-](0[0-9]|1[0-4]):[0-5][0-9]")
_INPUT = re.compile(r"[a-z_]{1,20}")


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultEntry:
    """One entry for one line; ``at`` is the time of the phone, in UTC, ``permitted`` what it showed as permitted.

    ``zone`` is how far its clock on the wall was from UTC, as ``-06:00``; empty where it did not say.

    ``repeats`` is the id of the entry in whose place this one stands; its ``reason`` then says what was changed in between.

    Which key of the project file a line compares is not in it: that is looked up in the checklist of the program itself.
    """

    id: str
    line: str
    answer: str
    at: str
    tag: str = ""
    value: str = ""
    unit: str = ""
    inputs: Mapping[str, str]
    reason: str = ""
    note: str = ""
    by: str = ""
    instrument: str = ""
    permitted: str = ""
    repeats: str = ""
    zone: str = ""

    @property
    def day(self) -> str:
        """The day of the place, year-month-day."""
        return time_of_place(self.at, self.zone)[:10]


@dataclass(frozen=True, slots=True)
class ResultPhoto:
    """One photo as JPEG, its metadata (position, device) removed."""

    id: str
    line: str
    data: bytes

    def __repr__(self) -> str:
        return f"ResultPhoto(id={self.id!r}, line={self.line!r}, {len(self.data)} bytes)"


@dataclass(frozen=True, slots=True)
class FieldResults:
    """Everything one device sends: which checklist it had, its entries in order of time, its photos."""

    file: str
    project: str
    revision: int
    fingerprint: str
    entries: tuple[ResultEntry, ...]
    photos: tuple[ResultPhoto, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines that entries and photos answer."""
        return (*(entry.line for entry in self.entries), *(photo.line for photo in self.photos))


def read_field_results(path: Path) -> FieldResults:
    """Read a results file.

    Raises:
        ProblemsError: one problem, the first found; nothing of the file may be used.
    """
    file = path.as_posix()
    return results_of(parsed_json(file, _content(file, path)), file)


def _content(file: str, path: Path) -> str:
    try:
        content = content_of(path, LARGEST_BYTES)
    except UnreadableFileError as error:
        refuse(file, str(error))
    if not content.strip():
        refuse(file, "the file is empty; send the results again from the phone")
    try:
        return decode(content)
    except UndecodableError as error:
        raise ProblemsError([Problem(file, *error.place, "", "this is not a results file; JSON text in UTF-8 was expected")]) from error


def parsed_json(file: str, text: str) -> Any:
    """Return the JSON in ``text``; ``file`` names it in messages.

    Raises:
        ProblemsError: one problem: not JSON, cut off, nested too deeply, a key twice, or a number that is none.
    """
    try:
        return json.loads(text, object_pairs_hook=_unique, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        cut = error.pos >= len(text.rstrip()) or "Unterminated" in error.msg
        said = (
            "the file is cut off; send the results again from the phone"
            if cut
            else "this is not JSON; a results file of the checklist was expected"
        )
        raise ProblemsError([Problem(file, *place_of(text, min(error.pos, len(text))), "", said)]) from error
    except (RecursionError, ValueError) as error:
        said = (
            str(error)
            if isinstance(error, _RefusedError)
            else "this is not a results file of the checklist: it is nested too deeply, or holds a number too long"
        )
        raise ProblemsError([Problem(file, 1, 1, "", said)]) from error


class _RefusedError(ValueError):
    """Something JSON allows and results never hold."""


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise _RefusedError("a key stands twice in one object; this is not a results file of the checklist")
    return found


def _no_constant(name: str) -> NoReturn:
    raise _RefusedError(f"{name} is not a number; this is not a results file of the checklist")


def results_of(data: Any, file: str) -> FieldResults:
    """Return results from parsed JSON.

    Raises:
        ProblemsError: one problem, the first found.
    """
    check = ResultsCheck(file)
    top = check.top(data, FORMAT, "a results file of the checklist")
    entries = check.many(top, "entries", MOST_ENTRIES, required=True)
    photos = check.many(top, "photos", MOST_PHOTOS)
    found = FieldResults(
        file=file,
        project=check.text(top, "project", "", 200, required=True),
        revision=check.whole(top, "revision"),
        fingerprint=check.matching(top, "fingerprint", "", DIGEST, "64 hexadecimal digits"),
        entries=tuple(check.entry(entry, f"entries[{number}]") for number, entry in enumerate(entries, 1)),
        photos=tuple(check.photo(photo, f"photos[{number}]") for number, photo in enumerate(photos, 1)),
    )
    check.unique(found)
    return found


class ResultsCheck:
    """Takes parsed JSON apart; every method refuses with one message."""

    def __init__(self, file: str) -> None:
        self.file = file

    def mapping(self, value: Any, where: str) -> dict[str, Any]:
        """Return a JSON object."""
        if not isinstance(value, dict):
            refuse(self.file, f"expected an object, found {_kind(value)}", where)
        return value

    def top(self, data: Any, form: str, what: str) -> dict[str, Any]:
        """Return the top of a file of the form ``form``, version 1."""
        top = self.mapping(data, "the file")
        if top.get("format") != form:
            refuse(self.file, f"this is not {what}")
        version = self.text(top, "version", "", 10, required=True)
        if not re.fullmatch(r"1\.[0-9]{1,4}", version):
            refuse(self.file, f"results of version {quoted(version)} are not known here; this program reads version 1", "version")
        return top

    def many(self, holder: dict[str, Any], key: str, most: int, *, required: bool = False) -> list[Any]:
        """Return the list under ``key``, no longer than ``most``."""
        value = holder.get(key, [] if not required else None)
        if not isinstance(value, list):
            refuse(self.file, f"expected a list, found {_kind(value)}", key)
        if len(value) > most:
            refuse(self.file, f"{len(value)} {key}; at most {most} are taken in at once", key)
        return value

    def text(self, holder: dict[str, Any], key: str, where: str, longest: int, *, required: bool = False) -> str:
        """Return the text under ``key`` as one line without hidden characters; empty where it is not given."""
        value = holder.get(key, "" if not required else None)
        at = f"{where}.{key}" if where else key
        if not isinstance(value, str):
            refuse(self.file, f"expected text, found {_kind(value)}", at)
        if len(value) > longest:
            refuse(self.file, f"{len(value)} characters; at most {longest} were expected", at)
        line = " ".join(value.split())
        refusal = refused_character(line)
        if refusal is not None:
            refuse(self.file, refusal, at)
        if required and not line:
            refuse(self.file, "is empty", at)
        return cleaned(line)

    def matching(self, holder: dict[str, Any], key: str, where: str, pattern: re.Pattern[str], expected: str) -> str:
        """Return the text under ``key``, which ``pattern`` describes."""
        value = self.text(holder, key, where, 200, required=True)
        if not pattern.fullmatch(value):
            refuse(self.file, f"{quoted(value)}; expected {expected}", f"{where}.{key}" if where else key)
        return value

    def whole(self, holder: dict[str, Any], key: str) -> int:
        """Return the whole number under ``key``, 0 to 9999."""
        value = holder.get(key)
        if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= 9999:
            refuse(self.file, f"expected a whole number from 0 to 9999, found {_kind(value)}", key)
        return value

    def entry(self, value: Any, where: str) -> ResultEntry:
        """Return one entry."""
        given = self.mapping(value, where)
        texts = {key: self.text(given, key, where, longest, required=key == "line") for key, longest in LONGEST.items()}
        answer = self.text(given, "answer", where, 40, required=True)
        if answer not in ANSWERS:
            refuse(self.file, f"{quoted(answer)} is not one of: {', '.join(ANSWERS)}", f"{where}.answer")
        repeats = self.matching(given, "repeats", where, ID, "32 hexadecimal digits") if given.get("repeats", "") != "" else ""
        if repeats and not texts["reason"]:
            refuse(self.file, "an entry that repeats another says what was changed in between", f"{where}.reason")
        at = self.matching(given, "at", where, _TIME, "a time such as 2026-05-14T15:04:00Z")
        if not _is_a_day(at[:10]):
            refuse(self.file, f"{quoted(at)}: the calendar has no such day", f"{where}.at")
        zone = self.matching(given, "zone", where, _ZONE, "how far from UTC, as -06:00") if given.get("zone", "") != "" else ""
        return ResultEntry(
            zone=zone,
            id=self.matching(given, "id", where, ID, "32 hexadecimal digits"),
            repeats=repeats,
            answer=answer,
            at=at,
            inputs=self.inputs(given.get("inputs", {}), f"{where}.inputs"),
            **texts,
        )

    def inputs(self, value: Any, where: str) -> dict[str, str]:
        """Return the named further values of an entry."""
        given = self.mapping(value, where)
        if len(given) > _MOST_INPUTS or not all(_INPUT.fullmatch(name) for name in given):
            refuse(self.file, f"at most {_MOST_INPUTS} named values were expected", where)
        return {name: self.text(given, name, where, 40) for name in given}

    def photo(self, value: Any, where: str) -> ResultPhoto:
        """Return one photo, its metadata removed."""
        given = self.mapping(value, where)
        data = given.get("data")
        if not isinstance(data, str) or len(data) > _LONGEST_PHOTO:
            refuse(self.file, f"expected a JPEG of at most {_LONGEST_PHOTO * 3 // 4_000_000} MB", f"{where}.data")
        try:
            content = without_metadata(data)
        except JpegError as error:
            refuse(self.file, str(error), f"{where}.data")
        line = self.text(given, "line", where, LONGEST["line"], required=True)
        return ResultPhoto(self.matching(given, "id", where, ID, "32 hexadecimal digits"), line, content)

    def unique(self, results: FieldResults) -> None:
        """Refuse two entries or photos of one id."""
        ids = [entry.id for entry in results.entries] + [photo.id for photo in results.photos]
        if len(set(ids)) != len(ids):
            refuse(self.file, "two entries have the same id; send the results again from the phone", "entries")


def _is_a_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _kind(value: Any) -> str:
    names = {dict: "an object", list: "a list", str: "text", bool: "yes or no", int: "a number", float: "a number", type(None): "nothing"}
    return names.get(type(value), "something else")


def refuse(file: str, message: str, where: str = "") -> NoReturn:
    """Raise the one problem of a file."""
    raise ProblemsError([Problem(file, 1, 1, where, message)])
