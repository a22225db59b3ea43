"""How an opened project stands in each state entered so far, with its gates: what ``check``, ``build``, cover and record say of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.gates import Standing, standing_of
from permitgen.package.field_and_record import checklist_lines_of, comparison_of_states
from permitgen.package.made_once import made_once
from permitgen.views.field_standing import line_states, tested_lines
from permitgen.views.findings import finding_text, findings_of
from permitgen.views.gates import mark_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.findings import FindingText


@made_once
def standing_of_project(opened: OpenedProject) -> Standing:
    """Return how the project stands, permitted, built and tested.

    Raises:
        ProblemsError: a departure or settlement of ``built:`` cannot be applied; placed there.
    """
    comparison = comparison_of_states(opened)
    built = comparison.built.system.built
    states = line_states(checklist_lines_of(opened), built.results if built is not None else ())
    return standing_of(comparison, tested_lines(states))


def hanging_mark(opened: OpenedProject) -> str:
    """Return what marks plates and labels while the gate FOR HANGING is shut, empty while it is open."""
    return mark_of(standing_of_project(opened).gate("hang"))


def findings_of_states(opened: OpenedProject, *, with_inapplicable: bool = False) -> tuple[FindingText, ...]:
    """Return the permitted findings, then what differs from the approved set, then what was built or tested adds to them."""
    standing = standing_of_project(opened)
    book = opened.evaluation.given.code.edition.book
    return (
        *findings_of(opened.evaluation, with_inapplicable=with_inapplicable),
        *(finding_text(finding, book) for finding in opened.evaluation.approval),
        *(finding_text(finding, book, "built") for finding in standing.built),
        *(finding_text(finding, book, "tested") for finding in standing.failed),
    )


def is_violated(opened: OpenedProject) -> bool:
    """Whether something is violated in a state entered so far; what is only due does not count."""
    approved = any(finding.is_open for finding in opened.evaluation.approval)
    return opened.evaluation.has_violations or approved or bool(standing_of_project(opened).violated)
