"""The field checklist and the as-built record of an opened project, as files of a package."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.evaluation.comparison import Comparison, compare_states
from permitgen.package.made_once import made_once

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.document_list import ListedDocument
    from permitgen.views.field_checklist import FieldChecklist, LabelToPlace
    from permitgen.views.limits import LimitsPage
    from permitgen.views.panel_door import PanelDoor
    from permitgen.views.record import Record


@made_once
def comparison_of_states(opened: OpenedProject) -> Comparison:
    """Evaluate the built state beside the permitted one.

    Raises:
        ProblemsError: a departure or settlement of ``built:`` cannot be applied; placed there.
    """
    from permitgen.package.built_project import built_project

    return compare_states(opened.evaluation, built_project(opened).system)


@made_once
def labels_to_place(opened: OpenedProject) -> tuple[LabelToPlace, ...]:
    """Return the required labels as the checklist asks for them, then the old ones that are to be taken off."""
    from permitgen.package.label_job import labels_of
    from permitgen.views.field_checklist import LabelToPlace

    labels = labels_of(opened)
    found: dict[tuple[str, str], LabelToPlace] = {}
    for number, label in enumerate(labels.labels, start=1):
        same = found.get((label.id, label.tag))
        numbers = (*same.numbers, number) if same is not None else (number,)
        found[label.id, label.tag] = LabelToPlace(label.id, label.name, label.tag, label.places, label.section, numbers)
    old = (LabelToPlace(note.id, note.name, note.tag, (note.place,), note.section, why_false=note.why) for note in labels.remove)
    return (*found.values(), *old)


def checklist_form(view: FieldChecklist, folder: Path) -> dict[str, bytes]:
    """Return ``field_checklist.html``, the form for the phone; ``folder`` may hold templates of the project's own."""
    from permitgen.documents.checklist_html import checklist_html

    return {"field_checklist.html": checklist_html(view, folder)}


def checklist_papers(view: FieldChecklist, folder: Path) -> dict[str, bytes]:
    """Return ``field_checklist.pdf`` and ``.docx``; ``folder`` may hold templates of the project's own."""
    from permitgen.documents.checklist_docx import checklist_docx
    from permitgen.documents.checklist_pdf import checklist_pdf
    from permitgen.documents.resources import template_path

    return {
        "field_checklist.pdf": checklist_pdf(view),
        "field_checklist.docx": checklist_docx(view, template_path("field_checklist.docx", folder)),
    }


def limits_files(view: FieldChecklist) -> dict[str, bytes]:
    """Return ``field_limits.pdf``: what else passes, for who has no phone at hand."""
    from permitgen.documents.limits_pdf import limits_pdf

    return {"field_limits.pdf": limits_pdf(view)}


def checklist_on_paper(opened: OpenedProject) -> FieldChecklist:
    """Return the checklist as paper shows it: the digest of the inputs is for the phone alone, whose results carry it home."""
    return replace(checklist_of(opened), fingerprint="")


@made_once
def checklist_of(opened: OpenedProject) -> FieldChecklist:
    """Return the checklist of an opened project."""
    from permitgen.views.document_id import with_document_id

    view = replace(checklist_lines_of(opened), limits=_permitted_limits(opened))
    return with_document_id("field checklist", _with_label_walls(view, opened))


@made_once
def checklist_lines_of(opened: OpenedProject) -> FieldChecklist:
    """Return the lines of the checklist, without the pages beside them and so without a Document ID."""
    from permitgen.views.field_checklist import view_of

    return view_of(opened.evaluation, opened.fingerprint, labels_to_place(opened))


def _permitted_limits(opened: OpenedProject) -> LimitsPage:
    """Return the limits as permitted: what came from the field changes the record, and no page that was handed out."""
    from permitgen.evaluation.limits import limits_of
    from permitgen.views.limits import FoundLimits, limits_page

    return limits_page(FoundLimits(opened.evaluation, limits_of(opened.evaluation)))


def limits_of_project(opened: OpenedProject, tags: tuple[str, ...] | None = None) -> LimitsPage:
    """Return what else passes at the circuits with these tags, or at all: as permitted, and as built where something was built otherwise.

    Raises:
        ProblemsError: a departure or settlement of ``built:`` cannot be applied; placed there.
    """
    from permitgen.evaluation.limits import limits_of
    from permitgen.views.limits import FoundLimits, limits_page

    comparison = comparison_of_states(opened)
    found = []
    for evaluation in (comparison.permitted, comparison.built)[: 2 if comparison.differences else 1]:
        circuits = evaluation.system.circuits
        found.append(FoundLimits(evaluation, limits_of(evaluation, [tag for tag in circuits if tags is None or tag in tags])))
    return limits_page(*found)


def _with_label_walls(view: FieldChecklist, opened: OpenedProject) -> FieldChecklist:
    """Return the checklist with the walls on which labels go, numbered as on the label schedule."""
    from permitgen.package.label_job import labels_of
    from permitgen.views.label_places import label_numbers, label_walls
    from permitgen.views.plans.elevations import elevations_of

    labels = labels_of(opened)
    walls = label_walls(elevations_of(opened.evaluation), label_numbers(labels, opened.evaluation.system))
    shown = {number for wall in walls for number in wall.shown}
    elsewhere = tuple(number for number in range(1, len(labels.labels) + 1) if number not in shown)
    return replace(view, label_walls=walls, labels_elsewhere=elsewhere)


def record_files_of(opened: OpenedProject, others: Mapping[str, bytes] | None = None) -> dict[str, bytes]:
    """Return every file of the three folders of the record; ``others`` are documents of the package to list with their digests."""
    from permitgen.package.record_folders import record_folders

    return record_folders(opened, record_of_project(opened, others or {}), others or {})


def record_of_project(opened: OpenedProject, others: Mapping[str, bytes]) -> Record:
    """Return the record of an opened project; ``others`` are documents of the package to list with their digests."""
    from permitgen.views.record import RecordDocument, with_documents

    documents = (RecordDocument(name, hashlib.sha256(content).hexdigest(), len(content)) for name, content in sorted(others.items()))
    return with_documents(_record_alone(opened), tuple(documents))


@made_once
def _record_alone(opened: OpenedProject) -> Record:
    """Return the record before the files of its package are known."""
    from permitgen.package.document_ids import documents_of

    return record_alone(opened, listed=documents_of(opened))


@made_once
def panel_door_of_project(opened: OpenedProject) -> PanelDoor:
    """Return the paper twin of the record."""
    from permitgen.views.panel_door import panel_door_of

    return panel_door_of(comparison_of_states(opened))


def panel_door_while_shut(opened: OpenedProject) -> PanelDoor:
    """Return the paper twin while FOR ENERGIZING is shut: no steps to switch on, under the Document ID of the one to hang."""
    from permitgen.views.panel_door import panel_door_of

    shut = panel_door_of(comparison_of_states(opened), may_energize=False)
    return replace(shut, document_id=panel_door_of_project(opened).document_id)


def record_alone(opened: OpenedProject, *, listed: tuple[ListedDocument, ...]) -> Record:
    """Return the record with the Document IDs of ``listed`` documents, before the files of its package are known."""
    from permitgen.views.record import record_of

    return record_of(comparison_of_states(opened), required_labels=labels_to_place(opened), listed=listed)
