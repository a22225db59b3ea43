"""The key ``directory`` of an enclosure: its devices as people read them on the door."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project import quantities
from permitgen.project.fields import Section, Text, YesNo, described
from permitgen.project.measured import text_of
from permitgen.project.sections.hardware import DeviceModel

EXAMPLE = '2,4  60A 2P 10kA  F1  "BACKUP PANEL"  new'
MEANING = (
    "Its devices as on the panel door, one a line: space, rating, poles, interrupting rating, what it serves, the words on its label, "
    "and further words; blank and spare spaces too."
)


def _read_spaces(value: Any) -> tuple[int, ...]:
    return tuple(quantities.parse_count(part) for part in text_of(value).split(",")) if text_of(value) else ()


class DirectoryRowModel(Section, says="A line of a directory whose device belongs to no circuit of the file, or that shows blank spaces."):
    spaces: Annotated[tuple[int, ...], PlainValidator(_read_spaces), WithJsonSchema({"type": "string"})] = described(
        ..., "The spaces that the line is about, as 2,4 on the door."
    )
    device: DeviceModel | None = described(None, "The breaker or the fuses that stand there, as their label says.")
    load: Text = described("", "Tag of the load of this panel that the device serves.")
    spare: YesNo = described(None, "Whether the device serves nothing yet, so that it is a spare.")
    blank: YesNo = described(None, "Whether no device stands there, as the line says with blank.")
    to_be_removed: YesNo = described(None, "Whether the device stands there today and is taken out in this work.")


Directory = Annotated[
    list[DirectoryRowModel],
    WithJsonSchema({"type": "string", "pattern": r"\S", "examples": [EXAMPLE]}),
]
