"""The section ``built``."""

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


class SettlementModel(
    Section,
    says="Which of several answers from the field counts: one ``entry`` by its id, or a ``value``; at a ``line`` or a ``path``.",
):
    line: Text = ""
    path: Text = ""
    entry: Text = ""
    value: Text = ""
    reason: Text
    decided_by: Text
    date: Day
    approved_by: Text = ""


def _refuse_results(_value: Any) -> None:
    raise ValueError("field results stand in files of the folder field/ beside the project file; permitgen record puts them there")


ResultsElsewhere = Annotated[None, PlainValidator(_refuse_results), WithJsonSchema({"not": {}})]


class BuiltModel(
    Section,
    says="What a person says about the built state; what the field says stands in ``field/``.",
):
    departures: list[DepartureModel] = Field(default_factory=list)
    settlements: list[SettlementModel] = Field(default_factory=list)
    warranties: dict[str, Day] = Field(default_factory=dict)
    results: ResultsElsewhere = None
