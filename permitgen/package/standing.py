"""How an opened project stands in each state entered so far, with its gates: what ``check``, ``build``, cover and record say of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.gates import Standing, standing_of
from permitgen.package.field_and_record import checklist_lines_of, comparison_of_states, labels_to_place
from permitgen.package.made_once import made_once
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.views.field_standing import line_states, occasion_states, tested_lines
from permitgen.views.findings import finding_text, findings_of
from permitgen.views.gates import mark_of
from permitgen.views.inspector_card import card_items, inspector_card_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.field_standing import LineState
    from permitgen.views.findings import FindingText
    from permitgen.views.inspector_card import InspectorCard


@made_once
def standing_of_project(opened: OpenedProject) -> Standing:
    """Return how the project stands, permitted, built and tested.

    Raises:
        ProblemsError: a departure, a settlement or an inspection of ``built:`` cannot be applied; placed there.
    """
    comparison = comparison_of_states(opened)
    _require_known_items(opened)
    later = occasion_states(checklist_lines_of(opened), comparison.built.system.results)
    return standing_of(comparison, tested_lines((*line_states_of(opened), *later)))


@made_once
def line_states_of(opened: OpenedProject) -> tuple[LineState, ...]:
    """Return every line of the checklist as it stands."""
    return line_states(checklist_lines_of(opened), comparison_of_states(opened).built.system.results)


@made_once
def inspector_card_of_project(opened: OpenedProject) -> InspectorCard:
    """Return the inspection card of a project as it stands."""
    states, standing = line_states_of(opened), standing_of_project(opened)
    evaluation = comparison_of_states(opened).permitted
    return inspector_card_of(evaluation, checklist_lines_of(opened), states, standing, labels_to_place(opened))


def _require_known_items(opened: OpenedProject) -> None:
    """Refuse an item that the inspection card does not have: nobody would see it as work to do."""
    inspections = opened.loaded.system.inspections
    known = card_items(checklist_lines_of(opened)) if inspections else ()
    said, rows = "the inspection card has no row", f"; rows: {', '.join(known)}"
    problems = [
        Problem(
            item.at.file, item.at.line, item.at.column, item.at.path, f"{said} {quoted(item.item)}{did_you_mean(item.item, known)}{rows}"
        )
        for each in inspections
        for item in each.failed
        if item.item not in known and item.at is not None
    ]
    if problems:
        raise ProblemsError(problems)


def hanging_mark(opened: OpenedProject) -> str:
    """Return what marks plates and labels while the gate FOR HANGING is shut, empty while it is open."""
    return mark_of(standing_of_project(opened).gate("hang"))


def service_mark(opened: OpenedProject) -> str:
    """Return what marks a paper that tells how to switch on while the gate FOR ENERGIZING is shut, empty while it is open."""
    return mark_of(standing_of_project(opened).gate("energize"))


def findings_of_states(opened: OpenedProject, *, with_inapplicable: bool = False) -> tuple[FindingText, ...]:
    """Return the permitted findings, then what differs from the approved set, then what was built or tested adds to them."""
    standing = standing_of_project(opened)
    book = opened.evaluation.given.code.edition.book
    return (
        *findings_of(opened.evaluation, with_inapplicable=with_inapplicable),
        *(finding_text(finding, book) for finding in opened.evaluation.approval),
        *(finding_text(finding, book, "built") for finding in standing.built),
        *(finding_text(finding, book, "tested") for finding in standing.failed),
        *(finding_text(finding, book, "inspected") for finding in standing.inspected),
    )


def is_violated(opened: OpenedProject) -> bool:
    """Whether something is violated in a state entered so far; what is only due does not count."""
    approved = any(finding.is_open for finding in opened.evaluation.approval)
    return opened.evaluation.has_violations or approved or bool(standing_of_project(opened).violated)
