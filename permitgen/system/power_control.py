"""A listed power control system that holds several sources together to one setting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerControl:
    """The currents of the equipment in ``sources`` (tags) together stay within ``setting_a`` on what ``limits`` names.

    ``limits`` are tags of busbars' enclosures and of circuits.
    """

    tag: str
    name: str
    setting_a: Value | None = None
    sources: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    at: ProjectLine | None = None
