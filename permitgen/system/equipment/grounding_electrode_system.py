"""Electrodes and the conductor to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import Equipment

if TYPE_CHECKING:
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine


# What the file says of piping that no bonding conductor is asked for.
NO_METAL = ("plastic", "none")


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundingElectrodeSystem(Equipment):
    """Electrodes present (``ground rod``, ``concrete-encased``, ``water pipe`` …) and the grounding electrode conductor.

    ``lands_at`` are the tags of the enclosures where the conductor ends; a size of None asks the program for one. Where it ends in
    several, ``conductor_size`` is the common one and ``sizes_to_each`` the tap to each; those without a common one come from the
    electrodes each by itself.
    ``bonding_jumper_size`` is the main bonding jumper where it is a wire; None with ``jumper_is_factory`` for a supplied part.
    ``water_bonding_size`` and ``gas_bonding_size`` are the conductors that bond metal piping; ``electrode_jumpers`` the jumpers to
    further electrodes by their names.
    """

    kind: ClassVar[str] = "grounding_electrode_system"
    needs_no_circuit: ClassVar[bool] = True
    is_of_a_building: ClassVar[bool] = False
    may_stand_before_others: ClassVar[bool] = False

    electrodes: tuple[str, ...] = ()
    conductor_size: ConductorSize | None = None
    conductor_material: str = "copper"
    size_at: ProjectLine | None = None
    lands_at: tuple[str, ...] = ()
    sizes_to_each: Mapping[str, ConductorSize] = field(default_factory=dict)
    second_rod: bool | None = None
    jumper_size: ConductorSize | None = None
    jumper_material: str = "copper"
    jumper_is_factory: bool | None = None
    in_raceway: bool | None = None
    water_bonding_size: ConductorSize | None = None
    gas_bonding_size: ConductorSize | None = None
    electrode_jumpers: Mapping[str, ConductorSize] = field(default_factory=dict)

    @property
    def first_landing(self) -> str:
        """The enclosure where the conductor ends, the first of several; empty where none is stated."""
        return self.lands_at[0] if self.lands_at else ""

    @property
    def is_common(self) -> bool:
        """Whether one conductor serves several enclosures over taps."""
        return len(self.lands_at) > 1 and self.conductor_size is not None

    @property
    def is_individual(self) -> bool:
        """Whether each enclosure has a conductor of its own from the electrodes."""
        return bool(self.sizes_to_each) and self.conductor_size is None and "conductor" not in self.unknown

    def size_at_landing(self, tag: str) -> ConductorSize | None:
        """Return the conductor that ends in an enclosure: the tap, or the only one."""
        return self.sizes_to_each.get(tag) if len(self.lands_at) > 1 or self.sizes_to_each else self.conductor_size
