"""What every document says about itself: project, revision, edition, standing, cautions."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.views.cautions import cautions_of
from permitgen.views.document_id import BESIDE
from permitgen.views.wording import DEFERENCE, plural

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

NOT_FOR_PERMIT = "NOT FOR PERMIT."
"""What stands first in the band of documents whose gate is shut."""


@dataclass(frozen=True, slots=True)
class DocumentTitle:
    """Facts of the title block, as printed. ``status`` says in a sentence how many checks fail, pass, or lack information.

    ``has_violations`` has it stand out on every page; what is open and shuts the gate, and a document of the package that could not be
    made, count.
    """

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

    @property
    def banner(self) -> str:
        """The status as the band of a document says it: while the gate is shut, that first."""
        return f"{NOT_FOR_PERMIT} {self.status}" if self.has_violations else self.status


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
        has_violations=not evaluation.may_be_permitted or bool(evaluation.not_made),
        contractor=next((p.company or p.name for p in project.people if "contractor" in p.role), ""),
        cautions=cautions_of(system),
        deference=DEFERENCE,
    )


def status_of(evaluation: Evaluation) -> str:
    """Return a sentence on how the rules stand; what fails stands first, and what was not checked is always counted.

    Before it stands which documents of the package could not be made.
    """
    counts = evaluation.counts
    granted = evaluation.granted_count
    fails = ((counts[Verdict.VIOLATED] - granted, "FAIL"), (granted, "FAIL (granted in writing)"))
    fail = "".join(f"{count} {word}, " for count, word in fails if count)
    cautions, open_count = plural(counts[Verdict.CAUTION], "caution"), counts[Verdict.NOT_JUDGED]
    missing = " (information missing)" if open_count else ""
    not_made = f"Not in this package, could not be made: {', '.join(evaluation.not_made)}. " if evaluation.not_made else ""
    return f"{not_made}Checked: {fail}{counts[Verdict.PASSES]} pass, {cautions}, {open_count} not checked{missing}."
