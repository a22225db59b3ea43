"""Page and paper of the survey hold the same questions, by where one stands, and every drawing that a question names."""

from __future__ import annotations

import html
import json
import re

import pypdfium2
import pytest

from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.text_width import text_width
from permitgen.documents.survey_figures import HEIGHT_MM, WIDTH_MM, survey_figure
from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from permitgen.package.survey_job import survey_files, survey_of_project
from permitgen.views import survey
from tests.surveyed import answer, opened_house, sent

DEPTH = "survey:equipment.MSP.place.clear_depth"
HOSTILE = "</script><script>alert(1)</script>{{ 7 * 191 }}"
DRAWN = sorted({*survey._FIGURES.values(), survey._PLATE, survey._LUGS})


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    folder = opened_house(tmp_path_factory.mktemp("survey") / "house")
    take_in_results(folder, sent(folder, [answer(DEPTH, reason=HOSTILE)]))
    return open_project(folder)


@pytest.fixture(scope="module")
def files(opened):
    return survey_files(opened)


def squeezed(text):
    return re.sub(r"\s+", "", text.replace("\u00a0", " "))


def texts(files):
    document = pypdfium2.PdfDocument(files["survey.pdf"])
    paper = "".join(document[number].get_textpage().get_text_range() for number in range(len(document)))
    page = re.sub(r"<script.*?</script>", " ", files["survey.html"].decode(), flags=re.DOTALL)
    return {"paper": squeezed(paper), "page": squeezed(html.unescape(re.sub(r"<[^>]+>", " ", page)))}


def test_every_question_stands_on_page_and_paper_with_its_meaning_and_choices(opened, files):
    for name, text in texts(files).items():
        for section in survey_of_project(opened).sections:
            assert squeezed(section.title) in text, name
            for line in section.lines:
                assert squeezed(line.instruction) in text, (name, line.id)
                assert squeezed(line.why) in text, (name, line.id)
                assert all(squeezed(told) in text for told in line.earlier), (name, line.id)
    paper = texts(files)["paper"]
    assert paper.count(squeezed("could not see it")) >= len(survey_of_project(opened).lines)
    assert all(choice in paper for choice in ("obstructed", "threadedhubs"))


def test_a_question_stands_where_its_answer_is_seen(opened):
    """The panel's clearances at the panel, the meter's plate at the meter, a run outdoors where it begins."""
    stands = {line.id: section.title for section in survey_of_project(opened).sections for line in section.lines}
    assert stands[DEPTH] == stands["survey:equipment.MSP.busbar"] == "At the main panel"
    assert stands["survey:equipment.MTR.enclosure_type"] == "At the meter"
    assert len(stands) == len(survey_of_project(opened).lines)


def test_a_question_counts_what_waits_for_it(opened):
    line = next(line for line in survey_of_project(opened).questions if line.id == "survey:equipment.MSP.place.dedicated_space")
    assert (line.opens, line.among) == (1, 0)
    assert line.waits == "decides 1 check"


def test_the_page_needs_no_network_and_takes_any_text_as_text(files):
    text = files["survey.html"].decode()
    assert HOSTILE not in text
    assert html.escape(HOSTILE, quote=False) in text or "&lt;/script&gt;" in text
    assert not re.search(r"(?:src|href)=\"(?!#)", text)
    assert "default-src 'none'" in html.unescape(text)
    data = json.loads(re.search(r'<script type="application/json" id="form">(.*?)</script>', text, re.DOTALL).group(1))
    assert data["kind"] == "survey"
    assert data["lines"][DEPTH]["kind"] == "answer"


@pytest.mark.parametrize("name", DRAWN)
def test_every_kind_of_measurement_has_a_drawing_that_keeps_to_its_frame(name):
    figure = survey_figure(name)
    assert figure.caption.endswith(".")
    assert f'aria-label="{figure.caption}"' in figure.svg
    for shape in figure.shapes:
        if isinstance(shape, Text):
            half = text_width(shape.text, shape.style) / 2
            assert half <= shape.x <= WIDTH_MM - half, shape.text
            assert shape.y < HEIGHT_MM
