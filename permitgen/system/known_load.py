"""The load behind a piece of equipment as one figure: calculated for a permit, or measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRecord:
    """The record behind a measured load: ``days_count`` days in which a power source fed the premises or did not.

    ``seasonal_loads_included`` says whether heating and cooling are in it, by measurement or calculation; None means not stated.
    """

    days_count: Value | None = None
    sources_connected: bool | None = None
    seasonal_loads_included: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownLoad:
    """What is there behind the equipment ``tag``, as ``current_a`` or ``power_va``; ``by`` names the paper that says so.

    A calculated figure has its ``method`` (``standard``, ``optional``, ``existing dwelling``). A measured one is the highest average of
    15 minutes in a ``record``.
    """

    tag: str
    is_measured: bool
    current_a: Value | None = None
    power_va: Value | None = None
    method: str = ""
    record: LoadRecord
    by: str = ""
    at: ProjectLine | None = None
