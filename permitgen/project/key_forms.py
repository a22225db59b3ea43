"""The form of a key of a project: from the section that declares it, and from where the file could hold an answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from typing import Any, get_args, get_origin

from permitgen.project.copied_file import mapping
from permitgen.project.fields import NONE, UNKNOWN, Section, words_for_nothing
from permitgen.project.load import LoadedProject
from permitgen.project.quantity_words import is_unknown
from permitgen.project.sections.hardware import DeviceModel
from permitgen.project.sections.project_file import ProjectFile
from permitgen.reading.yaml_tree import Tree, tree_at
from permitgen.system.key_form import TOLD, KeyForm

_NO_CHOICES = frozenset({UNKNOWN, NONE, "true", "false"})
_EQUIPMENT, _CATALOG = "equipment", "catalog"
_OF_NAMES = ("Tag", "Tags", "Names")
"""With what the meaning of a key begins that takes names of other things of the file."""
_DEVICE = KeyForm("text", example="2P 60 A", pattern="[0-9]")


def key_form(loaded: LoadedProject, path: Sequence[str]) -> KeyForm:
    """Return the form of the key at a path; ``TOLD`` where no section declares it, or no line of the project file could hold an answer."""
    declared = _with_names(loaded, _declared(loaded, path))
    return declared if declared.kind != "told" and is_open_in_file(loaded, path) else replace(TOLD, meaning=declared.meaning)


def _with_names(loaded: LoadedProject, form: KeyForm) -> KeyForm:
    """Return the form of a key that names other things of the file: equipment is chosen, of anything else the names are the office's."""
    first, _, rest = form.meaning.partition(" ")
    if first not in _OF_NAMES:
        return form
    if not rest.startswith("of the equipment"):
        return replace(TOLD, meaning=form.meaning)
    return replace(form, kind="choice", choices=tuple(loaded.models.equipment), takes_several=first == "Tags")


def is_open_in_file(loaded: LoadedProject, path: Sequence[str]) -> bool:
    """Return whether an answer can stand at a path of the file as it is written: nothing does yet, or ``unknown``.

    It cannot below what a catalog entry, a hardware or a jurisdiction file or a line of a directory says.
    """
    written = loaded.written
    if len(path) > 3 and tree_at(_catalog_entry(loaded, path), path[2:3]) is not None:
        return False
    if written.positions.files.get(written.positions.existing(path)):
        return False
    if len(path) > 2 and not isinstance(tree_at(written.data, path[:2]), dict):
        return False
    for depth in range(1, len(path)):
        above = tree_at(written.data, path[:depth])
        if above is None and tree_at(loaded.file.data, path[:depth]) is not None:
            return False
        if isinstance(above, list) or (isinstance(above, str) and not is_unknown(above)):
            return False
    return not is_stated(loaded, path)


def is_stated(loaded: LoadedProject, path: Sequence[str]) -> bool:
    """Return whether the project says something at a path that is not ``unknown``: the entry itself, its directory or its hardware."""
    told = (tree_at(loaded.written.data, path), tree_at(loaded.file.data, path), tree_at(_catalog_entry(loaded, path), path[2:]))
    return not all(map(_is_open, told))


def _catalog_entry(loaded: LoadedProject, path: Sequence[str]) -> Tree:
    """Return what describes the hardware of an entry of equipment, where the entry does not say the key itself; None for all else."""
    own = mapping(tree_at(loaded.written.data, path[:2]))
    if path[0] != _EQUIPMENT or len(path) < 3 or path[2] in own:
        return None
    return tree_at(loaded.written.data, (_CATALOG, str(own.get("catalog", ""))))


def _is_open(value: Tree) -> bool:
    """Return whether a value of the file leaves its key open: nothing stands there, or ``unknown``."""
    return value is None or (isinstance(value, str) and is_unknown(value))


def is_declared(loaded: LoadedProject, path: Sequence[str]) -> bool:
    """Return whether a project file may hold the key at a path: a section declares it, or it is a thing that has a name of its own."""
    return _section_of(loaded, path) is not None


def _declared(loaded: LoadedProject, path: Sequence[str]) -> KeyForm:
    found = _section_of(loaded, path)
    return form_of(*found) if found is not None and found[1] else TOLD


def _section_of(loaded: LoadedProject, path: Sequence[str]) -> tuple[type[Section], str] | None:
    """Return the section that declares a key, and the key; empty where the path ends at the name of a thing; None where none does."""
    model, steps = _start(loaded, path)
    while model is not None and steps:
        key, *steps = steps
        field = next((field for name, field in model.model_fields.items() if (field.alias or name) == key), None)
        if field is None:
            return None
        if not steps:
            return model, key
        below = next(_sections_in(field.annotation), None)
        if below is not None and _is_by_name(field.annotation):
            steps = steps[1:]
            if not steps:
                return below, ""
        model = below
    return None


def _start(loaded: LoadedProject, path: Sequence[str]) -> tuple[type[Section] | None, list[str]]:
    """Return the section in which the path begins, an entry of equipment or catalog by its kind, and the steps below it."""
    if len(path) > 1 and path[0] in (_EQUIPMENT, _CATALOG):
        entry = (loaded.models.equipment if path[0] == _EQUIPMENT else loaded.models.catalog).get(path[1])
        return (type(entry) if entry is not None else None), list(path[2:])
    return ProjectFile, list(path)


def _sections_in(annotation: Any) -> Iterator[type[Section]]:
    if isinstance(annotation, type) and issubclass(annotation, Section):
        yield annotation
    for part in get_args(annotation):
        yield from _sections_in(part)


def _is_by_name(annotation: Any) -> bool:
    return get_origin(annotation) is dict


@cache
def form_of(model: type[Section], key: str) -> KeyForm:
    """Return the form of a key of a section, whatever the file says."""
    described = _schema_of(model)[key]
    forms = list(_flat(described))
    meaning = str(described.get("description", ""))
    is_list = any(form.get("type") == "array" for form in forms)
    takes_none = any(NONE in form.get("enum", ()) for form in forms)
    may_be_absent = takes_none or NONE in words_for_nothing(model).get(key, ())
    choices = tuple(dict.fromkeys(c for form in forms for c in form.get("enum", ()) if isinstance(c, str) and c not in _NO_CHOICES))
    example = next((str(each) for form in (described, *forms) for each in form.get("examples", ())), "")
    if any(form.get("$ref", "").endswith(f"/{DeviceModel.__name__}") for form in forms):
        return replace(_DEVICE, meaning=meaning, takes_none=may_be_absent)
    if key == "directory" or any("$ref" in form for form in forms):
        return KeyForm("told", meaning)
    if choices:
        return KeyForm("choice", meaning, choices=choices, takes_several=is_list, takes_none=takes_none)
    by_source = next((form for form in forms if "propertyNames" in form), None)
    if by_source is not None and by_source.get("minProperties"):
        pattern = str(by_source["propertyNames"].get("pattern", ""))
        return KeyForm("figure", meaning, example, pattern, takes_none=takes_none, has_source=True)
    scalars = [form for form in forms if "string" in (form.get("type") or ())]
    if not scalars:
        return KeyForm("told", meaning)
    pattern = next((str(form["pattern"]) for form in scalars if "pattern" in form and not _is_word(form)), "")
    return KeyForm("text", meaning, example, pattern, takes_none=may_be_absent and bool(is_list or pattern))


@cache
def _schema_of(model: type[Section]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = model.model_json_schema(by_alias=True)["properties"]
    return found


def _flat(form: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield the forms that a value may have; what a list or a mapping holds is none of them."""
    below = form.get("anyOf", ())
    if not below:
        yield form
    for each in below:
        yield from _flat(each)


def _is_word(form: dict[str, Any]) -> bool:
    """Whether a form is one word in any letter case: *none*, *unknown*, *yes*."""
    return str(form["pattern"]).startswith(r"^\s*(")
