"""Things on and around a house from which an ordinance may ask a distance, by the names that ordinances and project files use."""

from __future__ import annotations

from permitgen.system.equipment.kinds import KINDS

PROPERTY_LINE = "property line"
OPENINGS = {
    "door": ("door",),
    "window": ("window",),
    "door or window": ("door", "window"),
    "exit": ("door",),
}
"""Openings that count by the name of the thing: each whose kind contains one of the words."""

ESCAPE = "emergency escape opening"
DRAWN_AS = {"exit": (ESCAPE,)}
"""Features of the plan that count beside those of the same name."""

FEATURES = (
    ESCAPE,
    "gas meter",
    "gas regulator",
    "propane tank",
    "air intake",
    "exhaust vent",
    "swimming pool",
    "driveway",
    "street",
    "walk",
    "fence",
    "tree",
    "well",
    "hydrant",
)

EQUIPMENT = {kind.replace("_", " "): kind for kind in KINDS}
"""Kinds of equipment by their names in words."""

THINGS = (PROPERTY_LINE, *OPENINGS, *FEATURES, *EQUIPMENT)

NOT_IN = (
    "basement",
    "under stairs",
    "dwelling unit",
    "garage",
    "closet",
    "bedroom",
    "attic",
    "crawl space",
    "outside wall",
    "ground outdoors",
    "roof",
    "indoors",
    "outdoors",
)
"""Places in which an ordinance may forbid a thing."""


def fact_of(thing: str) -> str:
    """Return the name under which a place keeps its stated distance from a thing."""
    return f"distance from {thing}"
