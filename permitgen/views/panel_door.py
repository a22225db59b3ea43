"""The paper twin of the record, for the inside of the panel door: what a person needs who has no network, and who keeps the record."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.system.project_facts import IN_SERVICE
from permitgen.views.document_id import BESIDE, with_document_id
from permitgen.views.emergency import emergency_of
from permitgen.views.languages import LANGUAGES
from permitgen.views.record_identity import identity_of
from permitgen.views.record_owner import owner_text
from permitgen.views.record_privacy import secrets_of, without_private

if TYPE_CHECKING:
    from permitgen.evaluation.comparison import Comparison
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.emergency import EmergencyText
    from permitgen.views.record_identity import RecordIdentity
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
    """Both languages, English first. Nothing private is in it, and nothing that tests in the field change: it stays good on its door."""

    texts: tuple[DoorText, ...]
    document_id: str = field(default="", metadata=BESIDE)


def panel_door_of(comparison: Comparison, *, may_energize: bool = True) -> PanelDoor:
    """Return the paper twin of the record of an installation, as it was built; without steps to switch on where it may not be energized."""
    system = comparison.built.system
    identity = identity_of(comparison, "", is_tested=False, accepted_on="")
    emergency = emergency_of(comparison.built, names_streets=False)
    custodian = system.record.custodian if system.record is not None else ""
    texts = tuple(
        _text(comparison.built, emergency.texts[language], identity, custodian, may_energize=may_energize) for language in LANGUAGES
    )
    contact = (emergency.english.contact,) if emergency.english.contact else ()
    # Places stand on the placard for everyone to read: single words of a name are not taken out of them.
    return with_document_id("panel door", without_private(PanelDoor(texts), secrets_of(system), contact))


def _text(evaluation: Evaluation, text: EmergencyText, identity: RecordIdentity, custodian: str, *, may_energize: bool) -> DoorText:
    say = text.phrases.say
    facts = (
        (say("what_is_here"), ", ".join(text.sources)),
        (say("storage_here"), "; ".join(f"{line.energy}, {line.units}, {line.chemistry}, {line.place}" for line in text.storage)),
        (say("contact"), text.contact),
        (say("door.kept"), custodian or say("door.kept.nobody")),
        (say("door.number"), identity.record_id),
        (say("door.address"), identity.address),
        (say("door.permit"), ", ".join(part for part in (identity.permit_number, identity.jurisdiction) if part)),
    )
    owner = owner_text(evaluation, text, "", may_energize=may_energize and identity.status == IN_SERVICE)
    date, number = identity.revision_date, identity.revision
    return DoorText(
        language=text.language,
        title=say("door.title"),
        subtitle=say("door.subtitle"),
        headline=say("shut_down_in_this_order"),
        emergency=text,
        live_heading=say("stays_live"),
        call=say("call_911"),
        facts=tuple((name, value) for name, value in facts if value),
        answers=tuple(answer for answer in owner.answers if answer.is_urgent),
        gone=say("door.gone") if identity.address else "",
        checked=say("door.checked"),
        date=say("door.date", number=number, date=date) if date else say("door.date.unknown", number=number),
    )
