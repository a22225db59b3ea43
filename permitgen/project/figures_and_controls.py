"""What loads that are known as one figure and power control systems name exists and can have it."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.messages import Location
from permitgen.project.sections.project_file import ProjectFile
from permitgen.reading.nearest import did_you_mean
from permitgen.system.equipment.kinds import KINDS

# A place in the file, what is wrong there, and whether the key is meant rather than its value.
Fault = tuple[Location, str, bool]


def carriers_of_loads(models: ProjectFile) -> list[str]:
    """Return the tags of the equipment behind which loads of a house lie: panels, switches and meters."""
    return [tag for tag, item in models.equipment.items() if KINDS[item.kind].carries_loads]


def known_load_faults(models: ProjectFile) -> Iterator[Fault]:
    """Yield what is wrong with the tags behind which a load is known."""
    carriers = carriers_of_loads(models)
    for tag in models.known_loads:
        item = models.equipment.get(tag)
        if item is None:
            yield ("known_loads", tag), f'no equipment has the tag "{tag}"{did_you_mean(tag, carriers)}', True
        elif tag not in carriers:
            yield ("known_loads", tag), f"{tag} is of the kind {item.kind}, behind which no load of a house lies", True


def power_control_faults(models: ProjectFile) -> Iterator[Fault]:
    """Yield what is wrong with sources and places; of two settings for a source at one place, one would be forgotten."""
    sources = [tag for tag, item in models.equipment.items() if KINDS[item.kind].output_can_be_held]
    places = [*(tag for tag, item in models.equipment.items() if KINDS[item.kind].is_cabinet_with_bus), *models.circuits]
    held: dict[tuple[str, str], str] = {}
    for tag, control in models.power_control.items():
        for key, what, names, known in (
            ("sources", "no source that can be held has the tag", control.sources, sources),
            ("limits", "no busbar or circuit has the tag", control.limits, places),
        ):
            for name in names:
                if name not in known:
                    yield ("power_control", tag, key), f'{what} "{name}"{did_you_mean(name, known)}', False
        for source, place in ((source, place) for source in control.sources for place in control.limits):
            if (source, place) in held:
                by = held[source, place]
                message = f"{source} is held on {place} by {by} already; expected one setting for a source at one place"
                yield ("power_control", tag, "sources"), message, False
            held.setdefault((source, place), tag)
