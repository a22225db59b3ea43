"""What the newest revision changed on the sheets, by tag: rows of schedules, units and circuits of the one-line, things on plans."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from permitgen.views.one_line import Lead, OneLine, Unit
    from permitgen.views.plans import Plans
    from permitgen.views.schedules import Schedule

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class RevisionClouds:
    """What is clouded, and the ``mark`` of the revision; nothing where the earlier revision was not kept.

    ``rows`` are titles of schedules with rows that the earlier revision does not have; the others are tags.
    """

    mark: str = ""
    rows: frozenset[tuple[str, tuple[str, ...]]] = frozenset()
    units: frozenset[str] = frozenset()
    circuits: frozenset[str] = frozenset()
    equipment: frozenset[str] = frozenset()
    elevations: frozenset[str] = frozenset()
    routes: frozenset[str] = frozenset()

    def mark_of_row(self, title: str, row: tuple[str, ...]) -> str:
        """Return the mark beside a row of a schedule, empty where the revision left it as it was."""
        return self.mark if (title, row) in self.rows else ""


NO_CLOUDS = RevisionClouds()


def changed_rows(before: Iterable[Schedule], after: Iterable[Schedule]) -> frozenset[tuple[str, tuple[str, ...]]]:
    """Return the rows, with the title of their schedule, that are new or say something else."""
    earlier = {(schedule.title, row) for schedule in before for row in schedule.rows}
    return frozenset((schedule.title, row) for schedule in after for row in schedule.rows) - earlier


def changed_units(before: OneLine, after: OneLine) -> frozenset[str]:
    """Return the tags of units that are new or say something else themselves, whatever hangs on them."""
    return _changed((_own(unit) for unit in before.units()), (_own(unit) for unit in after.units()), lambda unit: unit.tag)


def _own(unit: Unit) -> Unit:
    return replace(unit, branches=(), entries=(), came_from="")


def changed_circuits(before: OneLine, after: OneLine) -> frozenset[str]:
    """Return the tags of circuits that are new or whose conductors or devices say something else."""
    leads = _changed(_leads(before), _leads(after), lambda lead: "/".join(lead.tags))
    return frozenset(tag for tags in leads for tag in tags.split("/"))


def _leads(view: OneLine) -> Iterable[Lead]:
    return (way.lead for unit in view.units() for branch in unit.branches for way in branch.ways if way.lead is not None)


def plan_changes(before: Plans, after: Plans) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Return the tags of equipment and of enclosures on elevations that changed place or words, and of runs that changed their way."""
    equipment = _changed(before.site.equipment, after.site.equipment, lambda item: item.tag)
    elevations = _changed(
        (item for wall in before.elevations.walls for item in wall.items),
        (item for wall in after.elevations.walls for item in wall.items),
        lambda item: item.tag,
    )
    routes = _changed(before.site.routes, after.site.routes, lambda route: route.tag)
    return equipment, elevations, routes


def _changed(before: Iterable[T], after: Iterable[T], name: Callable[[T], str]) -> frozenset[str]:
    earlier = {name(item): item for item in before}
    return frozenset(name(item) for item in after if earlier.get(name(item)) != item)
