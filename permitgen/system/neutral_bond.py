"""The neutral-to-ground bond of an enclosure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine


class BondState(Enum):
    """What the project says of the bonding jumper.

    ``AUTOMATIC`` is a bond that closes by itself while a device that switches the neutral holds it open.
    """

    INSTALLED = "installed"
    REMOVED = "removed"
    FACTORY_FIXED = "factory fixed"
    NONE_POSSIBLE = "none possible"
    AUTOMATIC = "automatic"

    @property
    def is_bonded(self) -> bool:
        """Whether neutral and ground are connected here."""
        return self in (BondState.INSTALLED, BondState.FACTORY_FIXED)


@dataclass(frozen=True, slots=True, kw_only=True)
class NeutralBond:
    """State of the bond at one enclosure and where the project says so."""

    state: BondState
    at: ProjectLine | None = None
