"""The notice to the fire official: one page, in the words of the placard, about what the file states and nothing else."""

from dataclasses import replace

import pypdfium2
import pytest

from permitgen.documents.fire_notice_pdf import fire_notice_pdf
from permitgen.views import fire_notice
from permitgen.views.emergency import emergency_of
from permitgen.views.fire_notice import fire_notice_of


def _text(content):
    document = pypdfium2.PdfDocument(content)
    return len(document), " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


@pytest.mark.parametrize("name", ["demo", "b03_whole_home", "b06b_transfer_switch", "b24_ground_mount"])
def test_it_is_one_page_and_says_what_the_placard_says(evaluations, name):
    notice = fire_notice_of(evaluations[name])
    pages, text = _text(fire_notice_pdf(notice))
    assert pages == 1
    steps = emergency_of(evaluations[name]).english.steps
    assert steps
    for words in (*(part for step in steps for part in (step.place, step.object, step.action, step.stops)), notice.warning, notice.wait):
        assert " ".join(words.split()) in text.replace("\u00a0", " "), words
    for words in notice.stays_live:
        assert words in text


def test_storage_is_told_as_the_file_tells_it(demo):
    """Both units: 12.4 kWh, bollards, a heat detector; 9 ft and 8.2 ft to the next opening (project.yaml, ESS1 and ESS2)."""
    _, text = _text(fire_notice_pdf(fire_notice_of(demo.evaluation)))
    text = text.replace("\u00a0", " ")
    assert text.count("12.4 kWh") == 2
    assert text.count("heat detector") == text.count("bollard") == 2
    assert "9 ft" in text
    assert "8.2 ft" in text


def test_there_is_none_where_the_steps_leave_something_live(demo, monkeypatch):
    emergency = emergency_of(demo.evaluation)
    monkeypatch.setattr(fire_notice, "emergency_of", lambda _evaluation: replace(emergency, makes_dead=False))
    assert fire_notice_of(demo.evaluation) is None
