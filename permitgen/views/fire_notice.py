"""The notice to the fire official: what stands on the property, where it is switched off, what stays live. The words of the placard."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.emergency import EmergencyStep, emergency_of
from permitgen.views.title import DocumentTitle, title_of
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

NOT_STATED = "not stated"


@dataclass(frozen=True, slots=True)
class StoredEnergy:
    """A storage unit as the file tells it: what it is, where, and what it says of its surroundings."""

    tag: str
    name: str
    place: str
    energy: str
    chemistry: str
    to_opening: str
    detection: str
    protection: str


@dataclass(frozen=True, slots=True)
class FireNotice:
    """Everything on the notice; ``sources`` are what can feed the house."""

    title: DocumentTitle
    fire_code: str
    sources: tuple[str, ...]
    storage: tuple[StoredEnergy, ...]
    alarm: str
    steps: tuple[EmergencyStep, ...]
    warning: str
    wait: str
    stays_live: tuple[str, ...]
    sides: str
    contact: str
    document_id: str = field(default="", metadata=BESIDE)


def fire_notice_of(evaluation: Evaluation) -> FireNotice | None:
    """Return the notice; None where nothing but the utility feeds the house, or where the steps leave a load conductor possibly live."""
    system = evaluation.system
    emergency = emergency_of(evaluation)
    text = emergency.english
    if not emergency.makes_dead or all(source.kind == "utility" for source in system.sources.values()):
        return None
    notice = FireNotice(
        title=title_of(evaluation),
        fire_code=system.jurisdiction.fire_code or NOT_STATED,
        sources=text.sources,
        storage=tuple(_stored(item) for item in system.equipment.values() if isinstance(item, EnergyStorageSystem)),
        alarm=text.alarm,
        steps=text.steps,
        warning=text.warning,
        wait=text.wait,
        stays_live=text.stays_live,
        sides=text.sides,
        contact=text.contact or NOT_STATED,
    )
    return with_document_id("notice to the fire official", notice)


def _stored(item: EnergyStorageSystem) -> StoredEnergy:
    place = item.place
    opening = place.fact("to_door_or_window") if place is not None else None
    return StoredEnergy(
        tag=item.tag,
        name=item.name,
        place=place.description if place is not None else NOT_STATED,
        energy=value_text(item.energy_kwh) if item.energy_kwh is not None else NOT_STATED,
        chemistry=item.chemistry or NOT_STATED,
        to_opening=value_text(opening) if opening is not None else NOT_STATED,
        detection=(place.word("fire_detection") if place is not None else "") or NOT_STATED,
        protection=(place.word("vehicle_protection") if place is not None else "") or NOT_STATED,
    )
