"""What in a package folder belongs to the user, carried from an old package to the new one so that it is never the only copy at risk.

Ours is what the old manifest names with the digest the file still has; everything else is the user's. Before the exchange each of
the user's files is a hard link in the new folder, too (a copy where the disk knows no links). After it, the old folder is emptied file
by file: ours are deleted, a link that the new folder has as well is let go, and whatever came in between is moved over.
"""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path, PurePosixPath

from permitgen.package.listed import MANIFEST, SIGNATURE, Listed, NotAPackageError, digest_of, listed_in, signs_a_folder

_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK, errno.EACCES)


class InTheWayError(OSError):
    """The user has something that cannot be carried over; the message says what."""


def carry(old: Path, new: Path, listed: Listed | None) -> list[tuple[str, str]]:
    """Give ``new`` every file of the user that lies in ``old``.

    Returns the files that had to take another name, because they are outputs that were edited or stand where the new package has
    a file: (name, name in the new folder).

    Raises:
        OSError: a file cannot be carried, or the disk refuses; ``old`` is untouched.
    """
    device = old.lstat().st_dev
    later, folders = [], []
    for name, is_folder in _entries(old):
        if is_folder:
            _carry_folder(old, new, name, listed, device)
            folders.append(name)
        elif _is_the_users(old, new, name, listed):
            if _is_taken(name, new, listed):
                later.append(name)
            else:
                _link(old / name, new / name)
    kept = [(name, _under_other_name(old / name, new, name)) for name in later]
    for name in reversed(folders):
        if (new / name).is_dir():
            shutil.copystat(old / name, new / name)
    return [pair for pair in kept if pair[1]]


def _carry_folder(old: Path, new: Path, name: str, listed: Listed | None, device: int) -> None:
    """Make a folder of the user in the new package; one in which only outputs lay is not."""
    if (old / name).lstat().st_dev != device:
        raise InTheWayError(errno.EXDEV, f"{name} in it lies on another disk; move it out of the package")
    if os.path.lexists(new / name) and not (new / name).is_dir():
        raise InTheWayError(errno.EEXIST, f"{name} in it is a folder, and the package has a file of that name; move it")
    if listed is None or not listed.holds(name):
        (new / name).mkdir(parents=True, exist_ok=True)


def _is_the_users(old: Path, new: Path, name: str, listed: Listed | None) -> bool:
    if name == SIGNATURE and _signs(old / name, listed):
        if listed is not None and (new / MANIFEST).read_bytes() == listed.manifest:
            _link(old / name, new / name)  # the same package again: it is signed still
        return False
    if listed is not None and signs_a_folder(old, name, listed.outputs) and not _is_same_manifest(old, new, name):
        return False  # it signed a folder that is another one now
    return name != MANIFEST and not (listed is not None and listed.is_ours(name, old / name))


def _is_same_manifest(old: Path, new: Path, signature: str) -> bool:
    """Say whether the manifest beside a signature is in the new package as it was."""
    manifest = PurePosixPath(signature).with_name(MANIFEST).as_posix()
    return (old / manifest).is_file() and (new / manifest).is_file() and digest_of(old / manifest) == digest_of(new / manifest)


def _is_taken(name: str, new: Path, listed: Listed | None) -> bool:
    return name == SIGNATURE or (listed is not None and name in listed.outputs) or os.path.lexists(new / name)


def _entries(folder: Path, inside: str = "") -> Iterator[tuple[str, bool]]:
    """Yield the name of everything in a folder and whether it is a folder, a folder before what is in it; links are not followed."""
    with os.scandir(folder / inside) as found:
        entries = sorted(found, key=lambda entry: entry.name)
    for entry in entries:
        name = f"{inside}/{entry.name}" if inside else entry.name
        is_folder = entry.is_dir(follow_symlinks=False)
        yield name, is_folder
        if is_folder:
            yield from _entries(folder, name)


def _signs(file: Path, listed: Listed | None) -> bool:
    """Say whether a signature is of this program and of this manifest."""
    from permitgen.package.signature import NotInstalledError, SignatureError, verify_manifest

    if listed is None or not stat.S_ISREG(file.lstat().st_mode):
        return False
    try:
        return verify_manifest(listed.manifest, file.read_bytes()).is_good
    except (SignatureError, NotInstalledError):
        return False


def _under_other_name(source: Path, folder: Path, name: str) -> str:
    """Carry a file whose name is taken under one that says so; empty where the same content is there already."""
    plain = PurePosixPath(name)
    digest = _short_digest(source)
    for number in range(1, 1000):
        mark = digest if number == 1 else f"{digest}-{number}"
        place = plain.with_name(f"{plain.stem[:200]}.kept-{mark}{plain.suffix[:20]}").as_posix()
        if not os.path.lexists(folder / place):
            _link(source, folder / place)
            return place
        if _is_same(source, folder / place):
            return ""
    raise InTheWayError(errno.EEXIST, f"{name} in it was kept too often; remove some of the kept files")


def _short_digest(path: Path) -> str:
    found = path.lstat().st_mode
    if stat.S_ISREG(found):
        return digest_of(path)[:8]
    said = os.readlink(path) if stat.S_ISLNK(found) else path.name  # noqa: PTH115 - Path.readlink would make it a path
    return hashlib.sha256(os.fsencode(said)).hexdigest()[:8]


def _is_same(one: Path, other: Path) -> bool:
    """Say whether two names lead to one file, or to two of the same content."""
    first, second = one.lstat(), other.lstat()
    if os.path.samestat(first, second):
        return True
    if stat.S_ISLNK(first.st_mode) and stat.S_ISLNK(second.st_mode):
        return one.readlink() == other.readlink()
    both = stat.S_ISREG(first.st_mode) and stat.S_ISREG(second.st_mode)
    return both and first.st_size == second.st_size and digest_of(one) == digest_of(other)


def _link(source: Path, place: Path) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    try:
        if os.link in os.supports_follow_symlinks:
            os.link(source, place, follow_symlinks=False)
            return
        if not source.is_symlink():
            place.hardlink_to(source)
            return
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
    if source.is_symlink():
        place.symlink_to(source.readlink())
    elif source.is_file():
        shutil.copy2(source, place)
    else:
        raise InTheWayError(errno.EPERM, f"{source.name} in it is not an ordinary file; move it out of the package")


def empty_old(old: Path, new: Path) -> None:
    """Take an old package away after ``new`` has taken its place; a file of the user that ``new`` lacks is moved over.

    Can be called again after it was cut off at any point: the manifest, which tells what is ours, goes last.

    Raises:
        OSError: something cannot be moved or removed; it is still there.
    """
    try:
        listed: Listed | None = listed_in(old)
    except NotAPackageError:
        listed = None
    _open_up(old)
    entries = list(_entries(old))
    # Before anything goes: a signature is known by the manifest beside it.
    signed = {name for name, _ in entries if listed is not None and signs_a_folder(old, name, listed.outputs)}
    signed = {name for name in signed if not _is_same_manifest(old, new, name)}
    for name in [name for name, is_folder in entries if not is_folder and name != MANIFEST]:
        is_ours = listed is not None and listed.is_ours(name, old / name)
        signs = name == SIGNATURE and _signs(old / name, listed)
        if not is_ours and not signs and name not in signed:
            _move_over(old / name, new, name, listed)
        (old / name).unlink(missing_ok=True)
    for name in [name for name, is_folder in reversed(entries) if is_folder]:
        if not (new / name).is_dir() and (listed is None or not listed.holds(name)):
            (new / name).mkdir(parents=True)  # a folder that came in between
        (old / name).rmdir()
    (old / MANIFEST).unlink(missing_ok=True)
    old.rmdir()


def _move_over(source: Path, new: Path, name: str, listed: Listed | None) -> None:
    """See to it that ``new`` has this file, under its name or a kept one; ``source`` may then go, if it is still there."""
    place = new / name
    if os.path.lexists(place) and _is_same(source, place):
        if not os.path.samestat(source.lstat(), place.lstat()):
            source.replace(place)  # a copy has another owner
    elif _is_taken(name, new, listed):
        _under_other_name(source, new, name)
    else:
        place.parent.mkdir(parents=True, exist_ok=True)
        source.rename(place)


def discard(tree: Path) -> None:
    """Take away a new folder that never took its place: everything in it is ours, a copy, or a second name of a user's file."""
    if not tree.is_dir():
        return
    _open_up(tree)
    shutil.rmtree(tree)


def _open_up(tree: Path) -> None:
    """Permit changes in the folders of a tree that is to go; those of the user's may be read-only."""
    for folder in (tree, *(tree / name for name, is_folder in _entries(tree) if is_folder)):
        with suppress(OSError):  # not ours to change: then removing what is in it says so
            folder.chmod(folder.lstat().st_mode | stat.S_IRWXU)
