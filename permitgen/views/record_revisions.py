"""The revisions of a record, chained by digests."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.system.project_facts import Revision


@dataclass(frozen=True, slots=True)
class RevisionRow:
    """One revision. ``digest`` covers it and the digest of the one before, so that an older one cannot change unseen."""

    number: int
    date: str
    reason: str
    digest: str
    previous: str


def revision_rows(revisions: Sequence[Revision]) -> tuple[RevisionRow, ...]:
    """Chain the revisions: each digest is of the row with the digest of the one before."""
    rows: list[RevisionRow] = []
    previous = ""
    for revision in sorted(revisions, key=lambda r: r.number):
        content = {"number": revision.number, "date": revision.date, "reason": revision.reason, "previous": previous}
        digest = hashlib.sha256(json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()
        rows.append(RevisionRow(revision.number, revision.date, revision.reason, digest, previous))
        previous = digest
    return tuple(rows)
