"""What each key of a kind of hardware means and who asks for it: as an empty sheet, and as the list of what is open."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, get_args, get_origin

from pydantic import WithJsonSchema

from permitgen.project.examples import example_of
from permitgen.project.messages import model_at
from permitgen.project.sections.hardware_notes import NOTES, OF_A_SITE
from permitgen.views.question_spec import rows

if TYPE_CHECKING:
    from pydantic import BaseModel
    from pydantic.fields import FieldInfo

_REMARK = "# "
_NAME = "entry"
_CLAUSES = ("whether ", "what ", "which ", "how ", "where ", "who ", "when ", "why ")
_ON_PAPER = ("nameplate", "data sheet")
_TABLE = ("data_sheet.file", "data_sheet.page", "data_sheet.row")


@dataclass(frozen=True, slots=True)
class HardwareKey:
    """A key of a kind of hardware: what it means, an example, and what rules call it that ask for it; empty where no row names it."""

    key: str
    meaning: str
    example: str = ""
    asked: str = ""
    knows: str = ""


@cache
def keys_of_kind(kind: str) -> tuple[HardwareKey, ...]:
    """Return the keys that a description of this kind may have, in the order of the schema; parts of a device with a dot between."""
    model = model_at(("catalog", _NAME, kind))
    return tuple(_keys(model, "")) if model is not None else ()


def _keys(model: type[BaseModel], before: str) -> Iterator[HardwareKey]:
    for name, field in model.model_fields.items():
        key = field.alias or name
        if key in OF_A_SITE or key in ("kind", "terminals", *NOTES) or get_origin(field.annotation) in (dict, list):
            continue
        parts = model_at(("catalog", _NAME), field.annotation)
        if parts is not None and not before:
            yield from _keys(parts, f"{key}.")
        elif parts is None:
            yield _key(before + key, field, example_of((section.__name__ for section in model.__mro__), key))


def _key(key: str, field: FieldInfo, example: str) -> HardwareKey:
    asked = next((row for row in rows() if row.is_answered_by(key) and row.knows in _ON_PAPER), None)
    schemas: list[Mapping[str, Any]] = [part.json_schema or {} for part in field.metadata if isinstance(part, WithJsonSchema)]
    examples = [str(each) for schema in schemas for each in schema.get("examples", ())]
    choices = [str(each) for schema in schemas for each in schema.get("enum", ())]
    told = (asked.asked.replace(" of {tag}", "").replace("{tag}", "it"), asked.knows) if asked is not None else ("", "")
    answer = "yes or no" if bool in get_args(field.annotation) else " or ".join(choices)
    return HardwareKey(key, field.description or "", example or (examples or [answer])[0], *told)


def blank_rows(kind: str) -> list[list[str]]:
    """Return an empty sheet: the keys as names of columns, and below them as remarks what each means, an example and who needs it."""
    keys = keys_of_kind(kind)
    notes = ["File of the data sheet", "Page of the figures", "Row or column on that page"]
    return [
        [_NAME, *(each.key for each in keys), *_TABLE],
        [f"{_REMARK}what it means: the name by which projects call it", *(each.meaning for each in keys), *notes],
        [f"{_REMARK}example", *(each.example for each in keys), "", "", ""],
        [f"{_REMARK}who needs it", *(_needed(each) for each in keys), *["whoever checks the entry"] * len(_TABLE)],
    ]


def _needed(each: HardwareKey) -> str:
    told = each.asked if each.asked.startswith(_CLAUSES) else f"for the {each.asked}"
    return f"rules ask {told} ({each.knows})" if each.asked else "printed, or asked for by few rules"


def blank_csv(kind: str) -> bytes:
    """Return the empty sheet as CSV."""
    stream = io.StringIO(newline="")
    csv.writer(stream, lineterminator="\r\n").writerows(blank_rows(kind))
    return stream.getvalue().encode("utf-8-sig")


def open_keys(kind: str, entry: Mapping[str, Any]) -> tuple[HardwareKey, ...]:
    """Return the keys that rules ask for by name and that an entry leaves open, *unknown* among them."""
    return tuple(each for each in keys_of_kind(kind) if each.asked and _is_open(entry, each.key.split(".")))


def _is_open(entry: Any, steps: list[str]) -> bool:
    for step in steps[:-1]:
        if not isinstance(entry, dict) or isinstance(entry.get(step), str):
            return not isinstance(entry, dict)
        entry = entry.get(step)
    said = entry.get(steps[-1]) if isinstance(entry, dict) else None
    # The parts of a thing that is not described at all are asked for only where it is there.
    return isinstance(entry, dict) and (said is None or (isinstance(said, str) and said.strip().casefold() == "unknown"))
