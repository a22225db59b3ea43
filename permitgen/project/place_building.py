"""At which building a place is, where the file does not say: the only one on the plan, or the one whose outline it is in or at."""

from __future__ import annotations

from typing import Any

from permitgen.project.sections.project_file import ProjectFile
from permitgen.rules.quantities.plan_geometry import contains, distance_to_segment, edges, points_of

# Equipment on an outside wall is drawn within this distance of the outline.
AT_WALL_FT = 3.0


def usual_building(models: ProjectFile) -> str:
    """Return the building of what states none: the only one on the site plan, ``house`` without a plan, empty among several."""
    plan = models.site.plan
    names = list(plan.buildings) if plan is not None else []
    return "" if len(names) > 1 else names[0] if names else "house"


def building_of_place(place: Any, models: ProjectFile) -> str:
    """Return the building of a place; empty where several stand on the site and neither the file nor the plan tells."""
    known = place.building or usual_building(models)
    if known or len(place.map) != 2:
        return known
    point = (place.map[0], place.map[1])
    plan = models.site.plan
    outlines = {name: points_of(building.outline) for name, building in plan.buildings.items()} if plan is not None else {}
    inside = [name for name, outline in outlines.items() if outline and contains(outline, point)]
    if inside:
        return inside[0]
    away = {
        name: min(distance_to_segment(point, *edge) for edge in edges(outline)) for name, outline in outlines.items() if len(outline) > 1
    }
    nearest = min(away, key=lambda name: away[name], default="")
    return nearest if nearest and away[nearest] <= AT_WALL_FT else ""
