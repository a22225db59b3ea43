"""Electrodes and the conductor to them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from permitgen.system.equipment.equipment import Equipment

if TYPE_CHECKING:
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundingElectrodeSystem(Equipment):
    """Electrodes present (``ground rod``, ``concrete-encased``, ``water pipe`` …) and the grounding electrode conductor.

    ``lands_at`` is the tag of the enclosure where the conductor ends; a size of None asks the program for one.
    ``bonding_jumper_size`` is the main bonding jumper where it is a wire; None with ``jumper_is_factory`` for a supplied part.
    ``water_bonding_size`` is the conductor that bonds metal water piping.
    """

    kind: ClassVar[str] = "grounding_electrode_system"

    electrodes: tuple[str, ...] = ()
    conductor_size: ConductorSize | None = None
    conductor_material: str = "copper"
    size_at: ProjectLine | None = None
    lands_at: str = ""
    second_rod: bool | None = None
    jumper_size: ConductorSize | None = None
    jumper_material: str = "copper"
    jumper_is_factory: bool | None = None
    in_raceway: bool | None = None
    water_bonding_size: ConductorSize | None = None
