"""Generators that come by a cord: nothing starts them, and nothing joins them to the house, until somebody does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.generator import Generator, PowerInlet

if TYPE_CHECKING:
    from permitgen.system.system import System


def portable_generators(system: System) -> frozenset[str]:
    """Return the tags of generators that are portable, or whose supply comes in by an inlet."""
    items = system.equipment.values()
    behind_inlets = {item.generator for item in items if isinstance(item, PowerInlet)}
    return frozenset(item.tag for item in items if isinstance(item, Generator) and (item.is_portable or item.tag in behind_inlets))
