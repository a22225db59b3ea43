"""The stated facts of a project file that no rule consumed and no document prints: a technician sees what had no effect.

Measured, not listed by hand: every rule runs and every document is put into words while the system records what is read of it.
A fact of the file is read where a number that stands on its line was read, or a slot of the system that changes with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from permitgen.project.hardware_files import NAMING_KEYS
from permitgen.project.load import LoadedProject, build_project
from permitgen.project.messages import choices_at, is_asked_for
from permitgen.project.sections.hardware_notes import NOTES
from permitgen.project.sections.project_file import sections_by_tag
from permitgen.reading.problems import ProblemsError
from permitgen.system.read_facts import ReadRecord, Slot, recorded, slots_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject

Path = tuple[str | int, ...]
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_ANSWERS = {"yes": "no", "no": "yes", "true": "no", "false": "yes"}
_BY_TAG = sections_by_tag()
# Read by the package before a rule runs (the code in force, other files), or printed as it stands.
_OF_THE_PACKAGE = {
    ("format",),
    ("attachments",),
    ("forms",),
    ("sent",),
    ("inspections",),
    ("jurisdiction", "submission"),
    ("jurisdiction", "asked"),
    ("plan_review",),
    ("hardware",),
    ("built",),
    ("labels",),
    ("jurisdiction", "edition"),
    ("jurisdiction", "fire_code"),
    ("jurisdiction", "amendments"),
    ("jurisdiction", "file"),
    ("site", "climate", "table"),
    ("site", "climate", "station"),
}
_REVISIONS = ("project", "revisions")
_ENTRY_DEPTH = 2


@dataclass(frozen=True, slots=True)
class UnreadFact:
    """A fact as it stands in the file; ``key`` is its path."""

    file: str
    line: int
    column: int
    key: str
    value: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column} {self.key}: {self.value}"


def unread_facts(opened: OpenedProject) -> tuple[UnreadFact, ...]:
    """Return the stated facts without effect on findings, sizes and documents, in the order of the file."""
    loaded = opened.loaded
    fresh = replace(opened, loaded=replace(loaded, system=replace(loaded.system)), before=None)
    with recorded(fresh.loaded.system) as record:
        _judge_and_say(fresh)
    facts = dict(stated_facts(loaded.file.data))
    found = _Effects(loaded, record).without(list(facts))
    return tuple(_unread(loaded, path, facts[path]) for path in sorted(found, key=loaded.file.position))


def _judge_and_say(opened: OpenedProject) -> None:
    """Run every rule, and put into words what the documents say."""
    from permitgen.package.calculation_job import calculation_of
    from permitgen.package.field_and_record import checklist_lines_of, record_alone
    from permitgen.package.material_job import material_list_of_project
    from permitgen.package.placard_job import placards_due
    from permitgen.package.plan_set_job import drawn_plan_set
    from permitgen.views.findings import findings_of

    findings_of(opened.evaluation, with_inapplicable=True)
    placards_due(opened)
    drawn_plan_set(opened)
    calculation_of(opened)
    checklist_lines_of(opened)
    record_alone(opened, listed=())
    material_list_of_project(opened)


def stated_facts(tree: Any, at: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Yield the place and value of every fact of a file: a single value, or a list of single values or of points."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            is_note = len(at) == _ENTRY_DEPTH and at[0] in ("catalog", "equipment") and key in NOTES
            is_paper = at[:2] == _REVISIONS and key in ("file", "approved")
            if (*at, key) not in _OF_THE_PACKAGE and not is_note and not is_paper:
                yield from stated_facts(value, (*at, key))
    elif isinstance(tree, list) and any(isinstance(part, dict) for part in tree):
        for index, value in enumerate(tree):
            yield from stated_facts(value, (*at, index))
    elif tree is not None:
        yield at, tree


class _Effects:
    """What each fact of a file reaches: found by taking it away, or saying otherwise, and building the system again.

    Most facts are tried together with one fact of each other part of the file, whose slots lie apart; what is found to reach nothing
    is tried once more by itself.
    """

    def __init__(self, loaded: LoadedProject, record: ReadRecord) -> None:
        self._loaded = loaded
        self._record = record
        # What came from the field is no fact of the file, and is in neither of the two systems that are compared.
        self._edition = str(loaded.system.jurisdiction.edition)
        self._slots = slots_of(build_project(loaded.file, loaded.folder, edition=self._edition).system)

    def without(self, facts: Sequence[Path]) -> list[Path]:
        """Return those of ``facts`` that reach nothing that was read."""
        file = self._loaded.file
        lines = self._record.lines
        rest = [path for path in facts if (file.file_of(path), *file.position(path)) not in lines and not is_asked_for(file.data, path)]
        rest = [path for round_ in self._rounds(rest) for path in self._left_of(round_)]
        return [path for path in rest if not self._reaches(path)]

    def _rounds(self, facts: Sequence[Path]) -> Iterator[list[Path]]:
        parts = _parts_of(self._loaded.file.data)
        by_part: dict[Path, list[Path]] = {}
        for path in facts:
            by_part.setdefault(parts.get(path[:2], path[:1]), []).append(path)
        for together in zip_longest(*by_part.values()):
            yield [path for path in together if path is not None]

    def _left_of(self, facts: list[Path]) -> list[Path]:
        """Return those of a round whose part shows no change that was read."""
        other = self._built(without_facts(self._loaded.file.data, facts))
        if other is None:
            half = len(facts) // 2
            return [*self._left_of(facts[:half]), *self._left_of(facts[half:])] if half else facts
        read = [slot for slot in _differences(self._slots, slots_of(other.system)) if self._record.holds(slot)]
        tags = {slot.owner[1] for slot in read if len(slot.owner) > 1} | {slot.owner[0] for slot in read if slot.owner}
        return [path for path in facts if not tags & self._owners(path)]

    def _owners(self, path: Path) -> set[str]:
        """Return where the slots of a fact stand: at its tag, or at the tags of the equipment that its catalog entry describes."""
        if path[0] != "catalog":
            return {str(path[1] if path[0] in _BY_TAG else path[0])}
        entries: Any = self._loaded.file.data.get("equipment", {})
        return {tag for tag, entry in entries.items() if path[1] in (entry.get(key) for key in NAMING_KEYS)}

    def _reaches(self, path: Path) -> bool:
        """Whether a fact by itself reaches what was read; without it, or with another in its place; or the file needs it."""
        others = _otherwise(self._loaded.file.data, path)
        without = self._built(next(others))
        return without is None or self._shows(without) or any(map(self._shows, map(self._built, others)))

    def _shows(self, other: LoadedProject | None) -> bool:
        """Whether a slot that was read differs in another system."""
        return other is not None and any(map(self._record.holds, _differences(self._slots, slots_of(other.system))))

    def _built(self, data: dict[str, Any]) -> LoadedProject | None:
        try:
            return build_project(replace(self._loaded.file, data=data), self._loaded.folder, edition=self._edition)
        except ProblemsError:
            return None


def _parts_of(data: dict[str, Any]) -> dict[Path, Path]:
    """Return, by entry, the part of the file to which it belongs: equipment goes with the catalog entries that it names."""
    part: dict[Path, Path] = {(section, tag): (section, tag) for section in _BY_TAG for tag in data.get(section, {})}
    for tag, entry in data.get("equipment", {}).items():
        named = [("catalog", entry[key]) for key in NAMING_KEYS if isinstance(entry.get(key), str)]
        joined = {part[each] for each in (("equipment", tag), *named) if each in part}
        first = min(joined, key=str)
        part = {each: first if whole in joined else whole for each, whole in part.items()}
    return part


def _differences(before: dict[Slot, Any], after: dict[Slot, Any]) -> Set[Slot]:
    return {slot for slot in before.keys() | after.keys() if before.get(slot) != after.get(slot)}


def _otherwise(data: dict[str, Any], path: Path) -> Iterator[dict[str, Any]]:
    """Yield the file without a fact, then with another in its place."""
    yield _changed(data, path, None)
    value = _at(data, path)
    if isinstance(value, str):
        for other in _other_texts(value):
            yield _changed(data, path, other)
    for choice in choices_at(data, path):
        if choice != value:
            yield _changed(data, path, choice)


def _other_texts(text: str) -> Iterator[str]:
    answer = _ANSWERS.get(text.strip().casefold())
    if answer is not None:
        yield answer
    elif _NUMBER.search(text):
        yield _NUMBER.sub(lambda found: f"{float(found[0]) * 2 + 1:g}", text, count=1)
    else:
        yield f"{text} otherwise"


def _at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


def without_facts(data: Any, facts: Sequence[Path]) -> Any:
    """Return the file without some of its facts; what they do not touch is not copied."""
    for path in sorted(facts, key=lambda path: [(str(type(step)), step) for step in path], reverse=True):
        data = _changed(data, path, None)
    return data


def _changed(tree: Any, path: Path, value: str | None) -> Any:
    """Return a copy with another value at ``path``, or without it."""
    step: Any = path[0]
    changed = tree.copy()
    if len(path) > 1:
        changed[step] = _changed(tree[step], path[1:], value)
    elif value is None:
        del changed[step]
    else:
        changed[step] = value
    return changed


def _unread(loaded: LoadedProject, path: Path, value: Any) -> UnreadFact:
    line, column = loaded.file.position(path)
    text = value if isinstance(value, str) else str(value)
    return UnreadFact(loaded.file.file_of(path), line, column, ".".join(map(str, path)), " ".join(text.split()))
