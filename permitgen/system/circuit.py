"""A circuit: conductors between two terminals, with an overcurrent device at each end that can feed it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.system.conductors import Conductors
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.origin import ProjectLine
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class End:
    """One end of a circuit: ``tag`` of the equipment, ``terminal`` name or ``position`` of a breaker space."""

    tag: str
    terminal: str = ""
    position: int | None = None
    at: ProjectLine | None = None

    def __str__(self) -> str:
        if self.position is not None:
            return f"{self.tag}.{self.position}"
        return f"{self.tag}.{self.terminal}" if self.terminal else self.tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Conductors from one end to the other.

    ``runs`` are tags of raceways in order; ``is_dc`` and ``volts`` say what it carries; ``continuous`` None lets the load decide.
    ``reason_for_increase`` says why conductors are larger than needed (``voltage drop``), for the equipment grounding rule.
    """

    tag: str
    name: str
    start: End
    finish: End
    conductors: Conductors
    start_device: OvercurrentDevice | None = None
    finish_device: OvercurrentDevice | None = None
    runs: tuple[str, ...] = ()
    is_dc: bool = False
    volts: Value | None = None
    current_a: Value | None = None
    continuous: bool | None = None
    power_factor: Value | None = None
    tap_of: str = ""
    reason_for_increase: str = ""
    existing: bool = False
    facts: tuple[tuple[str, Value], ...] = ()
    answers: tuple[tuple[str, bool], ...] = ()
    at: ProjectLine | None = None

    @property
    def ends(self) -> tuple[End, End]:
        """Both ends, start first."""
        return (self.start, self.finish)

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact of the circuit, or None."""
        return dict(self.facts).get(name)

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact of the circuit, or None where the project does not state it."""
        return dict(self.answers).get(name)
