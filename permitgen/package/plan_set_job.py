"""The plan set of an opened project."""

from __future__ import annotations

import hashlib
import posixpath
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.documents.data_sheet_boxes import row_boxes
from permitgen.documents.plan_set import AttachedDocument, PlanSet, PlanSheets, changed_sheets, plan_set_pdf, plan_sheets, with_changes
from permitgen.package.attached_files import page_counts
from permitgen.package.label_job import labels_of, letter_heights_of
from permitgen.package.made_once import made_once
from permitgen.package.placard_job import placards_made
from permitgen.package.standing import standing_of_project
from permitgen.views.calculation_summary import calculation_summary_of
from permitgen.views.cover import cover_of
from permitgen.views.data_sheets import sheet_rows_of
from permitgen.views.gates import field_lines
from permitgen.views.label_places import label_numbers, with_label_numbers, with_placards
from permitgen.views.label_schedule import label_schedule
from permitgen.views.load_summary import load_summary_of
from permitgen.views.one_line_units import one_line_of
from permitgen.views.plan_grounding import grounding_details_of
from permitgen.views.plan_sheets import title_block_of
from permitgen.views.plans import plans_of
from permitgen.views.presence import things_of
from permitgen.views.readings_to_confirm import readings_to_confirm_of
from permitgen.views.revision_clouds import RevisionClouds, changed_circuits, changed_rows, changed_units, plan_changes
from permitgen.views.schedules import circuit_schedules, equipment_schedules, panel_faces
from permitgen.views.violations import violations_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.documents.data_sheet_boxes import RowBox
    from permitgen.package.attached_files import AttachedFile
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.data_sheets import SheetRow


def plan_set_of(opened: OpenedProject) -> PlanSet:
    """Return everything that the sheets say."""
    plans = _plans(opened)
    if opened.before is None:
        return plans
    newest = opened.evaluation.system.project.revision
    mark = str(newest.number) if newest is not None else ""
    before = _plans(opened.before)
    return replace(with_changes(plans, dict.fromkeys(changed_sheets(before, plans), mark)), clouds=_clouds(before, plans, mark))


def _clouds(before: PlanSet, after: PlanSet, mark: str) -> RevisionClouds:
    """Return what is clouded on the sheets: what differs from the revision before the newest."""
    equipment, elevations, routes = plan_changes(before.plans, after.plans)
    pairs = ((p.circuits, p.equipment, [face.schedule for face in p.panels], p.summary.schedules, p.labels) for p in (before, after))
    earlier, later = (tuple(schedule for part in parts for schedule in part) for parts in pairs)
    return RevisionClouds(
        mark=mark,
        rows=changed_rows(earlier, later),
        units=changed_units(before.one_line, after.one_line),
        circuits=changed_circuits(before.one_line, after.one_line),
        equipment=equipment,
        elevations=elevations,
        routes=routes,
    )


def _plans(opened: OpenedProject) -> PlanSet:
    evaluation = opened.evaluation
    labels, plans = labels_of(opened), plans_of(evaluation)
    sheet_rows = sheet_rows_of(evaluation.system)
    placards = placards_made(opened)
    numbered = with_label_numbers(plans.elevations, label_numbers(labels, evaluation.system))
    elevations = with_placards(numbered, placards, evaluation.system)
    return PlanSet(
        block=title_block_of(evaluation),
        cover=cover_of(evaluation, field_lines(standing_of_project(opened))),
        plans=replace(plans, elevations=elevations),
        grounding=grounding_details_of(evaluation),
        one_line=one_line_of(evaluation),
        circuits=circuit_schedules(evaluation),
        equipment=equipment_schedules(evaluation),
        panels=panel_faces(evaluation),
        violations=violations_of(evaluation),
        summary=calculation_summary_of(evaluation),
        loads=load_summary_of(evaluation),
        labels=label_schedule(labels, letter_heights_of(opened)),
        placards=placards,
        readings=readings_to_confirm_of(evaluation),
        things=things_of(evaluation),
        sheet_rows=sheet_rows,
        attached=tuple(
            AttachedDocument(a.title, a.file, a.data, pages, hashlib.sha256(a.data).hexdigest(), a.kind, _boxes(a, sheet_rows))
            for a, pages in zip(opened.attached, page_counts(opened.loaded, opened.attached, opened.tell), strict=True)
        ),
        with_three_line=evaluation.system.jurisdiction.option("diagram", "one-line") == "three-line",
        sheet_size=evaluation.system.settings.get("sheet_size", "ANSI B"),
    )


def _boxes(attached: AttachedFile, rows: Sequence[SheetRow]) -> tuple[tuple[SheetRow, RowBox], ...]:
    """Return the rows of an attached document that matter, each with its box."""
    here = [row for row in rows if row.file == posixpath.normpath(attached.file)]
    return tuple(row_boxes(attached.data, here).items()) if here else ()


def plan_set_files(opened: OpenedProject) -> dict[str, bytes]:
    """Return ``plan_set.pdf``."""
    return {"plan_set.pdf": plan_set_pdf(*drawn_plan_set(opened))}


def shown_by_plan_set(opened: OpenedProject) -> PlanSet:
    """Return all that ``plan_set.pdf`` is drawn from."""
    return drawn_plan_set(opened)[0]


@made_once
def drawn_plan_set(opened: OpenedProject) -> tuple[PlanSet, PlanSheets]:
    """Return what the sheets say, and the sheets: their file, the record and the manifest need the same ones."""
    plans = plan_set_of(opened)
    return plans, plan_sheets(plans)
