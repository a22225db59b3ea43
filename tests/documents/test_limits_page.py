"""The limits page of the checklist: on the phone and on paper, of one revision, part of the checklist's Document ID."""

import html
import io
import re
from dataclasses import replace

import pypdfium2
import pytest

from permitgen.documents.checklist_html import checklist_html
from permitgen.documents.limits_pdf import limits_pdf
from permitgen.package.field_and_record import checklist_of
from permitgen.views.document_id import document_id


@pytest.fixture(scope="module")
def view(demo):
    return checklist_of(demo)


def squeezed(text):
    return re.sub(r"\s+", "", text.replace("\u00a0", " "))


def texts_of(page):
    for card in page.cards:
        yield from (card.name, *card.violated, card.note)
        for line in card.lines:
            yield from (line.what, line.now, line.passes, line.with_approval, *line.refused)


def test_every_circuit_is_on_the_page(demo, view):
    assert {card.tag for card in view.limits.cards} == set(demo.evaluation.system.circuits)


def test_the_phone_shows_every_text(view):
    shown = squeezed(html.unescape(re.sub(r"<[^>]+>", " ", checklist_html(view).decode("utf-8"))))
    assert all(squeezed(text) in shown for text in (view.limits.title, *view.limits.cautions, *texts_of(view.limits)))
    assert squeezed(view.limits.revision) in shown


def test_paper_shows_every_text_and_what_circuits_share_once(view):
    document = pypdfium2.PdfDocument(io.BytesIO(limits_pdf(view)))
    shown = squeezed("".join(document[number].get_textpage().get_text_range() for number in range(len(document))))
    for text in (view.limits.title, *texts_of(view.limits)):
        # A row may go on over the page, with footer and header between.
        assert squeezed(text)[:25] in shown, text
    assert "asatC4" in shown


def test_the_document_id_counts_what_passes_and_not_the_revision(view):
    card = view.limits.cards[0]
    changed = replace(card, lines=(replace(card.lines[0], passes="something else"), *card.lines[1:]))
    other = replace(view, limits=replace(view.limits, cards=(changed, *view.limits.cards[1:])))
    assert document_id("field checklist", other) != view.document_id
    later = replace(view, limits=replace(view.limits, revision="Revision 9"))
    assert document_id("field checklist", later) == view.document_id
