"""The building of what states none."""

from __future__ import annotations

from permitgen.project.sections.project_file import ProjectFile


def usual_building(models: ProjectFile) -> str:
    """Return the building of what states none: the only one on the site plan, ``house`` without a plan, empty among several."""
    plan = models.site.plan
    names = list(plan.buildings) if plan is not None else []
    return "" if len(names) > 1 else names[0] if names else "house"
