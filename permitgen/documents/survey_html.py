"""Writes the survey as one HTML file: the machinery of the checklist's page, with questions in place of checks."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from permitgen.documents.checklist_html import form_data
from permitgen.documents.html_page import json_island, page
from permitgen.documents.survey_figures import survey_figure

if TYPE_CHECKING:
    from permitgen.views.survey import Survey

CAUTIONS = (
    "Every conductor is live until a meter says otherwise. Open no cover for this survey unless you are qualified to.",
    "“Could not see it” is an answer: it is kept, and nobody guesses. “There is none” means that you looked and there is none.",
    "Measure with a tape and write the figure with its unit. Where a photo is wanted, the photo is better than the answer alone.",
)


def survey_html(view: Survey, project_folder: Path | None = None) -> bytes:
    """Return ``survey.html``."""
    drawn = {name: survey_figure(name) for name in view.figures}
    values = {
        "survey": view,
        "title": view.title,
        "cautions": CAUTIONS,
        "figures": {name: {"svg": Markup(figure.svg), "caption": figure.caption} for name, figure in drawn.items()},  # noqa: S704  escaped
        "data": json_island(form_data(view)),
        "count": view.entries,
    }
    return page("survey.html", values, styles="checklist.css", scripts="checklist.js", project_folder=project_folder)
