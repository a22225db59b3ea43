"""The reviewer's edition of the calculation, put together. PDF and DOCX are given this one object."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.views.document_id import with_document_id
from permitgen.views.reviewer.finding_aids import index_of, questions_of
from permitgen.views.reviewer.parts import ReviewerCalculation
from permitgen.views.reviewer.sections import sections_of
from permitgen.views.title import title_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.evaluation.evaluation import Evaluation

ELSEWHERE = (
    "Every other check, and the derivation of every number with its sections and tables, stands in derivations.html of this package."
)
TO_CONFIRM = "* rests on a reading of the code to be confirmed by the authority having jurisdiction."


def reviewer_calculation_of(evaluation: Evaluation) -> ReviewerCalculation:
    """Return the reviewer's calculation of an evaluation."""
    sections = sections_of(evaluation)
    view = ReviewerCalculation(
        title=title_of(evaluation),
        counts=tuple((str(verdict), count) for verdict, count in evaluation.counts.items()),
        standing=ELSEWHERE,
        questions=questions_of(sections),
        sections=sections,
        index=index_of(sections),
    )
    return with_document_id("electrical calculations", view)


def with_places(calculation: ReviewerCalculation, places: Mapping[str, str]) -> ReviewerCalculation:
    """Return a calculation that names sheet and zone of each subject by ``places``; of a subject on no sheet it names none."""
    return replace(
        calculation,
        questions=tuple(replace(each, sheet=places.get(each.sheet, "")) for each in calculation.questions),
        sections=tuple(replace(each, sheet=places.get(each.sheet, "")) for each in calculation.sections),
    )
