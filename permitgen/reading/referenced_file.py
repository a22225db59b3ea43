"""Files the project names (photos, letters, data sheets) must lie inside the project folder."""

from __future__ import annotations

import re
from pathlib import Path, PurePosixPath

from permitgen.reading.characters import refused_character
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.reading.regular_file import UnreadableFileError, content_of

_LONGEST_NAME = 240
_DRIVE = re.compile(r"[A-Za-z]:")


class ReferencedFileError(ValueError):
    """A file named in the project is missing, or lies outside the project folder; the message says which."""


def is_folder_inside(folder: Path, text: str) -> bool:
    """Whether ``text`` names a folder that lies in ``folder``, also when links are followed.

    Raises:
        ReferencedFileError: the name is none that may be looked for.
    """
    name = _plain_name(text)
    try:
        inside = folder.resolve(strict=True)
        found = (inside / name).resolve()
    except (OSError, RuntimeError):  # RuntimeError: a loop of links, before Python 3.13
        return False
    return found.is_relative_to(inside) and found.is_dir()


def resolve_inside(folder: Path, text: str) -> Path:
    """Return the absolute path of the file ``text`` names, relative to ``folder``, with ``/`` between its parts.

    Raises:
        ReferencedFileError: the path is absolute, climbs out, leads out through a link, or names no file.
    """
    name = _plain_name(text)
    try:
        inside = folder.resolve(strict=True)
        found = (inside / name).resolve()
    except (OSError, RuntimeError) as error:  # RuntimeError: a loop of links, before Python 3.13
        raise ReferencedFileError(f"{quoted(text)} cannot be followed; name a file inside the project folder") from error
    if not found.is_relative_to(inside):
        raise ReferencedFileError(f"{quoted(text)} leads out of the project folder through a link; copy the file into the folder")
    if found.is_file():
        return found
    if found.is_dir():
        raise ReferencedFileError(f"{quoted(text)} is a folder; a file was expected")
    if found.exists():
        raise ReferencedFileError(f"{quoted(text)} is a pipe, a socket or a device; a plain file was expected")
    raise ReferencedFileError(f"there is no file {quoted(text)} in the project folder{_nearest(inside, name)}")


def content_inside(folder: Path, text: str, most: int) -> bytes:
    """Return the bytes of the file that ``resolve_inside`` finds, at most ``most`` of them.

    Raises:
        ReferencedFileError: as ``resolve_inside``; or the file cannot be read or is larger.
    """
    try:
        return content_of(resolve_inside(folder, text), most)
    except UnreadableFileError as error:
        raise ReferencedFileError(f"{quoted(text)}: {error}") from error


def _plain_name(text: str) -> PurePosixPath:
    if not text or len(text) > _LONGEST_NAME:
        raise ReferencedFileError(f"the name of a file was expected, 1 to {_LONGEST_NAME} characters")
    refusal = refused_character(text)
    if refusal is not None or any(character in text for character in "\t\n\r"):
        raise ReferencedFileError(refusal or "the name of a file is one line without tabs")
    if "\\" in text:
        raise ReferencedFileError(f'{quoted(text)}: separate folders with "/"')
    name = PurePosixPath(text)
    if name.is_absolute() or _DRIVE.match(text):
        raise ReferencedFileError(
            f'{quoted(text)} is an absolute path; name a file inside the project folder, for example "photos/{name.name}"'
        )
    if ".." in name.parts:
        raise ReferencedFileError(
            f'{quoted(text)} lies outside the project folder; copy the file into it, for example as "photos/{name.name}"'
        )
    return name


def _nearest(inside: Path, name: PurePosixPath) -> str:
    parent = inside / name.parent
    if not parent.is_dir():
        return ""
    try:
        names = sorted(entry.name for entry in parent.iterdir() if entry.is_file())
    except OSError:
        return ""
    return did_you_mean(str(name), [str(name.parent / entry) for entry in names])
