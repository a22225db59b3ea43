"""The load behind a piece of equipment as one figure: calculated for a permit, or measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownLoad:
    """What is there behind the equipment ``tag``, as ``current_a`` or ``power_va``; ``by`` names the paper that says so.

    A calculated figure has its ``method`` (``standard``, ``optional``, ``existing dwelling``). A measured one is the highest average of
    15 minutes in a record of ``record_days_count`` days; ``sources_connected`` says whether a power source fed the premises meanwhile,
    ``seasonal_loads_included`` whether heating and cooling are in it, by measurement or calculation.
    """

    tag: str
    is_measured: bool
    current_a: Value | None = None
    power_va: Value | None = None
    method: str = ""
    record_days_count: Value | None = None
    sources_connected: bool | None = None
    seasonal_loads_included: bool | None = None
    by: str = ""
    at: ProjectLine | None = None
