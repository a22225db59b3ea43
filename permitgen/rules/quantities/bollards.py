"""Which bollards of the site plan stand before a piece of equipment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.site.geometry import distance_between

if TYPE_CHECKING:
    from permitgen.system.site.geometry import Outline
    from permitgen.system.site.plan import Bollard
    from permitgen.system.system import System

_NEAR_FT = 10.0
"""A bollard farther from a unit than this protects something else."""


def bollards_near(system: System, outline: Outline) -> list[Bollard]:
    """Return the bollards within 10 ft of an outline on the plan, or of a point."""
    return [bollard for bollard in system.site.plan.bollards if distance_between([bollard.point], outline) <= _NEAR_FT]
