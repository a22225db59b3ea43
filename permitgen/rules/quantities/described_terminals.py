"""Which ends of circuits lie on terminals that carry marks."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.circuit import End
    from permitgen.system.system import System


def has_marked_terminals(system: System, end: End) -> bool:
    """Whether an end lies on a terminal that is marked with sizes, materials, temperature and torque."""
    return system.equipment[end.tag].has_marked_terminals or system.terminal_at(end) is not None
