"""Which Document IDs are good today, of what, and what a revision makes old: for somebody who stands before a label."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ListedDocument:
    """A label, plate, sheet or page with its Document ID, where it hangs or empty, and the ``files`` of a package that print it.

    ``tag`` names the equipment that a label belongs to.
    """

    document_id: str
    kind: str
    name: str
    place: str = ""
    tag: str = ""
    files: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DocumentChanges:
    """What a revision makes ``old``, each with the ID that stands there now or an empty text, what is ``new``, and what stays ``good``."""

    old: tuple[tuple[ListedDocument, str], ...]
    new: tuple[ListedDocument, ...]
    good: tuple[ListedDocument, ...]


def document_changes(before: Iterable[ListedDocument], after: Iterable[ListedDocument]) -> DocumentChanges:
    """Return what of ``before`` still stands in ``after``; what says the same under another name or in another place stays good."""
    earlier, later = tuple(before), tuple(after)
    ids_before, ids_after = ({each.document_id for each in listed} for listed in (earlier, later))
    now = {_subject(each): each.document_id for each in later}
    subjects = {_subject(each) for each in earlier}
    return DocumentChanges(
        old=tuple((each, now.get(_subject(each), "")) for each in earlier if each.document_id not in ids_after),
        new=tuple(each for each in later if each.document_id not in ids_before and _subject(each) not in subjects),
        good=tuple(each for each in earlier if each.document_id in ids_after),
    )


def _subject(each: ListedDocument) -> tuple[str, str, str]:
    return (each.kind, each.name, each.tag)
