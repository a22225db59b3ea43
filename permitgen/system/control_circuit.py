"""Control wiring: the rapid shutdown loop, generator start, load control."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.values.conductor_size import ConductorSize
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlCircuit:
    """A control circuit from ``source`` (tag of the equipment that supplies it) to ``device`` (what it operates or reads).

    ``source_class`` is ``1``, ``2`` or None (not stated); ``fails_to_shutdown`` says that a broken loop shuts down.
    ``associated_with`` are tags of the equipment whose power circuits it controls; ``has_barrier`` says that it is kept from power
    wiring by a barrier or a raceway of its own; ``smallest_v`` is the voltage the device needs.
    ``contact_v`` and ``contact_a`` are the ratings of the contact that opens or closes it, ``contact_kind`` (``ac`` or
    ``dc``, empty where not stated) for what; ``current_kind`` is what flows in the circuit.
    ``tail_size`` is a finer wire spliced on at the device, whose terminals take ``terminal_smallest`` to ``terminal_largest``.
    """

    tag: str
    name: str
    purpose: str
    source: str
    device: str
    source_class: str | None = None
    supply_overcurrent_a: Value | None = None
    volts: Value | None = None
    current_a: Value | None = None
    size: ConductorSize | None = None
    insulation: str = ""
    tail_size: ConductorSize | None = None
    splice: str = ""
    length_ft: Value | None = None
    runs: tuple[str, ...] = ()
    is_reclassified: bool | None = None
    associated_with: tuple[str, ...] = ()
    has_barrier: bool | None = None
    tail_insulation: str = ""
    insulation_v: Value | None = None
    cable_diameter_in: Value | None = None
    smallest_v: Value | None = None
    fails_to_shutdown: bool | None = None
    opens: bool | None = None
    contact_v: Value | None = None
    contact_a: Value | None = None
    contact_kind: str = ""
    current_kind: str = ""
    at: ProjectLine | None = None
