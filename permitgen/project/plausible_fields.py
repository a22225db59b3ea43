"""Figures of hardware with the ends between which they lie at a dwelling: a decimal point or a digit that was lost ends in a message.

Each end lies far (about ten times) beyond what is usual, so that nothing installed is refused: modules of dwellings have 10 V to 100 V,
2 A to 20 A and 50 W to 700 W, services up to 400 A. Common practice, no published source.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import PlainValidator

from permitgen.project.fields import figure_schema, reads
from permitgen.project.measured import Measured
from permitgen.project.quantity_breaker import LARGEST_RATING_A

ModuleVoltage = Annotated[Measured | None, PlainValidator(reads("v", minimum=1, maximum=500)), figure_schema("40 V", "a voltage")]
ModuleCurrent = Annotated[Measured | None, PlainValidator(reads("a", minimum=0.1, maximum=100)), figure_schema("12 A", "a current")]
ModulePower = Annotated[Measured | None, PlainValidator(reads("w", minimum=5, maximum=3000)), figure_schema("405 W", "a power")]
Rating = Annotated[
    Measured | None, PlainValidator(reads("a", positive=True, maximum=LARGEST_RATING_A)), figure_schema("200 A", "a current")
]
