"""Loads that hang on a panel without a circuit of their own in the file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.values.missing_fact import stated

if TYPE_CHECKING:
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A load of ``panel``, used in ``room`` (empty: not told).

    ``leg`` is ``L1``, ``L2`` or ``both``; ``shed`` is ``none``, ``island`` or ``always``.

    ``category`` sorts it for the load calculation (``general``, ``cooking``, ``dryer``, ``water heater``, ``space heating``,
    ``air conditioning``, ``heat pump``, ``fixed appliance``, ``motor``, ``ev supply equipment``). ``is_moved`` says that its branch
    circuit was taken from another panel; ``added_length_ft`` is the wiring added to it outside of enclosures. ``disconnected_by`` is what
    takes the appliance off for whoever works on it; ``is_life_safety`` says that it is an alarm, egress lighting or the like.
    """

    tag: str
    name: str
    panel: str
    room: str = ""
    stated_category: str = ""
    stated_leg: str = ""
    power_va: Value | None = None
    current_a: Value | None = None
    locked_rotor_a: Value | None = None
    continuous: bool | None = None
    simultaneous: bool = True
    is_new: bool | None = None
    shed: str = "none"
    is_moved: bool | None = None
    added_length_ft: Value | None = None
    has_new_outlets: bool | None = None
    has_arc_fault_protection: bool | None = None
    disconnected_by: str = ""
    is_life_safety: bool | None = None
    at: ProjectLine | None = None

    @property
    def category(self) -> str:
        """The kind of load.

        Raises:
            MissingFactError: the project does not state it.
        """
        return stated(self.stated_category or None, f"category of {self.tag}")

    @property
    def leg(self) -> str:
        """The leg, or ``both``.

        Raises:
            MissingFactError: the project does not state it.
        """
        return stated(self.stated_leg or None, f"leg of {self.tag}")
