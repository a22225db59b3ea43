"""A busbar with what protects it and where its breakers sit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Busbar:
    """A busbar. ``node`` is its node in the graph (``MSP.bus``).

    ``supply_end`` is ``top``, ``bottom`` or ``center``; ``spaces`` counts breaker spaces in two columns, 1 at the top left.
    ``listed_sources_a`` is the largest sum of source currents the listing of the enclosure allows on it.
    """

    tag: str
    node: str
    rating_a: Value | None
    supply_end: str = "top"
    spaces: int | None = None
    largest_breaker_a: Value | None = None
    listed_supply_a: Value | None = None
    listed_sources_a: Value | None = None
    has_feed_through_lugs: bool = False
    at: ProjectLine | None = None
