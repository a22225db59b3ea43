"""The JSON Schema of the project file: what the reader takes validates, and what it refuses does not, as far as a schema can say."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from permitgen.project.fields import NONE, UNKNOWN, Section, words_for_nothing
from permitgen.project.sections.project_file import FORMAT, ProjectFile
from permitgen.project.value_schemas import ANSWER, FIGURE_AND_UNIT, FIGURES_BY_SOURCE, NUMBERS_BY_SOURCE, SCALAR, words_schema

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCHEMA_ID = f"urn:permitgen:project-file:{FORMAT}"
"""Names the schema for editors and validators; there is nothing to fetch under it."""
_SAID_OF_A_KEY = ("description", "default", "examples")
# Forms that hundreds of keys share, by the name under which each stands once.
_SHARED: dict[str, dict[str, Any]] = {
    NONE: words_schema(NONE),
    UNKNOWN: words_schema(UNKNOWN),
    "text": SCALAR,
    "texts": {"type": "array", "items": SCALAR},
    "figure_and_unit": {"type": "string", "pattern": FIGURE_AND_UNIT},
    "figures_by_source": FIGURES_BY_SOURCE,
    "numbers_by_source": NUMBERS_BY_SOURCE,
    "answer": ANSWER,
}
_MEANING = {
    NONE: "Somebody looked: there is none.",
    UNKNOWN: "Nobody knows yet: it is not judged, and nothing is chosen in its place.",
    "text": "Any text; an editor may read it as a number.",
    "figure_and_unit": "A figure and its unit, for example 48 A.",
    "figures_by_source": "What each source states of one figure, for example {62 ft: utility letter of 2026-05-04, 58 ft: tape}.",
    "numbers_by_source": "What each source states of one number, for example {8: nameplate, 10: data sheet}.",
    "answer": "Yes or no.",
}
_SHORT_DEVICE = {
    "type": "string",
    "pattern": "[0-9]|^\\s*size\\s*$",
    "description": "Poles and rating, or size to have it sized.",
    "examples": ["2P 60 A", "2P size"],
}


def project_schema() -> dict[str, Any]:
    """Return the schema, dialect 2020-12, generated from the section models.

    An equipment entry takes its kind from its catalog entry, so there ``kind`` need not be written; an overcurrent device may be
    written in its short form; ``none`` and ``unknown`` stand where the reader takes them.
    """
    schema = ProjectFile.model_json_schema(by_alias=True)
    definitions = schema["$defs"]
    _ask_for_kind(schema)
    for model in sections():
        described = schema if model is ProjectFile else definitions.get(model.__name__)
        if described is not None:
            _take_words(described, model)
    # Name and edition may stand in the jurisdiction file.
    place = definitions["JurisdictionModel"]
    place |= {"if": {"not": {"required": ["file"]}}, "then": {"required": place.pop("required")}}
    definitions["DeviceModel"] = {"anyOf": [_SHORT_DEVICE, definitions["DeviceModel"]]}
    schema = _with_shared(schema)
    for name, form in _SHARED.items():
        said = {"description": _MEANING[name]} if name in _MEANING else {}
        schema["$defs"][name] = {**form, **said}
    return {"$schema": DIALECT, "$id": SCHEMA_ID, "title": "Project file", **schema}


def sections(of: type[Section] = Section) -> Iterator[type[Section]]:
    """Yield every section model, each once."""
    for model in of.__subclasses__():
        yield model
        yield from sections(model)


def meanings_of(model: type[Section]) -> dict[str, str]:
    """Return what each key of a section means, in the order of the section."""
    return {field.alias or name: field.description or "" for name, field in model.model_fields.items()}


def _take_words(described: dict[str, Any], model: type[Section]) -> None:
    words, meanings = words_for_nothing(model), meanings_of(model)
    for key, held in described["properties"].items():
        said = {name: held[name] for name in _SAID_OF_A_KEY if held.get(name) is not None}
        said["description"] = meanings[key]
        forms = [form for form in _forms(held) if form != {"type": "null"}]
        forms += [form for form in map(words_schema, words.get(key, ())) if form not in forms]
        described["properties"][key] = {**_with_shared(forms[0] if len(forms) == 1 else {"anyOf": forms}), **said}


def _forms(held: dict[str, Any]) -> list[dict[str, Any]]:
    bare = {name: value for name, value in held.items() if name not in (*_SAID_OF_A_KEY, "title")}
    return list(bare["anyOf"]) if list(bare) == ["anyOf"] else [bare]


def _ask_for_kind(schema: dict[str, Any]) -> None:
    """Ask for ``kind`` where no catalog entry gives it: a catalog entry has it, an equipment entry has it or names one."""
    for section, otherwise in (("catalog", ["kind"]), ("equipment", ["catalog"])):
        entry = schema["properties"][section]["additionalProperties"]
        kinds = [form["$ref"] for form in entry["oneOf"]]
        for kind in kinds:
            described = schema["$defs"][kind.rsplit("/", 1)[1]]
            described["required"] = [key for key in described.get("required", ()) if key != "kind"]
        any_kind = [{"$ref": kind} for kind in kinds]
        schema["properties"][section]["additionalProperties"] = {
            "if": {"required": ["kind"]},
            "then": {"oneOf": any_kind},
            "else": {"required": otherwise, "anyOf": any_kind},
        }


def _with_shared(schema: Any) -> Any:
    """Return the schema with each shared form replaced by a reference to it."""
    if isinstance(schema, list):
        return [_with_shared(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    name = next((name for name, form in _SHARED.items() if form == schema), None)
    return {key: _with_shared(part) for key, part in schema.items()} if name is None else {"$ref": f"#/$defs/{name}"}
