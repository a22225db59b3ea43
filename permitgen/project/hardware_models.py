"""Reads every entry of a hardware file as a project would, also those that no project uses."""

from __future__ import annotations

from pydantic import TypeAdapter, ValidationError

from permitgen.project.fields import no_answers
from permitgen.project.hardware_files import with_sources
from permitgen.project.messages import problems_of
from permitgen.project.sections.equipment import CatalogEntry
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile

CATALOG: TypeAdapter[dict[str, CatalogEntry]] = TypeAdapter(dict[str, CatalogEntry])


def entry_problems(read: ReadFile) -> list[Problem]:
    """Return what is wrong with the entries of a hardware file, each at its place."""
    unanswered = [read.problem(where, message) for where, message in no_answers(read.data)]
    if unanswered:
        return unanswered
    entries, problems = with_sources(read, "catalog")
    try:
        CATALOG.validate_python(entries)
    except ValidationError as error:
        errors = [{**each, "loc": ("catalog", *each["loc"])} for each in error.errors(include_url=False, include_input=False)]
        problems += problems_of(errors, read, lambda location: location)
    return problems
