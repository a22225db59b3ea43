"""How long a record of a measured load ran, as people write it: ``30 days``, ``1 year``."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project.fields import UNKNOWN
from permitgen.project.measured import Measured, read_figure
from permitgen.project.value_schemas import FIGURES_BY_SOURCE, words_schema

_RECORD = re.compile(r"(\d{1,5}|one|a) (days?|weeks?|months?|years?)")
_DAYS = {"day": 1, "week": 7, "month": 30, "year": 365}


def _days(text: str) -> Measured:
    """Read how long a record ran, in days; a month counts 30, a year 365."""
    found = _RECORD.fullmatch(text.casefold())
    if found is None:
        raise ValueError(f'"{text}" is not the length of a record; write it as 30 days or 1 year')
    number = 1 if found[1] in ("one", "a") else int(found[1])
    return Measured(float(number * _DAYS[found[2].removesuffix("s")]), "count", text)


RecordLength = Annotated[
    Measured | None,
    PlainValidator(lambda value: read_figure(value, _days)),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "pattern": r"^\s*([0-9]+|[Oo][Nn][Ee]|[Aa]) +[A-Za-z]+\s*$"},
                words_schema(UNKNOWN),
                FIGURES_BY_SOURCE,
            ],
            "examples": ["30 days", "1 year"],
        }
    ),
]
