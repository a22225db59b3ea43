"""Which insulation the conductors have in a run, and the temperatures at which their ampacity may be read there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.reading.nearest import did_you_mean
from permitgen.values.conductor_size import ConductorSize

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value

# The insulation inside these cables is part of their name; what the file says of single conductors does not reach it.
INSULATION_OF_CABLE = {"NM-B cable": "NM-B", "UF-B cable": "UF"}
_SERVICE_CABLES = ("SER cable", "SEU cable")


@dataclass(frozen=True, slots=True)
class InsulationRating:
    """``start_c`` is the column from which correction starts; ``final_c`` the column above which the result may not rise.

    ``limited_by`` is the id of the provision that sets ``final_c`` below ``start_c``; empty where none does.
    """

    name: str
    start_c: Value
    final_c: Value
    limited_by: str = ""


def insulation_of(given: Given, circuit: Circuit, run: Raceway | None) -> str:
    """Return the insulation type of the conductors in a run.

    Raises:
        MissingFactError: it is not stated.
    """
    if run is not None and run.kind in INSULATION_OF_CABLE:
        return INSULATION_OF_CABLE[run.kind]
    return given.need(circuit.conductors.insulation or None, f"insulation of {circuit.tag}")


def insulation_row(given: Given, name: str) -> str:
    """Return the row of the insulation table that a spelling names, whatever its capitals.

    Raises:
        NotInTableError: the table has no such type.
    """
    table = given.table("insulation_temperature_rating")
    for row in table.rows:
        if str(row).casefold() == name.casefold():
            return str(row)
    raise NotInTableError(f"{table.number} has no insulation type {name!r}{did_you_mean(name, [str(row) for row in table.rows])}")


def is_wet(run: Raceway | None) -> bool:
    """Whether the inside of a run is a wet location: outdoors, underground.

    Raises:
        MissingFactError: the project does not say where the run lies.
    """
    return run is not None and run.is_wet


def insulation_rating(given: Given, circuit: Circuit, run: Raceway | None, size: ConductorSize) -> InsulationRating:
    """Return the temperatures for the conductors of ``circuit`` in ``run``: wet where the run is wet or buried.

    Raises:
        MissingFactError: the insulation is not stated.
        NotInTableError: the type is unknown, or is not permitted in wet locations.
    """
    name = insulation_of(given, circuit, run)
    place = "wet" if is_wet(run) else "dry"
    table = given.table("insulation_temperature_rating")
    start = table.at(insulation_row(given, name), place).named("T_ins", f"temperature rating of {name}, {place} location")
    final = table.at(insulation_row(given, name), "final_limit").named("T_final", f"highest column for {name}")
    limited_by = "nm_cable_ampacity"
    if _is_small_cable_in_insulation(given, run, size):
        limited_by = "se_cable_uses"
        final = (
            given.provision("se_cable_uses").value("insulated_final_c").named("T_final", "highest column for small SE cable in insulation")
        )
    if final.number >= start.number:
        return InsulationRating(name, start, start)
    return InsulationRating(name, start, final, limited_by)


def _is_small_cable_in_insulation(given: Given, run: Raceway | None, size: ConductorSize) -> bool:
    """Service-entrance cable of 10 AWG and smaller counts as in thermal insulation unless the file says that it is not."""
    if run is None or run.kind not in _SERVICE_CABLES or run.answer("thermal_insulation") is False:
        return False
    return size <= ConductorSize(given.provision("se_cable_uses").text("insulated_largest_size"))
