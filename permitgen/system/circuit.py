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
class Way:
    """One way from end to end: tags of its ``runs`` in order. ``name`` is that of its set, empty where all sets go one way."""

    name: str = ""
    runs: tuple[str, ...]


def one_way(runs: tuple[str, ...]) -> tuple[Way, ...]:
    """Return the ways of a circuit whose sets all lie in the same runs, one after the other; none where no run is known."""
    return (Way(runs=runs),) if runs else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Conductors from one end to the other.

    ``ways`` is empty where no run is stated, one way for all sets of conductors, or one way for each set; ``is_dc`` and ``volts``
    say what it carries; ``continuous`` None lets the load decide.
    ``reason_for_increase`` says why conductors are larger than needed (``voltage drop``), for the equipment grounding rule.
    """

    tag: str
    name: str
    start: End
    finish: End
    conductors: Conductors
    start_device: OvercurrentDevice | None = None
    finish_device: OvercurrentDevice | None = None
    ways: tuple[Way, ...] = ()
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

    @property
    def runs(self) -> tuple[str, ...]:
        """Tags of all runs, each once: in order along the first way, then those that further ways add."""
        return tuple(dict.fromkeys(run for way in self.ways for run in way.runs))

    @property
    def is_split(self) -> bool:
        """Whether each set of conductors has a way of its own."""
        return len(self.ways) > 1

    @property
    def sets_in_way(self) -> int:
        """How many parallel sets go each way."""
        return 1 if self.is_split else self.conductors.sets

    def sets_in(self, run: str) -> int:
        """Return how many parallel sets lie in a run."""
        return self.sets_in_way * sum(run in way.runs for way in self.ways)

    def runs_at(self, end: End) -> tuple[str, ...]:
        """Return the runs nearest to one end of the circuit, one for each way, each once."""
        index = 0 if end is self.start else -1
        return tuple(dict.fromkeys(way.runs[index] for way in self.ways))

    def fact(self, name: str) -> Value | None:
        """Return a further measured fact of the circuit, or None."""
        return dict(self.facts).get(name)

    def answer(self, name: str) -> bool | None:
        """Return a yes-or-no fact of the circuit, or None where the project does not state it."""
        return dict(self.answers).get(name)
