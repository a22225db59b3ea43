"""The section ``built``."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project.fields import Day, Section, Text, described
from permitgen.project.sections import meanings
from permitgen.project.value_schemas import SCALAR


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
    WithJsonSchema({"anyOf": [SCALAR, {"type": "object", "minProperties": 1}, {"type": "array", "minItems": 1}]}),
]


class DepartureModel(
    Section,
    says="One thing built otherwise than permitted. ``path`` is a key of this file, for example ``circuits.C7.conductors.size``.",
):
    path: Text = described(
        ..., "Key of this file that was built otherwise, with points between the steps, for example circuits.C7.conductors.size."
    )
    to: BuiltValue = described(
        ..., "What was built, written as it would stand in the file; not built where the permitted thing was left out."
    )
    reason: Text = described("", meanings.REASON)
    decided_by: Text = described("", meanings.DECIDED_BY)
    date: Day = described("", meanings.DECIDED_ON)
    approved_by: Text = described("", meanings.APPROVED_BY)


class SettlementModel(
    Section,
    says="Which of several answers from the field counts: one ``entry`` by its id, or a ``value``; at a ``line`` or a ``path``.",
):
    line: Text = described("", "Line of the checklist whose answers differ, by its id; either this or a path.")
    path: Text = described("", "Key of this file about which the answers differ; either this or a line.")
    entry: Text = described("", "Id of the entry in field/ that counts; either this or a value.")
    value: Text = described("", "Value that stands in place of all entries; either this or an entry.")
    reason: Text = described(..., meanings.REASON)
    decided_by: Text = described(..., meanings.DECIDED_BY)
    date: Day = described(..., meanings.DECIDED_ON)
    approved_by: Text = described("", meanings.APPROVED_BY)


class WithdrawnModel(Section, says="A photo from the field that is shown no more. Its name and the reason stay in the private records."):
    photo: Text = described(..., "Name of the photo's file in field/photos/, as the private records print it.")
    by: Text = described(..., "Name or initials of the person who withdraws the photo.")
    date: Day = described(..., "Day on which the photo was withdrawn, as year-month-day.")
    reason: Text = described(..., "Why the photo is withdrawn, for example that it shows a person.")


class ToldModel(Section, says="Who was told what about the built state; it stands in the private records."):
    what: Text = described(..., "What was told, for example a difference from the approved plans or how to shut the system down.")
    to: Text = described(..., "Who was told: a role or a name, for example owner, building department, utility.")
    date: Day = described(..., "Day on which it was told, as year-month-day.")
    by: Text = described("", "Name or initials of the person who told it.")


def _refuse_results(_value: Any) -> None:
    raise ValueError("field results stand in files of the folder field/ beside the project file; permitgen record puts them there")


ResultsElsewhere = Annotated[None, PlainValidator(_refuse_results), WithJsonSchema({"not": {}})]


class BuiltModel(
    Section,
    says="What a person says about the built state; what the field says stands in ``field/``.",
):
    departures: list[DepartureModel] = described(list, "Things that were built otherwise than permitted, each with who decided it.")
    settlements: list[SettlementModel] = described(list, "Decisions about which of several differing answers from the field counts.")
    withdrawn: list[WithdrawnModel] = described(list, "Photos from the field that are shown no more, each with who withdrew it and why.")
    warranties: dict[str, Day] = described(dict, "Day on which the warranty of each piece of equipment ends, by tag, as year-month-day.")
    installed: dict[str, Day] = described(dict, "Day on which each piece of equipment was installed, by tag, as year-month-day.")
    told: list[ToldModel] = described(list, "Who was told what about the built state, and when.")
    results: ResultsElsewhere = described(
        None, "Field results do not stand here but in files of the folder field/ beside the project file."
    )
