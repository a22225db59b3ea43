"""The paper twin of the record, for the inside of the panel door: what a person needs who has no network, and who keeps the record."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.languages import LANGUAGES

if TYPE_CHECKING:
    from permitgen.views.emergency import EmergencyText
    from permitgen.views.record import PublicRecord
    from permitgen.views.record_owner import Answer


@dataclass(frozen=True, slots=True)
class DoorText:
    """The paper in one language; ``facts`` are names with values, ``answers`` questions of the owner."""

    language: str
    title: str
    subtitle: str
    headline: str
    emergency: EmergencyText
    live_heading: str
    call: str
    facts: tuple[tuple[str, str], ...]
    answers: tuple[Answer, ...]
    gone: str
    checked: str
    date: str = field(metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class PanelDoor:
    """Both languages, English first. It is made of what is public, so that nothing private can hang there."""

    texts: tuple[DoorText, ...]
    document_id: str = field(default="", metadata=BESIDE)


def panel_door_of(record: PublicRecord) -> PanelDoor:
    """Return the paper twin of a public record."""
    return with_document_id("panel door", PanelDoor(tuple(_text(record, language) for language in LANGUAGES)))


def _text(record: PublicRecord, language: str) -> DoorText:
    text, identity = record.emergency.texts[language], record.identity
    say = text.phrases.say
    storage = ("; ".join(f"{line.energy}, {line.units}, {line.chemistry}, {line.place}" for line in text.storage),)
    facts = (
        (say("what_is_here"), ", ".join(text.sources)),
        (say("storage_here"), *storage),
        (say("contact"), text.contact),
        (say("door.kept"), record.keeping.custodian or say("door.kept.nobody")),
        (say("door.number"), identity.record_id),
        (say("door.address"), identity.address),
        (say("door.permit"), ", ".join(part for part in (identity.permit_number, identity.jurisdiction) if part)),
    )
    owner = next((each for each in record.owner if each.language == language), None)
    date, number = identity.revision_date, identity.revision
    return DoorText(
        language=language,
        title=say("door.title"),
        subtitle=say("door.subtitle"),
        headline=say("shut_down_in_this_order"),
        emergency=text,
        live_heading=say("stays_live"),
        call=say("call_911"),
        facts=tuple((name, value) for name, value in facts if value),
        answers=tuple(answer for answer in owner.answers if answer.is_urgent) if owner is not None else (),
        gone=say("door.gone") if identity.address else "",
        checked=say("door.checked"),
        date=say("door.date", number=number, date=date) if date else say("door.date.unknown", number=number),
    )
