"""The conductors of one circuit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.values.missing_fact import stated

if TYPE_CHECKING:
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductors:
    """Conductors of a circuit, whose tag is ``circuit``; a size of None asks the program for one, unless ``unknown`` names its key.

    ``material`` is ``copper`` or ``aluminum``; ``ungrounded_count`` counts per set; ``sets`` parallel sets, each full.
    ``is_count_stated`` False says that the count was taken from a device of the circuit, or is the usual one: no proof of what runs there.
    ``has_wire_egc`` False says that a metal raceway is the equipment grounding conductor.
    ``has_no_egc`` says that there is no equipment grounding conductor at all (old feeders); ``has_wire_egc`` is then False too.
    ``cable_diameter_in`` says that all of them are one cable of that (larger) diameter where they lie in a raceway.
    ``stranding`` is ``solid`` or ``stranded``, empty where not stated; ``is_compact`` says of aluminum that it is compact
    stranded; ``sets_are_alike`` that parallel sets agree in length, material, size, insulation and termination.
    ``insulation_v`` is the voltage marked on the insulation, None where not stated.
    ``neutral`` is None where the project does not say; a rule asks for ``has_neutral``, which is then missing.
    ``egc_shared_with`` is the tag of the circuit whose equipment grounding conductor serves this one in the same raceway.
    """

    circuit: str = ""
    size: ConductorSize | None = None
    material: str = "copper"
    insulation: str = ""
    ungrounded_count: int = 2
    is_count_stated: bool = True
    neutral: bool | None = None
    neutral_size: ConductorSize | None = None
    neutral_senses_voltage_only: bool = False
    egc_size: ConductorSize | None = None
    egc_material: str = "copper"
    has_wire_egc: bool = True
    egc_shared_with: str = ""
    sets: int = 1
    fine_stranded: bool = False
    stranding: str = ""
    is_compact: bool | None = None
    has_bare_egc: bool = False
    has_no_egc: bool = False
    sets_are_alike: bool | None = None
    outside_diameter_in: Value | None = None
    cable_diameter_in: Value | None = None
    insulation_v: Value | None = None
    size_at: ProjectLine | None = None
    egc_at: ProjectLine | None = None
    at: ProjectLine | None = None
    unknown: frozenset[str] = frozenset()

    @property
    def has_neutral(self) -> bool:
        """Whether a neutral conductor runs along.

        Raises:
            MissingFactError: the project does not say.
        """
        return stated(self.neutral, f"whether {self.circuit} has a neutral conductor")
