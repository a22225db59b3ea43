"""Which field of the project file each question writes, so that an answer is read as the file itself is read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import TypeAdapter, ValidationError, WithJsonSchema
from pydantic.fields import FieldInfo

from permitgen.project.fields import UNKNOWN, Section, words_for_nothing
from permitgen.project.messages import field_at, problem_message, section_at
from permitgen.project.starting.declarations import parts, tags

Path = tuple[str, ...]
_TAG = re.compile("<([A-Z_]+)>")
_COUNTED = {"<n>": "1", "<letter>": "A", "<place>": "1"}


@dataclass(frozen=True, slots=True)
class WrittenField:
    """A field of a section; ``part`` is what a question that is taken apart writes there."""

    path: Path
    section: type[Section] | None
    field: FieldInfo
    part: str

    def read(self, value: Any) -> Any:
        """Read a value as the project file does.

        Raises:
            ValueError: what the project file says of it.
        """
        try:
            return _adapter(self.field).validate_python(value)
        except ValidationError as error:
            raise ValueError("; ".join(problem_message(each, self.path) for each in error.errors(include_url=False))) from error

    @property
    def examples(self) -> tuple[str, ...]:
        """How values of the field are written, as its schema shows them."""
        schemas = (each.json_schema for each in _metadata(self.field) if isinstance(each, WithJsonSchema))
        return tuple(example for schema in schemas if schema for example in schema.get("examples", ()))

    @property
    def words(self) -> tuple[str, ...]:
        """The words *none* and *unknown* as far as the section reads them itself."""
        return words_for_nothing(self.section).get(self.path[-1], ()) if self.section is not None else ()

    @property
    def takes_unknown(self) -> bool:
        """Whether the file may say ``unknown`` here, so that nothing is read or chosen in its place."""
        if UNKNOWN in self.words:
            return True
        try:
            return self.read(UNKNOWN) is None
        except ValueError:
            return False


@cache
def fields_of(key: str) -> tuple[WrittenField, ...]:
    """Return the fields that the answer to a question goes to; none for a question about the layout alone."""
    found = {}
    for path, text in _leaves():
        asked, _, part = text.removeprefix("=").partition(".")
        if text.startswith("=") and asked == key:
            found[path] = _field(path, part)
    return tuple(found.values())


def _field(path: Path, part: str) -> WrittenField:
    field = field_at(_kinds(), path)
    if field is None and path[-1].isdecimal() and (listed := field_at(_kinds(), path[:-1])) is not None:
        field = FieldInfo.from_annotation(get_args(listed.annotation)[0])
    if field is None:
        raise LookupError(f"parts.yaml writes {'.'.join(path)}, which the project file does not have")
    section = section_at(_kinds(), path)
    return WrittenField(path, section if section is not None and issubclass(section, Section) else None, field, part)


def _metadata(field: FieldInfo) -> Iterator[Any]:
    """Yield what a field says of its value: beside its type, or within a choice of types."""
    yield from field.metadata
    for kind in get_args(field.annotation):
        yield from getattr(kind, "__metadata__", ())


def _adapter(field: FieldInfo) -> TypeAdapter[Any]:
    kind: Any = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    return TypeAdapter(kind)


@cache
def _leaves() -> tuple[tuple[Path, str], ...]:
    return tuple(leaf for part in parts() for leaf in _below(part.writes, ()))


def _below(tree: Any, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(tree, Mapping):
        for key, value in tree.items():
            yield from _below(value, (*path, _named(key)))
    elif isinstance(tree, list):
        for index, value in enumerate(tree):
            yield from _below(value, (*path, str(index)))
    else:
        yield path, tree.replace("<n>", "1")


def _named(key: str) -> str:
    """Return a key with a tag that it can be: which one does not matter, as its kind does not change."""
    for written, stands_for in _COUNTED.items():
        key = key.replace(written, stands_for)
    return _TAG.sub(lambda found: tags()[found[1]][-1][1], key)


@cache
def _kinds() -> dict[str, Any]:
    """Return the data that tells the kind of each entry, as ``section_at`` asks for it."""
    data: dict[str, Any] = {"catalog": {}, "equipment": {}}
    for path, text in _leaves():
        if len(path) > 1 and path[0] in data:
            entry = data[path[0]].setdefault(path[1], {})
            if path[2:] == ("kind",):
                entry["kind"] = text
    return data
