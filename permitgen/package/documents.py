"""The documents of a package: one line each. A document is a function from the opened project to files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.calculation_sheet import CalculationSheet
    from permitgen.views.label_set import LabelSet
    from permitgen.views.material_list import MaterialList
    from permitgen.views.placard import Placard
    from permitgen.views.reviewer.parts import ReviewerCalculation
    from permitgen.views.title import DocumentTitle

Files = Mapping[str, bytes]
PLACARD = "Directory placard"
View = TypeVar("View")


@dataclass(frozen=True, slots=True)
class Document:
    """A document of the package: its name for ``--only``, what it is, and what draws it; it is given the files drawn before it.

    One ``on_request`` is drawn only where ``--only`` names it. ``shows`` returns all that it is drawn from beside the project's
    templates: while that stays the same, its files do; without it a document is drawn each time that anything changed.
    """

    name: str
    title: str
    draw: Callable[[OpenedProject, Files], Files]
    on_request: bool = False
    shows: Callable[[OpenedProject], object] | None = None


def _of_view(
    name: str, title: str, shows: Callable[[OpenedProject], View], draw: Callable[[View, Path], Files], *, on_request: bool = False
) -> Document:
    """Return a document that is drawn from what it shows and the templates in the project's folder.

    ``draw`` is given nothing else, so that nothing else can show on paper while an older drawing is kept.
    """
    return Document(name, title, lambda opened, _earlier: draw(shows(opened), opened.loaded.folder), on_request, shows)


def _calculation_view(opened: OpenedProject) -> ReviewerCalculation:
    from permitgen.package.calculation_job import calculation_of

    return calculation_of(opened)


def _calculations(view: ReviewerCalculation, folder: Path) -> Files:
    from permitgen.package.calculation_job import calculation_files

    return calculation_files(view, folder)


def _derivations_view(opened: OpenedProject) -> CalculationSheet:
    from permitgen.package.calculation_job import derivations_of

    return derivations_of(opened)


def _derivations(view: CalculationSheet, folder: Path) -> Files:
    from permitgen.package.calculation_job import derivation_files

    return derivation_files(view, folder)


def _derivations_paper(view: CalculationSheet, folder: Path) -> Files:
    from permitgen.package.calculation_job import derivation_papers

    return derivation_papers(view, folder)


def _placard_view(opened: OpenedProject) -> tuple[tuple[Placard, ...], str]:
    from permitgen.package.placard_job import placards_due
    from permitgen.package.standing import hanging_mark

    return placards_due(opened), hanging_mark(opened)


def _placard(view: tuple[tuple[Placard, ...], str], _folder: Path) -> Files:
    from permitgen.documents.placard import placard_files

    placards, mark = view
    return placard_files(placards, mark) if placards else {}


def _labels_view(opened: OpenedProject) -> tuple[LabelSet, DocumentTitle, str]:
    from permitgen.package.label_job import labels_of
    from permitgen.package.standing import hanging_mark
    from permitgen.views.title import title_of

    return labels_of(opened), title_of(opened.evaluation), hanging_mark(opened)


def _labels(view: tuple[LabelSet, DocumentTitle, str], _folder: Path) -> Files:
    from permitgen.documents.label_package import label_package

    return label_package(*view)


def _material_list_view(opened: OpenedProject) -> MaterialList:
    from permitgen.package.material_job import material_list_of_project

    return material_list_of_project(opened)


def _material_list(view: MaterialList, _folder: Path) -> Files:
    from permitgen.package.material_job import material_list_files

    return material_list_files(view)


def _plan_set(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.plan_set_job import plan_set_files

    return plan_set_files(opened)


def _hanging_plan(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.hanging_job import hanging_plan_files

    return hanging_plan_files(opened)


def _engraving(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.engraving_job import engraving_files

    return engraving_files(opened)


def _field_checklist(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.field_and_record import checklist_files

    return checklist_files(opened)


def _field_limits(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.field_and_record import limits_files

    return limits_files(opened)


def _panel_door(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.documents.panel_door_pdf import panel_door_pdf
    from permitgen.package.field_and_record import panel_door_of_project
    from permitgen.package.standing import hanging_mark, service_mark

    # It is hung, and it tells how to switch on.
    return {"panel_door.pdf": panel_door_pdf(panel_door_of_project(opened), hanging_mark(opened) or service_mark(opened))}


def _record(opened: OpenedProject, earlier: Files) -> Files:
    """The record lists the documents handed in with their digests; the form for the phone is none of them."""
    from permitgen.package.field_and_record import record_files_of

    return record_files_of(
        opened, {name: content for name, content in earlier.items() if "/" not in name and name != "field_checklist.html"}
    )


def _findings(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.documents.findings_json import findings_json
    from permitgen.package.standing import findings_of_states, standing_of_project
    from permitgen.views.questions import questions_of
    from permitgen.views.title import title_of

    findings = findings_of_states(opened, with_inapplicable=True)
    questions = questions_of(findings, opened.evaluation.system)
    gates = standing_of_project(opened).gates
    content = findings_json(findings, questions, gates, title_of(opened.evaluation), opened.fingerprint, in_package=True)
    return {"findings.json": content}


def _review_reply(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.documents.resources import template_path
    from permitgen.documents.review_reply_docx import review_reply_docx
    from permitgen.views.review_reply import review_reply_of

    reply = review_reply_of(opened.evaluation)
    if reply is None:
        return {}
    return {"review_reply.docx": review_reply_docx(reply, template_path("review_reply.docx", opened.loaded.folder))}


def _fire_notice(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.documents.fire_notice_pdf import fire_notice_pdf
    from permitgen.views.fire_notice import fire_notice_of

    notice = fire_notice_of(opened.evaluation)
    return {} if notice is None else {"fire_notice.pdf": fire_notice_pdf(notice)}


def _inspector_card(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.documents.inspector_card_pdf import inspector_card_pdf
    from permitgen.package.standing import inspector_card_of_project

    return {"inspector_card.pdf": inspector_card_pdf(inspector_card_of_project(opened))}


def _forms(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.form_job import filled_forms

    return filled_forms(opened)


def _site_photos(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.submission_job import photo_pages

    return photo_pages(opened)


def _project_file(opened: OpenedProject, _earlier: Files) -> Files:
    """A copy of the file that was read: whoever has the package can draw it again."""
    name = Path(opened.loaded.file.file).name
    from permitgen.reading.shared_files import inside_name

    shared = {f"project_file/{inside_name(each)}": content for each, content in opened.loaded.shared.items()}
    return {f"project_file/{name}": opened.inputs[name], **shared}


DOCUMENTS: tuple[Document, ...] = (
    _of_view("calculations", "Electrical calculation", _calculation_view, _calculations),
    _of_view("derivations", "Derivations", _derivations_view, _derivations),
    _of_view("derivations_paper", "Derivations on paper", _derivations_view, _derivations_paper, on_request=True),
    Document("plan_set", "Plan set", _plan_set),
    _of_view("placard", PLACARD, _placard_view, _placard),
    _of_view("labels", "Labels", _labels_view, _labels),
    Document("hanging_plan", "Hanging plan", _hanging_plan),
    Document("engraving", "Drawings for engravers (DXF)", _engraving, on_request=True),
    Document("field_checklist", "Field checklist", _field_checklist),
    Document("field_limits", "What else passes, on paper", _field_limits, on_request=True),
    Document("inspector_card", "Inspection card", _inspector_card),
    Document("panel_door", "Paper copy of the record, for the panel door", _panel_door),
    Document("record", "As-built record", _record),
    Document("review_reply", "Reply to the plan review", _review_reply),
    Document("fire_notice", "Notice to the fire official", _fire_notice),
    _of_view("material_list", "Material list", _material_list_view, _material_list),
    Document("forms", "Forms of the department and the utility", _forms),
    Document("site_photos", "Site photos", _site_photos),
    Document("findings", "Findings for other programs", _findings),
    Document("project_file", "Copy of the project file", _project_file),
)
