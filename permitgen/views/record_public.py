"""What of the record is public: decided here and nowhere else; a renderer cannot leak what it is not given.

What somebody typed in the field is private until the project file releases it (``record: released:``).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.views.inspector_card import public_card
from permitgen.views.record_keeping import public_keeping
from permitgen.views.record_privacy import is_network_fact

if TYPE_CHECKING:
    from permitgen.system.project_facts import RecordFacts
    from permitgen.views.record import DifferenceRow, PublicRecord
    from permitgen.views.record_results import ResultRow

WITHHELD = "the reason stands in the private record"
PARTS = ("emergency", "owner", "electrician")


def public_part(whole: PublicRecord, record: RecordFacts | None) -> PublicRecord:
    """Leave out what is never public, and the parts that the owner keeps to himself."""
    released = frozenset(record.released if record is not None else ())
    wanted = tuple(part for part in PARTS if part == "emergency" or record is None or not record.public or part in record.public)
    shown = replace(
        whole,
        parts=wanted,
        results=tuple(_public_row(row, released) for row in whole.results if row.section != "Other results"),
        settings=tuple((name, value) for name, value in whole.settings if not is_network_fact(name, value)),
        differences=tuple(_public_difference(row, released) for row in whole.differences),
        card=public_card(whole.card) if whole.card is not None else None,
        keeping=public_keeping(whole.keeping),
    )
    if "electrician" not in wanted:
        shown = replace(
            shown,
            one_line=None,
            equipment=(),
            circuits=(),
            checks=(),
            open_findings=(),
            worse=(),
            failed=(),
            inspected=(),
            card=None,
            differences=(),
            results=(),
            settings=(),
        )
    return replace(shown, owner=shown.owner if "owner" in wanted else ())


def _public_row(row: ResultRow, released: frozenset[str]) -> ResultRow:
    """Return a row without who, with what, notes, photos, other entries; typed words and values of private lines where released only."""
    bare = replace(row, by="", instrument="", note="", photos=(), earlier=())
    if row.id in released:
        return bare
    if row.is_private:
        return replace(bare, said=WITHHELD if row.said else "", measured="", measured_number=None, conditions="", why="")
    return replace(bare, said="", measured=row.measured if row.measured_number is not None else "")


def _public_difference(row: DifferenceRow, released: frozenset[str]) -> DifferenceRow:
    """Return a difference without who approved it; what somebody typed in the field stays private until it is released."""
    bare = replace(row, approved="yes" if row.approved else "")
    if row.said_by != "field" or {row.line, row.path} & released:
        return bare
    reason = WITHHELD if row.reason else ""
    return replace(bare, reason=reason, built=row.built if row.is_readable else "something else, told in the private record")
