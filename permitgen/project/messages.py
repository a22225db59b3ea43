"""Turns what the models refuse into messages with a place in the file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, get_args, get_origin

from pydantic import BaseModel, WithJsonSchema
from pydantic.fields import FieldInfo

from permitgen.project.sections.project_file import ProjectFile
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile

Location = tuple[str | int, ...]
Where = Callable[[Location], Location]


def problems_of(errors: Sequence[Any], file: ReadFile, where: Where) -> list[Problem]:
    """Return one problem per error; ``where`` maps a location in the merged data to the place it was written.

    Two errors at one place (a fact of a catalog entry seen from two pieces of equipment) are one problem.
    """
    found: dict[tuple[Location, str], Problem] = {}
    for error in errors:
        location = _location(tuple(error["loc"]))
        message, at_key = _message(error, location)
        written = where(location)
        found.setdefault((written, message), file.problem(written, message, at_key=at_key))
    return list(found.values())


def problem_message(error: Any, path: Location) -> str:
    """Return what an error says of a value that is read alone, as it would stand at ``path`` of a file."""
    return _message({**error, "loc": (*path, *error["loc"])}, (*path, *error["loc"]))[0]


def _location(loc: Location) -> Location:
    """Drop the tag of a union, which is not in the data: it follows the name of a catalog or equipment entry."""
    if len(loc) > 2 and loc[0] in ("catalog", "equipment"):
        return (*loc[:2], *loc[3:])
    return loc


def _message(error: Any, location: Location) -> tuple[str, bool]:
    kind = error["type"]
    if kind == "extra_forbidden":
        return _unknown_key(str(location[-1]), keys_of(tuple(error["loc"])[:-1])), True
    if kind == "missing":
        return f'the key "{location[-1]}" is missing', True
    if kind == "union_tag_not_found":
        return 'the key "kind" is missing', True
    if kind == "union_tag_invalid":
        return _unknown_kind(str(error["ctx"]["tag"])), False
    return _PLAIN.get(kind, error["msg"].removeprefix("Value error, ")), False


# Names of earlier versions of the project file, each with the one that took its place.
_RENAMED = {"licence": "license"}
_RENAMED_KINDS = {"gateway": "energy_monitor"}


def _unknown_key(name: str, known: list[str]) -> str:
    if _RENAMED.get(name) in known:
        return f'the key "{name}" is now called "{_RENAMED[name]}"'
    return f'unknown key "{name}"{did_you_mean(name, known)}'


def _unknown_kind(name: str) -> str:
    if name in _RENAMED_KINDS:
        return f'the kind "{name}" is now called "{_RENAMED_KINDS[name]}"'
    return f'"{name}" is not a kind of equipment{did_you_mean(name, kinds())}'


_PLAIN = {
    "model_type": "expected a mapping of keys to values",
    "model_attributes_type": "expected a mapping of keys to values",
    "dict_type": "expected a mapping of names to entries",
    "list_type": "expected a list",
    "frozen_instance": "cannot be changed",
}


def kinds() -> list[str]:
    """Return every kind of catalog entry."""
    return sorted(_by_kind(ProjectFile.model_fields["catalog"].annotation))


def keys_of(loc: Location) -> list[str]:
    """Return the keys allowed at a location of the models."""
    annotation: Any = ProjectFile
    for step in loc:
        annotation = _step(annotation, step)
        if annotation is None:
            return []
    model = _model_of(annotation)
    return [field.alias or name for name, field in model.model_fields.items()] if model is not None else []


def model_at(loc: Location, annotation: Any = None) -> type[BaseModel] | None:
    """Return the section at a location of the models, or the only one in ``annotation``; None where there is none."""
    if annotation is not None:
        return _model_of(annotation)
    annotation = ProjectFile
    for step in loc:
        annotation = _step(annotation, step)
    return _model_of(annotation)


def _step(annotation: Any, step: str | int) -> Any:
    if get_origin(annotation) in (dict, list):
        return get_args(annotation)[-1]
    by_kind = _by_kind(annotation)
    if step in by_kind:
        return by_kind[str(step)]
    model = _model_of(annotation)
    if model is None:
        return None
    for name, field in model.model_fields.items():
        if step in (name, field.alias):
            return field.annotation
    return None


def _model_of(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    models = [found for found in (_model_of(part) for part in get_args(annotation)) if found is not None]
    return models[0] if len(models) == 1 else None


def _by_kind(annotation: Any) -> dict[str, type[BaseModel]]:
    found: dict[str, type[BaseModel]] = {}
    for part in get_args(annotation):
        if isinstance(part, type) and issubclass(part, BaseModel):
            kind = part.model_fields.get("kind")
            if kind is not None and get_args(kind.annotation):
                found[str(get_args(kind.annotation)[0])] = part
        else:
            found.update(_by_kind(part))
    return found


def choices_at(data: Any, location: Location) -> tuple[str, ...]:
    """Return the words from which the value at a location of the file is chosen; none where it is no choice."""
    field = field_at(data, location)
    schemas = [part.json_schema or {} for part in field.metadata if isinstance(part, WithJsonSchema)] if field is not None else []
    forms = [form for schema in schemas for form in (schema, *schema.get("anyOf", ()))]
    return tuple(choice for form in forms for choice in form.get("enum", ()) if isinstance(choice, str))


def is_asked_for(data: Any, location: Location) -> bool:
    """Whether a file cannot be read without the key at a location: the reader itself uses it."""
    field = field_at(data, location)
    return field is not None and (field.is_required() or (len(location) == 3 and location[-1] in ("kind", "catalog")))


def section_at(data: Any, location: Location) -> type[BaseModel] | None:
    """Return the section that holds the key at a location; None where the key is a name of the writer's own."""
    annotation: Any = ProjectFile
    for depth, step in enumerate(location):
        if depth == 2 and location[0] in ("catalog", "equipment"):
            annotation = _by_kind(annotation).get(_kind_of(data, location[:2]))
        if depth == len(location) - 1:
            return None if _by_kind(annotation) else _model_of(annotation)
        annotation = _step(annotation, step)
    return None


def field_at(data: Any, location: Location) -> FieldInfo | None:
    """Return the field of the models that the key at a location of the file fills; None where it is a name of the writer's own."""
    model = section_at(data, location)
    fields = model.model_fields.items() if model is not None else ()
    return next((field for name, field in fields if location[-1] in (name, field.alias)), None)


def _kind_of(data: Any, entry: Location) -> str:
    """Return the kind of an entry: its own, or that of its catalog entry."""
    found = data
    for step in entry:
        found = found[step]
    return str(found.get("kind") or data.get("catalog", {}).get(found.get("catalog"), {}).get("kind", ""))
