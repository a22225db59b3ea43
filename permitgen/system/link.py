"""A connection between two nodes of the graph, and what can open it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import ALL_MODES, OperatingMode

if TYPE_CHECKING:
    from permitgen.system.overcurrent_device import OvercurrentDevice


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """An edge. Nodes are names such as ``MID.bus``; ``part`` names what makes the connection.

    ``closed_in`` lists the modes in which the connection exists; ``handle`` is the id of a handle a person can open;
    ``circuit`` the tag of the circuit whose conductors it is. ``carries_neutral`` says whether the grounded conductor
    passes; ``switches_neutral`` whether the neutral opens together with the rest. ``is_converter`` marks dc to ac. ``switch`` is the id
    of what opens it without a person's hand: a contactor, a relay, a position of a transfer switch. ``unsaid_in`` lists the modes
    of which nobody says whether it is open or closed; ``closed_in`` then holds what is usual, which proves nothing.
    """

    first: str
    second: str
    part: str
    device: OvercurrentDevice | None = None
    handle: str = ""
    switch: str = ""
    circuit: str = ""
    closed_in: frozenset[OperatingMode] = ALL_MODES
    unsaid_in: frozenset[OperatingMode] = frozenset()
    carries_neutral: bool = True
    switches_neutral: bool = False
    is_converter: bool = False

    @property
    def switching(self) -> tuple[str, ...]:
        """The ids of what opens and closes it, none where nothing does."""
        return tuple(dict.fromkeys(name for name in (self.handle, self.switch) if name))

    def other(self, node: str) -> str:
        """Return the node at the other end."""
        return self.second if node == self.first else self.first
