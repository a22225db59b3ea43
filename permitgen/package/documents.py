"""The documents of a package: one line each. A document is a function from the opened project to files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from permitgen.package.made_once import made_once
from permitgen.package.placard_job import PLACARD

if TYPE_CHECKING:
    from permitgen.documents.plan_set import PlanSet
    from permitgen.evaluation.gates import Gate
    from permitgen.package.opened_project import OpenedProject
    from permitgen.views.asked import AskedPoint
    from permitgen.views.calculation_sheet import CalculationSheet
    from permitgen.views.field_checklist import FieldChecklist
    from permitgen.views.findings import FindingText
    from permitgen.views.fire_notice import FireNotice
    from permitgen.views.hanging_plan import HangingPlan
    from permitgen.views.inspector_card import InspectorCard
    from permitgen.views.label import LabelView
    from permitgen.views.label_denials import Denials
    from permitgen.views.label_set import LabelSet
    from permitgen.views.material_list import MaterialList
    from permitgen.views.panel_door import PanelDoor
    from permitgen.views.placard import Placard
    from permitgen.views.questions import Question
    from permitgen.views.review_reply import ReviewReply
    from permitgen.views.reviewer.parts import ReviewerCalculation
    from permitgen.views.title import DocumentTitle

    ToldFindings = tuple[tuple[FindingText, ...], tuple[Question, ...], tuple[Gate, ...], DocumentTitle, str, tuple[AskedPoint, ...]]

Files = Mapping[str, bytes]
View = TypeVar("View")


@dataclass(frozen=True, slots=True)
class Document:
    """A document of the package: its name, what it is, and what draws it; it is given the files drawn before it.

    One ``on_request`` is drawn only where ``--only`` names it. ``shows`` returns all that it is drawn from beside the project's
    templates: while that stays the same, its files do; without it, or where it cannot be told (``NotPlainError``), a document is drawn
    each time that anything changed. ``of`` is the document of which this is a part that shows less, and by whose name it is asked for.
    """

    name: str
    title: str
    draw: Callable[[OpenedProject, Files], Files]
    on_request: bool = False
    shows: Callable[[OpenedProject], object] | None = None
    of: str = ""

    @property
    def asked_as(self) -> str:
        """Its name for ``--only``."""
        return self.of or self.name


def _of_view(
    name: str, title: str, shows: Callable[[OpenedProject], View], draw: Callable[[View, Path], Files], *, on_request: bool = False
) -> Document:
    """Return a document that is drawn from what it shows and the templates in the project's folder.

    ``draw`` is given nothing else, so that nothing else can show on paper while an older drawing is kept.
    """
    shown = made_once(shows)  # whether it stays is asked before it is drawn
    return Document(name, title, lambda opened, _earlier: draw(shown(opened), opened.loaded.folder), on_request, shown)


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


def _labels_view(opened: OpenedProject) -> tuple[LabelSet, DocumentTitle, str, tuple[Denials, ...]]:
    from permitgen.package.label_job import denials_of_labels, labels_of
    from permitgen.package.standing import hanging_mark
    from permitgen.views.title import title_of

    return labels_of(opened), title_of(opened.evaluation), hanging_mark(opened), denials_of_labels(opened)


def _labels(view: tuple[LabelSet, DocumentTitle, str, tuple[Denials, ...]], _folder: Path) -> Files:
    from permitgen.documents.label_package import label_package

    return label_package(*view)


def _material_list_view(opened: OpenedProject) -> MaterialList:
    from permitgen.package.material_job import material_list_of_project

    return material_list_of_project(opened)


def _material_list(view: MaterialList, _folder: Path) -> Files:
    from permitgen.package.material_job import material_list_files

    return material_list_files(view)


def _plan_set(opened: OpenedProject, _earlier: Files) -> Files:
    """Of the sheets, which the manifest lists too, and which follow from what the set shows."""
    from permitgen.package.plan_set_job import plan_set_files

    return plan_set_files(opened)


def _plan_set_view(opened: OpenedProject) -> PlanSet:
    from permitgen.package.plan_set_job import shown_by_plan_set

    return shown_by_plan_set(opened)


def _hanging_plan_view(opened: OpenedProject) -> tuple[HangingPlan, str]:
    from permitgen.package.hanging_job import hanging_plan_of_project
    from permitgen.package.standing import hanging_mark

    return hanging_plan_of_project(opened), hanging_mark(opened)


def _hanging_plan(view: tuple[HangingPlan, str], _folder: Path) -> Files:
    from permitgen.package.hanging_job import hanging_plan_files

    return hanging_plan_files(*view)


def _engraving_view(opened: OpenedProject) -> tuple[tuple[LabelView, ...], tuple[Placard, ...], str]:
    from permitgen.package.label_job import labels_of
    from permitgen.package.placard_job import placards_made
    from permitgen.package.standing import hanging_mark

    return labels_of(opened).labels, placards_made(opened), hanging_mark(opened)


def _engraving(view: tuple[tuple[LabelView, ...], tuple[Placard, ...], str], _folder: Path) -> Files:
    from permitgen.package.engraving_job import engraving_files

    return engraving_files(*view)


def _checklist_view(opened: OpenedProject) -> FieldChecklist:
    from permitgen.package.field_and_record import checklist_of

    return checklist_of(opened)


def _checklist(view: FieldChecklist, folder: Path) -> Files:
    from permitgen.package.field_and_record import checklist_form

    return checklist_form(view, folder)


def _checklist_paper_view(opened: OpenedProject) -> FieldChecklist:
    from permitgen.package.field_and_record import checklist_on_paper

    return checklist_on_paper(opened)


def _checklist_paper(view: FieldChecklist, folder: Path) -> Files:
    from permitgen.package.field_and_record import checklist_papers

    return checklist_papers(view, folder)


def _field_limits(view: FieldChecklist, _folder: Path) -> Files:
    from permitgen.package.field_and_record import limits_files

    return limits_files(view)


def _panel_door_view(opened: OpenedProject) -> tuple[PanelDoor, str]:
    from permitgen.package.field_and_record import panel_door_of_project, panel_door_while_shut
    from permitgen.package.standing import hanging_mark, service_mark

    # It is hung, and it tells how to switch on.
    view = panel_door_while_shut(opened) if service_mark(opened) else panel_door_of_project(opened)
    return view, hanging_mark(opened) or service_mark(opened)


def _panel_door(view: tuple[PanelDoor, str], _folder: Path) -> Files:
    from permitgen.documents.panel_door_pdf import panel_door_pdf

    return {"panel_door.pdf": panel_door_pdf(*view)}


def _record(opened: OpenedProject, earlier: Files) -> Files:
    """The record lists the documents handed in with their digests; the form for the phone is none of them."""
    from permitgen.package.field_and_record import record_files_of

    return record_files_of(
        opened, {name: content for name, content in earlier.items() if "/" not in name and name != "field_checklist.html"}
    )


def _findings_view(opened: OpenedProject) -> ToldFindings:
    from permitgen.package.asked_job import asked_of
    from permitgen.package.standing import findings_of_states, standing_of_project
    from permitgen.views.questions import questions_of
    from permitgen.views.title import title_of

    findings = findings_of_states(opened, with_inapplicable=True)
    questions = questions_of(findings, opened.evaluation.system)
    return findings, questions, standing_of_project(opened).gates, title_of(opened.evaluation), opened.fingerprint, asked_of(opened)


def _findings(view: ToldFindings, _folder: Path) -> Files:
    from permitgen.documents.findings_json import findings_json

    return {"findings.json": findings_json(*view, in_package=True)}


def _review_reply_view(opened: OpenedProject) -> ReviewReply | None:
    from permitgen.views.review_reply import review_reply_of

    return review_reply_of(opened.evaluation)


def _review_reply(reply: ReviewReply | None, folder: Path) -> Files:
    from permitgen.documents.resources import template_path
    from permitgen.documents.review_reply_docx import review_reply_docx

    if reply is None:
        return {}
    return {"review_reply.docx": review_reply_docx(reply, template_path("review_reply.docx", folder))}


def _fire_notice_view(opened: OpenedProject) -> FireNotice | None:
    from permitgen.views.fire_notice import fire_notice_of

    return fire_notice_of(opened.evaluation)


def _fire_notice(notice: FireNotice | None, _folder: Path) -> Files:
    from permitgen.documents.fire_notice_pdf import fire_notice_pdf

    return {} if notice is None else {"fire_notice.pdf": fire_notice_pdf(notice)}


def _inspector_card_view(opened: OpenedProject) -> InspectorCard:
    from permitgen.package.standing import inspector_card_of_project

    return inspector_card_of_project(opened)


def _inspector_card(card: InspectorCard, _folder: Path) -> Files:
    from permitgen.documents.inspector_card_pdf import inspector_card_pdf

    return {"inspector_card.pdf": inspector_card_pdf(card)}


def _forms_view(opened: OpenedProject) -> object:
    from permitgen.package.form_job import answers_in_forms
    from permitgen.reading.problems import ProblemsError
    from permitgen.views.view_digest import NotPlainError

    try:
        return answers_in_forms(opened)
    except ProblemsError as error:
        raise NotPlainError("a form asks for a value that cannot be written, which drawing it says") from error


def _forms(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.form_job import filled_forms

    return filled_forms(opened)


def _site_photos_view(opened: OpenedProject) -> tuple[DocumentTitle, tuple[tuple[str, bytes], ...]]:
    from permitgen.views.title import title_of

    return title_of(opened.evaluation), tuple((photo.title, photo.data) for photo in opened.photos)


def _site_photos(opened: OpenedProject, _earlier: Files) -> Files:
    from permitgen.package.submission_job import photo_pages

    return photo_pages(opened)


def _project_file_view(opened: OpenedProject) -> Files:
    """A copy of the file that was read: whoever has the package can draw it again."""
    from permitgen.reading.shared_files import inside_name

    name = Path(opened.loaded.file.file).name
    shared = {f"project_file/{inside_name(each)}": content for each, content in opened.loaded.shared.items()}
    return {f"project_file/{name}": opened.inputs[name], **shared}


def _project_file(files: Files, _folder: Path) -> Files:
    return files


DOCUMENTS: tuple[Document, ...] = (
    _of_view("calculations", "Electrical calculation", _calculation_view, _calculations),
    _of_view("derivations", "Derivations", _derivations_view, _derivations),
    _of_view("derivations_paper", "Derivations on paper", _derivations_view, _derivations_paper, on_request=True),
    Document("plan_set", "Plan set", _plan_set, shows=_plan_set_view),
    _of_view("placard", PLACARD, _placard_view, _placard),
    _of_view("labels", "Labels", _labels_view, _labels),
    _of_view("hanging_plan", "Hanging plan", _hanging_plan_view, _hanging_plan),
    _of_view("engraving", "Drawings for engravers (DXF)", _engraving_view, _engraving, on_request=True),
    _of_view("field_checklist", "Field checklist", _checklist_view, _checklist),
    replace(_of_view("field_checklist_paper", "Field checklist on paper", _checklist_paper_view, _checklist_paper), of="field_checklist"),
    _of_view("field_limits", "What else passes, on paper", _checklist_paper_view, _field_limits, on_request=True),
    _of_view("inspector_card", "Inspection card", _inspector_card_view, _inspector_card),
    _of_view("panel_door", "Paper copy of the record, for the panel door", _panel_door_view, _panel_door),
    Document("record", "As-built record", _record),
    _of_view("review_reply", "Reply to the plan review", _review_reply_view, _review_reply),
    _of_view("fire_notice", "Notice to the fire official", _fire_notice_view, _fire_notice),
    _of_view("material_list", "Material list", _material_list_view, _material_list),
    Document("forms", "Forms of the department and the utility", _forms, shows=_forms_view),
    Document("site_photos", "Site photos", _site_photos, shows=_site_photos_view),
    _of_view("findings", "Findings for other programs", _findings_view, _findings),
    _of_view("project_file", "Copy of the project file", _project_file_view, _project_file),
)
