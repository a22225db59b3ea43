"""The memory of departments: what their jurisdiction files keep, and what the comments of a project add to the file of its department."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen.package.changed_text import difference_of, write_changed
from permitgen.project.asked_file import Kept, memory_of, with_demand
from permitgen.project.copied_file import mapping
from permitgen.project.place_files import PLACE
from permitgen.project.written_answer import NoPlaceError
from permitgen.reading.characters import decode
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import LARGEST_BYTES, file_content
from permitgen.reading.shared_files import ENDING, first_line, read_shared, shown_beside
from permitgen.views.asked import Remembered, remembered

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.package.opened_project import OpenedProject


@dataclass(frozen=True, slots=True)
class Memory:
    """What one department asked for, by the name and office that its file gives it."""

    file: str
    name: str
    authority: str
    rows: tuple[Remembered, ...]


@dataclass(frozen=True, slots=True)
class KeptDemands:
    """What the comments of a project change in the file of its department: its text ``before`` and ``after``; ``count`` demands are new."""

    path: Path
    file: str
    before: str
    after: str
    count: int

    @property
    def difference(self) -> str:
        """The unified difference of the jurisdiction file, empty where nothing changes it."""
        return difference_of(self.before, self.after, self.file, "with what was asked for")


def memories_in(place: Path) -> tuple[Memory, ...]:
    """Return the memory of a jurisdiction file, or of every one below a folder, in the order of their names.

    Raises:
        ProblemsError: a file cannot be read, or is no jurisdiction file (of those below a folder, only what is one is read).
    """
    return tuple(_memory(path, content) for path, content in _jurisdiction_files(place))


def _jurisdiction_files(place: Path) -> Iterator[tuple[Path, bytes]]:
    if not place.is_dir():
        yield place, file_content(place, LARGEST_BYTES)
        return
    for path in sorted(place.rglob(f"*{ENDING}")):
        if path.is_file() and not path.is_symlink() and path.stat().st_size <= LARGEST_BYTES:
            content = file_content(path, LARGEST_BYTES)
            if first_line(content) == PLACE.first_line:
                yield path, content


def _memory(path: Path, content: bytes) -> Memory:
    read = read_shared(content, path.as_posix(), PLACE)
    told = mapping(read.data.get("jurisdiction"))
    rows = tuple(remembered(each) for each in memory_of(read))
    return Memory(path.as_posix(), str(told.get("name", path.stem)), str(told.get("authority", "")), rows)


def demands_kept(opened: OpenedProject) -> KeptDemands:
    """Return what the comments of a project that say ``keep:`` add to the file of its department; nothing is written.

    Raises:
        ProblemsError: no comment says what to keep, or the file has no place for it.
    """
    name = opened.loaded.models.jurisdiction.file
    comments = opened.loaded.system.review_comments
    kept = [
        Kept(each.keep, opened.loaded.system.project.number, each.date, each.sheet or each.answer)
        for each in comments
        if each.keep is not None
    ]
    if not kept:
        raise ProblemsError(
            [opened.loaded.file.problem(("plan_review",), "no comment says what of it is to be kept; expected keep: below one")]
        )
    if not name:
        says = "the project names no jurisdiction file in which it could be kept; expected file:"
        raise ProblemsError([opened.loaded.file.problem(("jurisdiction",), says, at_key=True)])
    path, shown = opened.loaded.folder / name, shown_beside(opened.loaded.file.file, name)
    before = after = decode(file_content(path, LARGEST_BYTES))
    count = 0
    for each in kept:
        try:
            changed = with_demand(after, each)
        except NoPlaceError as error:
            raise ProblemsError([Problem(shown, 1, 1, "", f'"{each.demand.about}" {error}')]) from error
        count += changed != after
        after = changed
    return KeptDemands(path, shown, before, after, count)


def write_demands(kept: KeptDemands) -> None:
    """Write the jurisdiction file with the demands in place of the one they were taken into.

    Raises:
        ProblemsError: the file was changed meanwhile.
        OSError: it cannot be written; it is then as it was.
    """
    write_changed(kept.path, kept.file, kept.before, kept.after, "the comments were read")
