"""Reads what an ordinance states beside rows of provisions: ``adds``, ``tables``, ``factors``, ``labels``, ``marks``, ``notes``.

Names of kinds, rules and labels belong to the floors above and are compared there; here each part has its shape and its numbers.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple, TypeVar

from permitgen.code.data_files import table_names
from permitgen.code.edition import Edition
from permitgen.code.local_requirement import AmendedCell, LabelProfile, LocalAdditions, LocalFactor, LocalLabels, LocalRequirement
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, quoted
from permitgen.reading.reader import ReadFile
from permitgen.reading.yaml_tree import Tree, tree_at

LONGEST_TEXT = 200
KEYS = ("adds", "tables", "factors", "labels", "marks", "notes")
_NUMBER = re.compile(r"[0-9]{1,12}(\.[0-9]{1,12})?")
_COLORS = re.compile(r"[a-z]+ on [a-z]+")
_LARGEST_LETTERS_IN = 12.0

Where = tuple[str | int, ...]
T = TypeVar("T")


class _Form(NamedTuple):
    """The keys of one form of requirement: words, lists of words, numbers above zero."""

    words: tuple[str, ...]
    lists: tuple[str, ...]
    numbers: tuple[str, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        return "says", *self.words, *self.lists, *self.numbers


_FORMS: Mapping[str, _Form] = {
    "distance": _Form(("of", "from"), (), ("at_least_ft",)),
    "place": _Form(("of",), ("not_in",), ()),
    "pathways": _Form((), (), ("pathways_on_each_roof_plane", "width_in")),
    "roof edges": _Form((), ("roof_edges",), ("from_roof_edge_in",)),
}
# The key by which a form is told, and the field of its provision for each number.
_TOLD_BY = {"from": "distance", "not_in": "place", "pathways_on_each_roof_plane": "pathways", "roof_edges": "roof edges"}
_FIELDS = {"pathways_on_each_roof_plane": "smallest_count"}


def additions_of(read: ReadFile, ordinance: str, problems: list[Problem]) -> LocalAdditions:
    """Return what stands under the keys of this page; each fault is added to ``problems``."""
    reader = _Reader(read, problems)
    return LocalAdditions(
        requirements=tuple(reader.requirements(ordinance)),
        cells=tuple(reader.cells()),
        factors=tuple(reader.factors()),
        labels=reader.labels(),
        notes=reader.texts(("notes",)) if "notes" in read.data else (),
    )


class _Reader:
    """Reads one file; every mistake is noted and reading goes on."""

    def __init__(self, read: ReadFile, problems: list[Problem]) -> None:
        self.read = read
        self.problems = problems

    def complain(self, where: Where, message: str, *, at_key: bool = False) -> None:
        self.problems.append(self.read.problem(where, message, at_key=at_key))

    def mapping(self, where: Where, keys: tuple[str, ...] = ()) -> dict[str, Tree]:
        """Return what stands at ``where`` as a mapping; other keys than ``keys`` are refused, where some are given."""
        found = tree_at(self.read.data, where)
        if not isinstance(found, dict) or not found:
            self.complain(where, f"expected {', '.join(keys)}" if keys else "expected names with what each is", at_key=True)
            return {}
        for key in [key for key in found if keys and key not in keys]:
            self.complain((*where, key), f"not read here{did_you_mean(key, keys)} (keys: {', '.join(keys)})", at_key=True)
        return found

    def text(self, where: Where) -> str:
        found = tree_at(self.read.data, where)
        if isinstance(found, str) and 0 < len(found) <= LONGEST_TEXT and "\n" not in found:
            return found
        self.complain(where, f"expected one line of at most {LONGEST_TEXT} characters")
        return ""

    def texts(self, where: Where) -> tuple[str, ...]:
        found = tree_at(self.read.data, where)
        if isinstance(found, str):
            return (self.text(where),)
        if not isinstance(found, list) or not found:
            self.complain(where, "expected one text or a list of them")
            return ()
        return tuple(self.text((*where, index)) for index in range(len(found)))

    def number(self, where: Where) -> float:
        found = tree_at(self.read.data, where)
        if isinstance(found, str) and _NUMBER.fullmatch(found) is not None and float(found) > 0:
            return float(found)
        shown = quoted(found) if isinstance(found, str) else "this"
        self.complain(where, f"{shown} is not a number above zero; the unit is in the name of the field")
        return 0.0

    def requirements(self, ordinance: str) -> Iterator[LocalRequirement]:
        for section in self.mapping(("adds",)) if "adds" in self.read.data else ():
            found = self.requirement(ordinance, section)
            if found is not None:
                yield found

    def requirement(self, ordinance: str, section: str) -> LocalRequirement | None:
        where = ("adds", section)
        given = tree_at(self.read.data, where)
        form = next((_TOLD_BY[key] for key in given if key in _TOLD_BY), None) if isinstance(given, dict) else None
        if form is None:
            self.complain(where, f"expected a requirement that says one of: {', '.join(_TOLD_BY)}", at_key=True)
            return None
        shape = _FORMS[form]
        found = self.mapping(where, shape.keys)
        for key in [key for key in shape.keys if key not in found]:
            self.complain(where, f"{key} is missing; it has {', '.join(shape.keys)}", at_key=True)
        words = {key: self.text((*where, key)) for key in ("says", *shape.words) if key in found}
        lists = {key: self.texts((*where, key)) for key in shape.lists if key in found}
        fields = {_FIELDS.get(key, key): self.number((*where, key)) for key in shape.numbers if key in found}
        return LocalRequirement(
            ordinance=ordinance,
            section=section,
            says=words.get("says", ""),
            form=form,
            of=words.get("of", ""),
            beside=words.get("from", ""),
            not_in=lists.get("not_in", ()),
            roof_edges=lists.get("roof_edges", ()),
            fields=MappingProxyType(fields),
        )

    def cells(self) -> Iterator[AmendedCell]:
        for table in self.mapping(("tables",)) if "tables" in self.read.data else ():
            if table not in table_names():
                self.complain(("tables", table), f"no table is called that{did_you_mean(table, table_names())}", at_key=True)
                continue
            for edition in self.mapping(("tables", table)):
                yield from self.cells_of(table, edition)

    def cells_of(self, table: str, edition: str) -> Iterator[AmendedCell]:
        where = ("tables", table, edition)
        known = [member.value for member in Edition]
        cells = tree_at(self.read.data, where)
        if edition not in known:
            self.complain(where, f"not an edition{did_you_mean(edition, known)}", at_key=True)
        elif not isinstance(cells, list) or not cells:
            self.complain(where, "expected a list of cells: [{row: …, column: …, value: …}]", at_key=True)
        else:
            for index in range(len(cells)):
                found = self.mapping((*where, index), ("row", "column", "value"))
                if found.keys() >= {"row", "column", "value"}:
                    texts = [self.text((*where, index, key)) for key in ("column", "value")]
                    value = float(texts[1]) if _NUMBER.fullmatch(texts[1]) else texts[1]
                    row = self.texts((*where, index, "row"))
                    yield AmendedCell(table=table, column_of=edition, row=row, column=texts[0], value=value)
                elif found:
                    self.complain((*where, index), "expected row, column and value", at_key=True)

    def factors(self) -> Iterator[LocalFactor]:
        for rule in self.mapping(("factors",)) if "factors" in self.read.data else ():
            where = ("factors", rule)
            found = self.mapping(where, ("computed", "limit"))
            numbers = {key: self.number((*where, key)) for key in ("computed", "limit") if key in found}
            if 1.0 in numbers.values():
                self.complain(where, "a factor of 1 multiplies nothing")
            yield LocalFactor(rule=rule, **numbers)

    def labels(self) -> LocalLabels:
        given = self.mapping(("labels",), ("required", "struck")) if "labels" in self.read.data else {}
        required, struck = (self.texts(("labels", key)) if key in given else () for key in ("required", "struck"))
        marks = self.read.data.get("marks")
        if marks is not None and (not isinstance(marks, list) or not marks):
            self.complain(("marks",), "expected a list of marks: [{labels: […], least_letters_in: …}]", at_key=True)
            marks = None
        profiles = tuple(self.profile(("marks", index)) for index in range(len(marks))) if isinstance(marks, list) else ()
        return LocalLabels(required=required, struck=struck, profiles=profiles)

    def profile(self, where: Where) -> LabelProfile:
        found = self.mapping(where, ("labels", "least_letters_in", "colors", "words", "material"))
        if found and ("labels" not in found or len(found) == 1):
            self.complain(where, "expected labels, and what is asked of them: least_letters_in, colors, words or material", at_key=True)
        profile = LabelProfile(
            labels=self.optional(found, where, "labels", self.texts, ()),
            least_letters_in=self.optional(found, where, "least_letters_in", self.number, 0.0),
            colors=self.optional(found, where, "colors", self.text, ""),
            words=self.optional(found, where, "words", self.texts, ()),
            material=self.optional(found, where, "material", self.text, ""),
        )
        if profile.least_letters_in > _LARGEST_LETTERS_IN:
            self.complain((*where, "least_letters_in"), f"no label has letters above {_LARGEST_LETTERS_IN:g} in")
        if profile.colors and _COLORS.fullmatch(profile.colors) is None:
            self.complain((*where, "colors"), f"{quoted(profile.colors)}: expected text and background, as white on red")
        return profile

    def optional(self, found: Mapping[str, Tree], where: Where, key: str, read: Callable[[Where], T], without: T) -> T:
        return read((*where, key)) if key in found else without
