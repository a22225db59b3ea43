"""What must never stand in the public record, and the last net that takes it out of any text that slipped through.

The public record is built from facts chosen one by one; this net is for free text (reasons, names of things) in which somebody
wrote a name, a telephone number or a serial number.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from permitgen.views.checklist.occasions import NEW_CUSTODIAN

if TYPE_CHECKING:
    from permitgen.system.system import System

T = TypeVar("T")
HIDDEN = "[private]"
_SHORTEST_WORD = 4
_SERIAL_KINDS = frozenset({"serial number"})
_NAMES_SOMEBODY = frozenset({"signed:responsible", NEW_CUSTODIAN})
_NETWORK_WORDS = re.compile(
    r"wi-?fi|wlan|ssid|network|password|passphrase|passcode|\bpin\b|\bkey\b|\bcode\b|\bip\b|address|\bmac\b|account|user|login|host|url|token",
    re.IGNORECASE,
)
_NETWORK_VALUES = re.compile(r"\b\d{1,3}(?:\.\d{1,3}){3}\b|\b(?:[0-9a-f]{2}[:-]){5}[0-9a-f]{2}\b|@|://", re.IGNORECASE)


def is_network_fact(name: str, value: str) -> bool:
    """Whether a setting tells how to get into the house's network or an account."""
    return bool(_NETWORK_WORDS.search(name.replace("_", " ")) or _NETWORK_VALUES.search(value))


def secrets_of(system: System) -> tuple[str, ...]:
    """Return every text that may not appear in the public record, longest first."""
    found = [*_of_people(system), *_of_results(system)]
    if system.record is None or not system.record.address_public:
        found += _address_parts(system.project.address)
    found += [value for name, value in system.settings.items() if is_network_fact(name, value)]
    return tuple(sorted({text.strip() for text in found if len(text.strip()) >= _SHORTEST_WORD}, key=lambda text: (-len(text), text)))


def _of_people(system: System) -> list[str]:
    officials = [revision.approved.by for revision in system.project.revisions if revision.approved is not None]
    for photo in system.built.withdrawn if system.built is not None else ():
        officials += [photo.photo, photo.by, photo.reason]
    officials += [text for each in (system.built.told if system.built is not None else ()) for text in (each.by, each.what)]
    for each in system.inspections:
        officials += [each.by, *(text for item in each.failed for text in (item.what, item.how, item.corrected_by))]
    return officials + [text for person in system.project.people for text in (person.name, person.phone, person.email, person.license)]


def _of_results(system: System) -> list[str]:
    private = [r.value("value") for r in system.results if r.kind in _SERIAL_KINDS or r.value("line") in _NAMES_SOMEBODY]
    return private + [r.value("by") for r in system.results]


def name_words(system: System) -> tuple[str, ...]:
    """Return the single words of people's names: they are taken out of free text, but not out of places, where ``Hall`` is a room."""
    words = (word for person in system.project.people for word in re.findall(r"\w+", person.name))
    return tuple(dict.fromkeys(word for word in words if len(word) >= _SHORTEST_WORD))


def _address_parts(address: str) -> list[str]:
    """Return the address, its street line and the name of the street; the town alone stays, the permit names it anyway."""
    street = address.partition(",")[0].strip()
    name = re.sub(r"^\d+\S*\s+", "", street)
    return [address.strip(), street, name]


def without_private(thing: T, secrets: tuple[str, ...], public_texts: tuple[str, ...] = (), *, words: tuple[str, ...] = ()) -> T:
    """Return ``thing`` (a dataclass of a view, at any depth) with every secret in its texts replaced.

    ``public_texts`` are texts published by law, for example the company's emergency number; they stay as they are. ``words`` are
    replaced only as they are written, capitals and all.
    """
    parts = [rf"(?i:(?<!\w){re.escape(secret)}(?!\w))" for secret in secrets] + [rf"(?<!\w){re.escape(word)}(?!\w)" for word in words]
    return _walked(thing, re.compile("|".join(parts)), frozenset(public_texts)) if parts else thing


def _walked(thing: Any, pattern: re.Pattern[str], public: frozenset[str]) -> Any:
    if isinstance(thing, str):
        return thing if thing in public else pattern.sub(HIDDEN, thing)
    if isinstance(thing, tuple):
        return tuple(_walked(part, pattern, public) for part in thing)
    if isinstance(thing, Mapping):
        return {key: _walked(value, pattern, public) for key, value in thing.items()}
    if is_dataclass(thing) and not isinstance(thing, type) and type(thing).__module__.startswith("permitgen.views"):
        changed = {f.name: _walked(getattr(thing, f.name), pattern, public) for f in fields(thing)}
        return replace(thing, **changed)
    return thing
