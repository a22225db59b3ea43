"""Merges field results into ``built:`` of the project file. Nothing else in the file changes, comments and order stay.

Results are only ever added, each with the id its entry got on the phone: the same file merged twice changes nothing, and where
two people say different things both are kept. What was built otherwise becomes a departure as well.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from permitgen.project.built_section import built_section_text
from permitgen.project.departures import as_built
from permitgen.project.field_results import FieldResults, ResultEntry, read_field_results
from permitgen.project.load import LoadedProject, build_project, load_project, project_path
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import ReadFile, read_text

PHOTO_FOLDER = "photos/field"
_UNSAFE = re.compile(r"[^A-Za-z0-9]+")
_ASCII = str.maketrans({"+": "plus", "−": "minus"})
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
class MergeReport:
    """What a merge did. ``notices`` are sentences for the person who merged; ``is_changed`` False: everything was there already."""

    added: int
    already_there: int
    departures: tuple[str, ...]
    photos: tuple[str, ...]
    notices: tuple[str, ...]
    is_changed: bool


@dataclass(slots=True)
class _Addition:
    """What will be appended to ``built:``."""

    results: list[dict[str, Any]] = field(default_factory=list)
    departures: list[dict[str, str]] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)


def merge_field_results(project: Path, results_file: Path) -> MergeReport:
    """Merge a results file into the project file, which is replaced at once or not at all.

    Raises:
        ProblemsError: the results or the project file cannot be used, or do not belong together; nothing was changed.
        OSError: the project folder cannot be written.
    """
    results = read_field_results(results_file)
    loaded = load_project(project)
    _require_same_project(results, loaded)
    fresh = [entry for entry in results.entries if entry.id not in _known_ids(loaded)]
    photos = {f"{PHOTO_FOLDER}/{_photo_name(photo.line, photo.data)}": photo for photo in results.photos}
    addition = _addition(
        loaded, fresh, {photo.line: [name for name, p in photos.items() if p.line == photo.line] for photo in photos.values()}
    )
    new_photos = {name: photo.data for name, photo in photos.items() if not (loaded.folder / name).is_file()}
    report = MergeReport(
        added=len(fresh),
        already_there=len(results.entries) - len(fresh),
        departures=tuple(f"{d['path']}: {d['to']}" for d in addition.departures),
        photos=tuple(new_photos),
        notices=tuple(addition.notices),
        is_changed=bool(fresh or new_photos),
    )
    if fresh:
        text = built_section_text(loaded.file, addition.results, addition.departures)
        _require_readable(text, loaded, addition)
    _write_photos(loaded.folder, new_photos)
    if fresh:
        _replace_file(project_path(project), text, loaded.file)
    return report


def _require_same_project(results: FieldResults, loaded: LoadedProject) -> None:
    facts = loaded.system.project
    name = facts.number or facts.name
    newest = facts.revision.number if facts.revision is not None else 0
    if results.project != name:
        message = f"these results are of the project {quoted(results.project)}; the project file is {quoted(name)}"
    elif results.revision < newest:
        message = (
            f"these results are of revision {results.revision}; the project is at revision {newest}: "
            f"make the checklist of revision {newest} and check again what changed"
        )
    elif results.revision > newest:
        message = (
            f"these results are of revision {results.revision}; the project file is still at revision {newest}: merge into the newer file"
        )
    else:
        return
    raise ProblemsError([Problem(results.file, 1, 1, "revision" if results.project == name else "project", message)])


def _known_ids(loaded: LoadedProject) -> frozenset[str]:
    built = loaded.system.built
    return frozenset(result.value("entry") for result in built.results) if built is not None else frozenset()


def _photo_name(line: str, data: bytes) -> str:
    """Name a photo by its line and content, so that the same photo has the same name whoever merges it."""
    return f"{_UNSAFE.sub('-', line.translate(_ASCII)).strip('-')[:60]}-{hashlib.sha256(data).hexdigest()[:12]}.jpg"


def _addition(loaded: LoadedProject, fresh: list[ResultEntry], photos: dict[str, list[str]]) -> _Addition:
    found = _Addition()
    newest = _newest(fresh)
    for entry in sorted(fresh, key=lambda e: (e.at, e.id)):
        pictures = photos.get(entry.line, []) if newest.get(entry.line) is entry else []
        found.results.append(_result(entry, pictures))
        _notice_conflict(loaded, entry, found)
    for entry in newest.values():
        _departure(loaded, entry, found)
    return found


def _newest(entries: Iterable[ResultEntry]) -> dict[str, ResultEntry]:
    """Return the newest answer of each line; a note is not an answer."""
    found: dict[str, ResultEntry] = {}
    for entry in sorted(entries, key=lambda e: (e.at, e.id)):
        if entry.answer != "note":
            found[entry.line] = entry
    return found


def _result(entry: ResultEntry, photos: list[str]) -> dict[str, Any]:
    values = {"line": entry.line, "answer": entry.answer, "value": entry.value, "unit": entry.unit if entry.value else ""}
    values |= {f"with {name}": text for name, text in entry.inputs.items()}
    values |= {"reason": entry.reason, "note": entry.note, "by": entry.by, "instrument": entry.instrument, "at": entry.at}
    values |= {"photos": ", ".join(photos), "entry": entry.id}
    kind = _KINDS.get(entry.line.partition(":")[0], "check")
    return {"kind": kind, "subject": entry.tag or entry.line, "values": {name: text for name, text in values.items() if text}}


def _notice_conflict(loaded: LoadedProject, entry: ResultEntry, found: _Addition) -> None:
    built = loaded.system.built
    for old in built.results if built is not None else ():
        differs = (old.value("answer"), old.value("value")) != (entry.answer, entry.value)
        if old.value("line") == entry.line and "note" not in (entry.answer, old.value("answer")) and differs:
            before = old.value("value") or old.value("answer")
            found.notices.append(
                f"{entry.line}: an earlier entry says {quoted(before)}, this one {quoted(entry.value or entry.answer)}; both are kept"
            )
            return


def _departure(loaded: LoadedProject, entry: ResultEntry, found: _Addition) -> None:
    built = loaded.system.built
    earlier = [d.built for d in (built.departures if built is not None else ()) if d.path == entry.path]
    if entry.answer == "built otherwise" and entry.path and entry.value:
        said = {"path": entry.path, "to": entry.value, "reason": entry.reason}
    elif entry.answer == "as drawn" and earlier and entry.permitted and earlier[-1] != entry.permitted:
        said = {"path": entry.path, "to": entry.permitted, "reason": "as drawn after all, by a later entry"}
    else:
        return
    if earlier and earlier[-1] == said["to"]:
        return
    departure = said | {"decided_by": entry.by, "date": entry.at[:10]}
    if _can_be_read(loaded, departure):
        found.departures.append({key: text for key, text in departure.items() if text})
    else:
        found.notices.append(f"{entry.path}: {quoted(entry.value)} cannot stand there; it is kept as a result, enter the departure by hand")


def _can_be_read(loaded: LoadedProject, departure: dict[str, str]) -> bool:
    """Try the departure alone: a value that the key does not take stays a result, so that nothing typed in the field is lost."""
    data = dict(loaded.file.data)
    data["built"] = {"departures": [{key: text for key, text in departure.items() if text}]}
    try:
        as_built(build_project(replace(loaded.file, data=data), loaded.folder))
    except ProblemsError:
        return False
    return True


def _require_readable(text: str, loaded: LoadedProject, addition: _Addition) -> None:
    """Read the new file before it replaces the old one: only ``built`` may differ, and it must hold what was added."""
    again = read_text(text, loaded.file.file)
    build_project(again, loaded.folder)
    others = {key: value for key, value in again.data.items() if key != "built"}
    built: Any = again.data.get("built")
    held = len(built.get("results", [])) if isinstance(built, dict) else 0
    had = len(loaded.system.built.results) if loaded.system.built is not None else 0
    if others != {key: value for key, value in loaded.file.data.items() if key != "built"} or held != had + len(addition.results):
        raise ProblemsError(
            [
                Problem(
                    loaded.file.file, 1, 1, "built", "the results cannot be put into this file; write its sections in lines, not in braces"
                )
            ]
        )


def _write_photos(folder: Path, photos: dict[str, bytes]) -> None:
    for name, content in photos.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def _replace_file(path: Path, text: str, old: ReadFile) -> None:
    """Put the new text in place of the old file at once; line ends and a byte order mark stay as they were."""
    before = path.read_bytes()
    mark = b"\xef\xbb\xbf" if before.startswith(b"\xef\xbb\xbf") else b""
    windows = "\r\n" in old.text
    plain = text.replace("\r\n", "\n")
    fresh = path.with_name(f".{path.name}.new")
    fresh.write_bytes(mark + (plain.replace("\n", "\r\n") if windows else plain).encode("utf-8"))
    os.replace(fresh, path)  # noqa: PTH105  Path.replace is the same call; this name says that it overwrites
