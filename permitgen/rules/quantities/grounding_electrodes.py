"""The electrodes of a building, sorted by what the code says of each kind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.quantities.conductor_area import area_of_size
from permitgen.rules.quantities.grounding_service_area import electrode_conductor_for
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.rules.quantities.grounding_service_area import ServiceArea
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
    from permitgen.values.value import Value

# How a project may call an electrode, and the kind it is.
KINDS: dict[str, str] = {
    "ground rod": "rod",
    "rod": "rod",
    "second rod": "rod",
    "pipe electrode": "rod",
    "plate": "rod",
    "concrete-encased": "concrete-encased",
    "concrete-encased electrode": "concrete-encased",
    "ground ring": "ring",
    "ring": "ring",
    "water pipe": "water pipe",
    "metal water pipe": "water pipe",
    "building steel": "structure",
    "metal in-ground support structure": "structure",
}


@dataclass(frozen=True, slots=True)
class RequiredConductor:
    """Smallest grounding electrode conductor; ``is_capped`` where the electrodes alone ask for less than the table."""

    size: ConductorSize
    is_capped: bool


def kinds_of(item: GroundingElectrodeSystem) -> tuple[str, ...]:
    """Return the kinds of the electrodes, one an electrode.

    Raises:
        MissingFactError: none is stated, or one is not a kind that the code knows.
    """
    if not item.electrodes:
        raise MissingFactError(f"electrodes of {item.tag}")
    unknown = [name for name in item.electrodes if name.casefold() not in KINDS]
    if unknown:
        raise MissingFactError(f'kind of the electrode "{unknown[0]}" of {item.tag} (known: {", ".join(sorted(set(KINDS)))})')
    return tuple(KINDS[name.casefold()] for name in item.electrodes)


def required_conductor(given: Given, item: GroundingElectrodeSystem, service: ServiceArea) -> RequiredConductor:
    """Return what the conductor to the electrodes must be: by the table for the service conductors, or the cap of the electrodes.

    Raises:
        MissingFactError: the electrodes are not stated.
    """
    table = electrode_conductor_for(given, service, item.conductor_material)
    cap = largest_needed(given, item)
    return RequiredConductor(cap, is_capped=True) if cap is not None and cap < table else RequiredConductor(table, is_capped=False)


def required_area(
    given: Given, required: RequiredConductor, service: ServiceArea, *, symbol: str, title: str, provision: Provision
) -> Value:
    """Return the area of the required conductor, traced to the table or the cap."""
    by = "cap of the electrodes" if required.is_capped else given.table("grounding_electrode_conductor").number
    area = area_of_size(given, required.size).number
    return selected(area, "cmil", by=by, inputs=(service.area_kcmil,), symbol=symbol, title=title, provision=provision)


def largest_needed(given: Given, item: GroundingElectrodeSystem) -> ConductorSize | None:
    """Return the largest size that the electrodes alone can ask for; None where one of them knows no cap.

    Several kinds with caps on one conductor: the larger cap holds. A concrete-encased electrode or a ring has a cap for copper only.
    """
    caps = [cap_of(given, kind, item.conductor_material) for kind in kinds_of(item)]
    known = [cap for cap in caps if cap is not None]
    return max(known) if len(known) == len(caps) else None


def cap_of(given: Given, kind: str, material: str) -> ConductorSize | None:
    """Return the largest conductor that one kind of electrode can ask for; None where it knows no cap."""
    provision = given.provision("grounding_electrode_conductor_size")
    field = {
        ("rod", "copper"): "rod_copper_size",
        ("rod", "aluminum"): "rod_aluminum_size",
        ("concrete-encased", "copper"): "concrete_encased_copper_size",
        ("ring", "copper"): "ring_copper_size",
    }.get((kind, material))
    return ConductorSize(provision.text(field)) if field is not None else None


def is_untouched(given: Given, item: GroundingElectrodeSystem) -> bool:
    """Whether electrodes, with what is bonded to them, are existing and their conductor stays in existing equipment.

    Where the service moves into new equipment the conductors to electrodes and piping move with it, and are judged as new.
    """
    landings = [given.system.equipment[tag] for tag in item.lands_at or service_side(given).enclosures if tag in given.system.equipment]
    return item.status == "existing" and all(each.status == "existing" for each in landings)


def conductor_stated(items: Sequence[Equipment]) -> bool | None:
    """Whether a grounding electrode conductor lands in one of ``items``; None where the project does not say it of one of them."""
    if any(item.electrode_conductor_size is not None for item in items):
        return True
    return False if all("grounding_electrode_conductor" in item.absent for item in items) else None
