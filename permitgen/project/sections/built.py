"""The sections ``built``, ``labels`` and ``settings``."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, PlainValidator, WithJsonSchema

from permitgen.project.fields import Day, Section, Text


def _read_built(value: Any) -> Any:
    """Read what was built: a value as it would stand in the file, or a whole entry (a circuit found on site)."""
    if isinstance(value, str) and value.strip():
        return value.strip()
    if isinstance(value, dict | list) and value:
        return value
    raise ValueError('say what was built, for example "8 AWG"; "not built" where the permitted thing was left out')


BuiltValue = Annotated[
    Any,
    PlainValidator(_read_built),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "object"}, {"type": "array"}], "description": "what was built, or: not built"}),
]


class DepartureModel(
    Section,
    says="One thing built otherwise than permitted. ``path`` is a key of this file, for example ``circuits.C7.conductors.size``.",
):
    path: Text
    to: BuiltValue
    reason: Text = ""
    decided_by: Text = ""
    date: Day = ""
    approved_by: Text = ""


class ResultModel(Section, says="One result from the field; further facts are free keys."):
    kind: Text
    subject: Text
    values: dict[str, Text] = Field(default_factory=dict)


class BuiltModel(Section, says="The built state."):
    departures: list[DepartureModel] = Field(default_factory=list)
    results: list[ResultModel] = Field(default_factory=list)
