"""What names the record, and the state that it says the installation is in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.system.project_facts import IN_SERVICE
from permitgen.views.checklist.occasions import is_of_occasion
from permitgen.views.document_id import BESIDE

if TYPE_CHECKING:
    from permitgen.evaluation.comparison import Comparison


@dataclass(frozen=True, slots=True)
class RecordIdentity:
    """What names the record and its state; nothing in it tells who lives there."""

    record_id: str
    address: str
    site_address: str
    permit_number: str
    jurisdiction: str
    edition: str
    revision: int = field(metadata=BESIDE)
    revision_date: str = field(metadata=BESIDE)
    state: str
    commissioned: str
    status: str
    is_approved: bool = False
    accepted_on: str = ""

    @property
    def plans(self) -> str:
        """What the plans are called: approved ones only where their stamped set is in the project."""
        return "approved plans" if self.is_approved else "permit plans"

    @property
    def state_text(self) -> str:
        """What the page rests on, as it is printed."""
        if self.accepted_on:
            return f"accepted {self.accepted_on}, as built and tested"
        return f"{self.plans}, no field results recorded yet" if self.state.startswith("as permitted") else self.state


def identity_of(comparison: Comparison, commissioned: str, *, is_tested: bool, accepted_on: str) -> RecordIdentity:
    """Return the identity of a record; ``accepted_on`` is the day of acceptance, empty where it is not accepted."""
    system = comparison.built.system
    project, record, jurisdiction = system.project, system.record, system.jurisdiction
    newest = project.revision
    answers = [r for r in system.results if r.value("answer") != "note" and not is_of_occasion(r.value("line"))]
    is_built = bool(answers or (system.built is not None and system.built.departures))
    built = ("as built and tested" if is_tested else "as built") if is_built else "as permitted, not yet built"
    authority = f", {jurisdiction.authority}" if jurisdiction.authority else ""
    return RecordIdentity(
        record_id=record.record_id if record is not None else "",
        address=record.address if record is not None else "",
        site_address=project.address if record is not None and record.address_public else "",
        permit_number=project.permit_number,
        jurisdiction=f"{jurisdiction.name}{authority}",
        edition=comparison.built.given.code.edition.book,
        revision=newest.number if newest is not None else 0,
        revision_date=newest.date if newest is not None else "",
        state="accepted" if accepted_on else built,
        accepted_on=accepted_on,
        commissioned=commissioned,
        status=record.status if record is not None else IN_SERVICE,
        is_approved=project.is_approved,
    )
