"""The files of one project, packed so that another machine can work on it, and unpacked there.

Packed is the whole folder of the project, as its digest takes it, and what its files name above it.
What cannot be sent as it is (a pipe, a file that nobody may read, a link that leads out of the folder, more than any reader takes) is a
link that leads nowhere there: whoever reads it finds bad input, and what another machine finds bad is worked on here again.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from permitgen.package.attached_files import MOST_BYTES
from permitgen.package.shelf_folder import files_and_links
from permitgen.project.hardware_files import HARDWARE
from permitgen.project.place_files import PLACE
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_content
from permitgen.reading.referenced_file import ReferencedFileError, content_inside, resolve_inside
from permitgen.reading.regular_file import UnreadableFileError, content_of
from permitgen.reading.shared_files import ENDING, MOST_UP, UP, first_line, shared_contents

if TYPE_CHECKING:
    from permitgen.package.shelf_job import ShelfJob
    from permitgen.package.shelf_kept import ShelfTask

_CLIMBS = re.compile(rb"""(?:\.\./)+[^\n\r"'#,\]}]*""")
_FORMS = (HARDWARE.first_line, PLACE.first_line)
_LONGEST = 240
_MOST_IN_ALL = 2 * MOST_BYTES
_NOWHERE = "not-sent"


@dataclass(frozen=True, slots=True)
class Parcel:
    """A job with the bytes of its files and the texts of its links.

    They are named from a folder so far above the shelf that whatever a project may name lies below it; ``shelf`` leads from there to the
    shelf, so that every folder has its own name on the other machine, too.
    """

    job: ShelfJob
    shelf: str
    files: Mapping[str, bytes]
    links: Mapping[str, str]


class TooLargeError(Exception):
    """The files of a project are more than is sent to another machine."""


def packed(task: ShelfTask) -> Parcel:
    """Return a project with its files as they are now.

    Raises:
        TooLargeError: they are more than is sent.
    """
    top = _top(task.job.shelf)
    folder = task.folder
    found: dict[Path, bytes] = {}
    links: dict[str, str] = {}
    for path in files_and_links(folder, task.out):
        content = _content(folder, path)
        if content is None:
            links[path.relative_to(top).as_posix()] = _leads_to(path)
        else:
            found[path] = content
        _require_room(task, found)
    for path in [Path(os.path.normpath(each)) for each in _named_above(folder, found)]:
        if path.is_relative_to(top) and (content := _content(folder, path)) is not None:
            found[path] = content
            _require_room(task, found)
    files = {path.relative_to(top).as_posix(): content for path, content in found.items()}
    return Parcel(task.job, task.job.shelf.relative_to(top).as_posix(), files, links)


def _require_room(task: ShelfTask, found: Mapping[Path, bytes]) -> None:
    if sum(map(len, found.values())) > _MOST_IN_ALL:
        raise TooLargeError(task.job.file)


def unpacked(parcel: Parcel, folder: Path) -> ShelfJob:
    """Write the files of a parcel below a new folder, and return the job as it is to be done there.

    Raises:
        OSError: the disk refuses.
    """
    real = folder.resolve()
    for name, content in parcel.files.items():
        (real / name).parent.mkdir(parents=True, exist_ok=True)
        (real / name).write_bytes(content)
    for name, text in parcel.links.items():
        (real / name).parent.mkdir(parents=True, exist_ok=True)
        (real / name).symlink_to(text)
    return replace(parcel.job, shelf=real / parcel.shelf)


def _top(shelf: Path) -> Path:
    """Return the folder so far above the shelf that no project in it may name a file farther up."""
    return [shelf, *shelf.parents][: MOST_UP + 1][-1]


def _content(folder: Path, path: Path) -> bytes | None:
    """Return the bytes of a file; None where a link takes its place."""
    if path.is_dir():
        return None
    try:
        if path.is_symlink() and path.is_relative_to(folder):
            return content_inside(folder, path.relative_to(folder).as_posix(), MOST_BYTES)
        return content_of(path, MOST_BYTES)
    except (ReferencedFileError, UnreadableFileError):
        return None


def _leads_to(path: Path) -> str:
    if path.is_symlink():
        with suppress(OSError):
            return str(path.readlink())
    return _NOWHERE


def _named_above(folder: Path, files: Mapping[Path, bytes]) -> Iterator[Path]:
    """Yield the shared files above a project that its files name, with what those name beside them.

    A light reading: whatever a file of the project says behind ``../`` may name one. A name that is overlooked is bad input there.
    """
    for path, content in files.items():
        if path.suffix == ENDING and UP.encode() in content:
            said = dict.fromkeys(match.decode("utf-8", "replace").strip() for match in _CLIMBS.findall(content))
            yield from (found for text in said for base in dict.fromkeys((folder, path.parent)) for found in _shared(base, text))


def _shared(base: Path, text: str) -> Iterator[Path]:
    try:
        contents = shared_contents(base, text)
    except (ReferencedFileError, ProblemsError):
        return
    for name, content in contents.items():
        if first_line(content) not in _FORMS:  # nothing else above a project is read
            continue
        yield base / name
        beside = (base / name).parent
        yield from (beside / each for each in _texts_of(content) if _is_inside(beside, each))


def _is_inside(folder: Path, text: str) -> bool:
    try:
        return (folder / text).is_file() and bool(resolve_inside(folder, text))
    except (OSError, ValueError):  # no name of a file at all, or one that leads out
        return False


@lru_cache(maxsize=64)  # many projects share one such file
def _texts_of(content: bytes) -> tuple[str, ...]:
    try:
        return tuple(dict.fromkeys(_texts(read_content(content, "").data)))
    except ProblemsError:
        return ()


def _texts(tree: Any) -> Iterator[str]:
    if isinstance(tree, dict):
        tree = list(tree.values())
    if isinstance(tree, list):
        for value in tree:
            yield from _texts(value)
    elif isinstance(tree, str) and len(tree) <= _LONGEST:
        yield tree
