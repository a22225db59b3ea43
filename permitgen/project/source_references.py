"""Who states a figure is told in one place: beside the figure, or in the key for its source."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.measured import Measured
from permitgen.project.reference_check import Check
from permitgen.reading.problems import Problem


def sources_told_twice(check: Check) -> Iterator[Problem]:
    """Yield a problem for each fault current whose source stands beside it and in ``fault_current_source`` too."""
    for tag, item in check.models.equipment.items():
        figure, told = getattr(item, "available_fault_current", None), getattr(item, "fault_current_source", "")
        if isinstance(figure, Measured) and figure.source and told:
            message = f"available_fault_current says who states it: {figure.text}; expected no fault_current_source beside it"
            yield check.problem(("equipment", tag, "fault_current_source"), message, at_key=True)
