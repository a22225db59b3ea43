"""What every document says about itself: project, revision, edition, standing, cautions."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.document_id import BESIDE
from permitgen.views.wording import CAUTIONS, DEFERENCE, plural

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation


@dataclass(frozen=True, slots=True)
class DocumentTitle:
    """Facts of the title block, as printed. ``status`` says in a sentence whether rules are violated or could not be judged."""

    project: str
    number: str
    address: str
    description: str
    jurisdiction: str
    edition: str
    permit_number: str
    revision: str = field(metadata=BESIDE)
    revision_date: str = field(metadata=BESIDE)
    state: str
    status: str
    has_violations: bool
    contractor: str
    cautions: tuple[str, ...]
    deference: str


def title_of(evaluation: Evaluation) -> DocumentTitle:
    """Return the title of documents written from ``evaluation``."""
    system = evaluation.system
    project, jurisdiction = system.project, system.jurisdiction
    newest = project.revision
    authority = f", {jurisdiction.authority}" if jurisdiction.authority else ""
    return DocumentTitle(
        project=project.name,
        number=project.number,
        address=project.address,
        description=project.description,
        jurisdiction=f"{jurisdiction.name}{authority}",
        edition=evaluation.given.code.edition.book,
        permit_number=project.permit_number,
        revision=str(newest.number) if newest else "–",
        revision_date=newest.date if newest else "",
        state=evaluation.state,
        status=status_of(evaluation),
        has_violations=evaluation.has_violations,
        contractor=next((p.company or p.name for p in project.people if "contractor" in p.role), ""),
        cautions=CAUTIONS,
        deference=DEFERENCE,
    )


def status_of(evaluation: Evaluation) -> str:
    """Return one sentence on how the rules stand."""
    counts = evaluation.counts
    violated, unjudged = counts[Verdict.VIOLATED], counts[Verdict.NOT_JUDGED]
    parts = []
    if violated:
        parts.append(f"{plural(violated, 'rule is', 'rules are')} violated")
    if unjudged:
        parts.append(f"{plural(unjudged, 'rule', 'rules')} could not be judged")
    if counts[Verdict.CAUTION]:
        parts.append(plural(counts[Verdict.CAUTION], "caution"))
    if not violated:
        parts.insert(0, "No violation found in the rules that were judged")
    return "; ".join(parts) + "."
