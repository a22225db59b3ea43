"""The figures behind the rows of the reviewer's calculation that no judgement carries: of each circuit, and of each load calculation."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from permitgen.code.errors import NotInTableError
from permitgen.rules.conductors.voltage_rise import circuits_to_service
from permitgen.rules.given import MissingFactError, NotInForceError
from permitgen.rules.quantities.circuit_current import circuit_current
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity, terminal_ampacity
from permitgen.rules.quantities.grounding_conductor_size import by_device
from permitgen.rules.quantities.load_worksheets import load_worksheets

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.circuit_current import CircuitCurrent
    from permitgen.rules.quantities.conductor_ampacity import ConductorAmpacity, TerminalAmpacity
    from permitgen.rules.quantities.grounding_conductor_size import RequiredGroundingConductor
    from permitgen.rules.quantities.load_worksheets import LoadWorksheet
    from permitgen.system.circuit import Circuit

Figure = TypeVar("Figure")


@dataclass(frozen=True, slots=True)
class CircuitFigures:
    """What a circuit carries and must carry, and the ground that its device asks for.

    Each is None where a fact for it is missing or the edition has no confirmed text of it: a row then leaves the number out.
    """

    current: CircuitCurrent | None
    terminals: TerminalAmpacity | None
    ampacity: ConductorAmpacity | None
    ground: RequiredGroundingConductor | None


def circuit_figures(given: Given, circuit: Circuit) -> CircuitFigures:
    """Return the figures of one circuit, from the quantities that the rules ask."""
    return CircuitFigures(
        current=_known(lambda: circuit_current(given, circuit)),
        terminals=_known(lambda: terminal_ampacity(given, circuit)),
        ampacity=_known(lambda: conductor_ampacity(given, circuit)),
        ground=_known(lambda: by_device(given, circuit)),
    )


def rise_path(given: Given, circuit: Circuit) -> tuple[Circuit, ...]:
    """Return the circuits over which the rise of a source's first circuit is taken, that circuit first, as the rule takes them."""
    return tuple(circuits_to_service(circuit, given))


def load_sheets(given: Given) -> tuple[LoadWorksheet, ...]:
    """Return the worksheets of every load calculation; none where the edition has no confirmed text of a method."""
    return _known(lambda: load_worksheets(given)) or ()


def _known(compute: Callable[[], Figure]) -> Figure | None:
    try:
        return compute()
    except (MissingFactError, NotInForceError, NotInTableError):
        return None
