"""The Document IDs of a project: what each is, and which files of the package print it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once
from permitgen.views.document_list import ListedDocument

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject


@made_once
def documents_of(opened: OpenedProject) -> tuple[ListedDocument, ...]:
    """Return every label, plate, sheet and page of a project but the record, which lists the others."""
    return tuple(listed for _, list_them in _LISTS for listed in list_them(opened))


def documents_in(opened: OpenedProject, files: Iterable[str]) -> tuple[ListedDocument, ...]:
    """Return those that are printed in ``files`` of the package, the record too."""
    names = set(files)
    lists = [list_them for any_of, list_them in (*_LISTS, _RECORD) if names.intersection(any_of)]
    return tuple(listed for list_them in lists for listed in list_them(opened))


def _labels(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.documents.label_package import file_names
    from permitgen.package.label_job import labels_of

    labels = labels_of(opened).labels
    for label, name in zip(labels, file_names(labels), strict=True):
        files = ("labels.pdf", *(f"labels/{name}{form}" for form in (".pdf", ".svg", ".png")))
        yield ListedDocument(label.document_id, "label", label.name, "; ".join(label.places), label.tag, files)


@made_once
def _placards(opened: OpenedProject) -> tuple[ListedDocument, ...]:
    from permitgen.documents.placard import placard_plates
    from permitgen.package.placard_job import placards_due, placards_made

    made = placards_made(opened)
    drawings = placard_plates(made) if made else ()
    found: list[ListedDocument] = []
    for placard in placards_due(opened):
        name = f"Directory placard, placard {placard.number} of {placard.of}"
        files = ("placard.pdf", *(plate.drawing for plate in drawings if plate.placard.number == placard.number))
        found.append(ListedDocument(placard.document_id, "plate", name, placard.place, files=files))
    return tuple(found)


def hung_documents(opened: OpenedProject) -> tuple[ListedDocument, ...]:
    """Return every label and plate of a project."""
    return (*_labels(opened), *_placards(opened))


def _hanging_plan(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.hanging_job import hanging_plan_of_project

    plan = hanging_plan_of_project(opened)
    if plan.places:
        yield ListedDocument(plan.document_id, "page", "Hanging plan", files=("hanging_plan.pdf",))


def _sheets(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.plan_set_job import drawn_plan_set

    _plans, sheets = drawn_plan_set(opened)
    for drawing in sheets.drawings:
        name = drawing.name
        yield ListedDocument(name.document_id, "sheet", f"{name.number} {name.title}", files=("plan_set.pdf",))
    yield ListedDocument(sheets.document_id, "plan set", "Plan set, all sheets", files=("plan_set.pdf",))


def _calculations(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.calculation_job import calculation_of

    files = ("calculations.pdf", "calculations.docx")
    yield ListedDocument(calculation_of(opened).document_id, "page", "Electrical calculations", files=files)


def _derivations(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.calculation_job import derivations_of

    files = ("derivations.html", "derivations.pdf", "derivations.docx")
    yield ListedDocument(derivations_of(opened).document_id, "page", "Derivations of the electrical calculation", files=files)


def _checklist(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.field_and_record import checklist_of

    files = tuple(f"field_checklist{form}" for form in (".html", ".pdf", ".docx"))
    yield ListedDocument(checklist_of(opened).document_id, "page", "Field checklist", files=files)


def _review_reply(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.views.review_reply import review_reply_of

    reply = review_reply_of(opened.evaluation)
    if reply is not None:
        yield ListedDocument(reply.document_id, "page", "Reply to the plan review", files=("review_reply.docx",))


def _fire_notice(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.views.fire_notice import fire_notice_of

    notice = fire_notice_of(opened.evaluation)
    if notice is not None:
        yield ListedDocument(notice.document_id, "page", "Notice to the fire official", files=("fire_notice.pdf",))


def _inspector_card(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.standing import inspector_card_of_project

    card = inspector_card_of_project(opened)
    yield ListedDocument(card.document_id, "page", "Inspection card", files=("inspector_card.pdf",))


def _panel_door(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.field_and_record import panel_door_of_project

    yield ListedDocument(panel_door_of_project(opened).document_id, "page", "Paper copy of the record", files=("panel_door.pdf",))


def _material_list(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.package.material_job import material_list_of_project

    files = tuple(f"material_list{form}" for form in (".pdf", ".csv", ".xlsx"))
    yield ListedDocument(material_list_of_project(opened).document_id, "page", "Material list", files=files)


def _record(opened: OpenedProject) -> Iterator[ListedDocument]:
    from permitgen.documents.record_html import FIRST_PAGE, page_names
    from permitgen.package.field_and_record import record_of_project

    record = record_of_project(opened, {})
    public, private = record.public, record.private
    files = {
        "record": page_names(public),
        "record_owner": (FIRST_PAGE,),
        "record_professional": page_names(private.public),
    }
    in_folder = {folder: tuple(f"{folder}/{name}" for name in (*names, "record.json")) for folder, names in files.items()}
    yield ListedDocument(public.document_id, "page", "As-built record", files=in_folder["record"])
    yield ListedDocument(private.document_id, "page", "Private record", files=in_folder["record_owner"] + in_folder["record_professional"])


_LISTS: tuple[tuple[tuple[str, ...], Callable[[OpenedProject], Iterable[ListedDocument]]], ...] = (
    (("labels.pdf",), _labels),
    (("placard.pdf",), _placards),
    (("plan_set.pdf",), _sheets),
    (("calculations.pdf",), _calculations),
    (("derivations.html", "derivations.pdf"), _derivations),
    (("hanging_plan.pdf",), _hanging_plan),
    (("field_checklist.pdf",), _checklist),
    (("review_reply.docx",), _review_reply),
    (("fire_notice.pdf",), _fire_notice),
    (("material_list.pdf",), _material_list),
    (("inspector_card.pdf",), _inspector_card),
    (("panel_door.pdf",), _panel_door),
)
"""What lists the Document IDs of files of the package, where one of them is there."""
_RECORD = (("record/record.json",), _record)
