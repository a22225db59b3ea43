"""The JSON Schema of the project file."""

from __future__ import annotations

from typing import Any

from permitgen.project.sections.project_file import ProjectFile

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def project_schema() -> dict[str, Any]:
    """Return the schema, dialect 2020-12, generated from the section models.

    An equipment entry takes its kind from its catalog entry, so there ``kind`` need not be written; an overcurrent device may be
    written in its short form.
    """
    schema = ProjectFile.model_json_schema(by_alias=True)
    device = schema["$defs"]["DeviceModel"]
    short = {"type": "string", "description": "poles and rating, or size to have it sized", "examples": ["2P 60 A", "2P size"]}
    schema["$defs"]["DeviceModel"] = {"anyOf": [short, device]}
    equipment = schema["properties"]["equipment"]["additionalProperties"]
    schema["properties"]["equipment"]["additionalProperties"] = {
        "anyOf": [equipment, {"type": "object", "required": ["catalog"], "properties": {"catalog": {"type": "string"}}}]
    }
    return {"$schema": DIALECT, "title": "Project file", **schema}
