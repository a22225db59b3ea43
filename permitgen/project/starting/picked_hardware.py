"""Hardware that a new project takes from hardware files: what an entry says is not asked again, and the file names the entry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from permitgen.project.copied_file import mapping
from permitgen.project.hardware_files import NAMING_KEYS, read_hardware
from permitgen.project.starting.declarations import questions
from permitgen.project.starting.drafting import Branch, Leaf, Mark, leaves
from permitgen.project.starting.written_fields import fields_of
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted
from permitgen.reading.reader import ReadFile
from permitgen.reading.referenced_file import ReferencedFileError
from permitgen.reading.shared_files import shared_contents
from permitgen.reading.yaml_tree import tree_at

_SECTIONS = ("catalog", "equipment")


class PickError(ValueError):
    """A pick that cannot be taken; the message says why."""


@dataclass(frozen=True, slots=True)
class Pick:
    """An entry of a hardware file for a thing of the new file: its name there, the entry's name, and what the entry says."""

    thing: str
    entry: str
    file: ReadFile

    @property
    def says(self) -> dict[str, Any]:
        """The keys of the entry."""
        return mapping(mapping(self.file.data.get("catalog")).get(self.entry))


@dataclass(frozen=True, slots=True)
class Picked:
    """The hardware files of a new project, by the names that lead to them from its folder, and what was picked of them."""

    files: tuple[str, ...] = ()
    picks: tuple[Pick, ...] = field(default=())

    def offers(self) -> Iterator[tuple[str, str, str]]:
        """Yield key of the question, answer and place of every answer that an entry gives."""
        for pick in self.picks:
            for key in _plain_questions():
                for written in fields_of(key):
                    if written.path[0] in _SECTIONS and written.path[1] == pick.thing:
                        found = tree_at(pick.says, written.path[2:])
                        if isinstance(found, str):
                            line, column = pick.file.position(("catalog", pick.entry, *written.path[2:]))
                            yield key, found, f"{pick.file.file}:{line}:{column}"

    def put_into(self, file: Branch) -> None:
        """Let the draft name the entries in place of what they say.

        Raises:
            PickError: the draft has no such thing, or one of another kind.
        """
        for pick in self.picks:
            section = next((name for name in _SECTIONS if pick.thing in _branch(file, name).below), "")
            things = [name for each in _SECTIONS for name in _branch(file, each).below]
            if not section:
                raise PickError(f"the new file has nothing called {quoted(pick.thing)}{did_you_mean(pick.thing, things)}")
            thing = _branch(file, section).below[pick.thing]
            if isinstance(thing, Branch):
                _put(pick, section, thing, file)
        if self.files:
            file.below["hardware"] = Leaf(list(self.files), Mark.FOLLOWS)


def picked_hardware(folder: Path, files: tuple[str, ...], uses: Mapping[str, str]) -> Picked:
    """Read hardware files, named as the project in ``folder`` will name them; ``uses`` are names of entries by the thing.

    Raises:
        PickError: a file cannot be found, or no file has the entry.
        ProblemsError: a file cannot be read.
    """
    entries: dict[str, ReadFile] = {}
    for name in files:
        try:
            contents = shared_contents(folder, name)
        except ReferencedFileError as error:
            raise PickError(str(error)) from error
        for each, content in contents.items():
            read = read_hardware(content, (folder / each).as_posix())
            entries |= dict.fromkeys(mapping(read.data["catalog"]), read)
    for entry in uses.values():
        if entry not in entries:
            raise PickError(f"no hardware file has an entry {quoted(entry)}{did_you_mean(entry, entries)}")
    return Picked(files, tuple(Pick(thing, entry, entries[entry]) for thing, entry in uses.items()))


def _plain_questions() -> Iterator[str]:
    """Yield the questions that fill keys as they stand; what people say in one breath, and the layout, no entry answers."""
    yield from (key for key, question in questions().items() if not question.reads and not question.choices)


def _put(pick: Pick, section: str, thing: Branch, file: Branch) -> None:
    kind = thing.below.get("kind")
    wanted = kind.text if isinstance(kind, Leaf) else ""
    if wanted != pick.says.get("kind"):
        raise PickError(f"{quoted(pick.entry)} is of kind {pick.says.get('kind')}; {pick.thing} is of kind {wanted}")
    if section == "catalog":
        del _branch(file, "catalog").below[pick.thing]
        for path, leaf in list(leaves(_branch(file, "equipment"))):
            if path[-1] in NAMING_KEYS and leaf.text == pick.thing:
                _holder(_branch(file, "equipment"), path).below[path[-1]] = Leaf(pick.entry, Mark.FOLLOWS)
        if not _branch(file, "catalog").below:
            del file.below["catalog"]
        return
    for path, _ in list(leaves(thing)):
        if tree_at(pick.says, path) is not None:
            del _holder(thing, path).below[path[-1]]
    rest = {name: below for name, below in thing.below.items() if not isinstance(below, Branch) or any(True for _ in leaves(below))}
    thing.below = {"catalog": Leaf(pick.entry, Mark.FOLLOWS), **rest}


def _branch(file: Branch, name: str) -> Branch:
    found = file.below.get(name)
    return found if isinstance(found, Branch) else Branch()


def _holder(top: Branch, path: tuple[str, ...]) -> Branch:
    for step in path[:-1]:
        below = top.below[step]
        if isinstance(below, Branch):
            top = below
    return top
