"""The range of conductors that a terminal takes, as people write it: ``14 AWG to 1 AWG``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project import quantities
from permitgen.project.fields import UNKNOWN
from permitgen.project.measured import text_of
from permitgen.project.value_schemas import words_schema
from permitgen.values.conductor_size import ConductorSize


@dataclass(frozen=True, slots=True)
class SizeRange:
    """The smallest and largest conductor a terminal takes."""

    smallest: ConductorSize
    largest: ConductorSize
    spelled: str


def _read_size_range(value: Any) -> SizeRange | None:
    if isinstance(value, SizeRange):
        return value
    text = text_of(value)
    if quantities.is_unknown(text):
        return None
    low, separator, high = text.partition(" to ")
    if not separator:
        raise ValueError(f'"{text}" is not a range of conductor sizes; write it as 14 AWG to 1 AWG')
    sizes = sorted((quantities.parse_conductor_size(low), quantities.parse_conductor_size(high)))
    return SizeRange(sizes[0], sizes[1], text)


WireRange = Annotated[
    SizeRange | None,
    PlainValidator(_read_size_range),
    WithJsonSchema(
        {"anyOf": [{"type": "string", "pattern": "[0-9].* to .*[0-9]"}, words_schema(UNKNOWN)], "examples": ["14 AWG to 1 AWG"]}
    ),
]
