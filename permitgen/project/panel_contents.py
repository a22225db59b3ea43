"""What a file says of one panel in two ways has to agree: the breakers of its circuits and the totals stated."""

from __future__ import annotations

from collections.abc import Iterator

from permitgen.project.messages import Location, Where
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.panel_rows import PanelRow, panel_rows
from permitgen.system.system import System

_TOLERANCE_A = 1e-6


def panel_problems(system: System, file: ReadFile, where: Where) -> list[Problem]:
    """Return every total that the breakers of the file contradict."""
    found = []
    for tag, item in system.equipment.items():
        breakers = [row for row in panel_rows(system, tag) if row.device is not None]
        said = _totals(item, breakers)
        found += [file.problem(where(location), message) for location, message in said]
    return found


def _totals(item: Equipment, breakers: list[PanelRow]) -> Iterator[tuple[Location, str]]:
    if not isinstance(item, Panelboard):
        return
    yield from _spaces_used(item, breakers)
    yield from _sum(item, breakers)
    others = item.fact("poles_in_use")
    if item.answer("all_breakers_in_file") and others is not None and others.number > 0:
        message = f"poles_in_use counts {others.number:g} poles of breakers that are not in the file"
        yield ("equipment", item.tag, "all_breakers_in_file"), message


def _spaces_used(item: Panelboard, breakers: list[PanelRow]) -> Iterator[tuple[Location, str]]:
    used = item.fact("spaces_used")
    if used is None:
        return
    at = ("equipment", item.tag, "spaces_used")
    shown = len({space for one in breakers for space in one.spaces})
    if item.spaces is not None and used.number > item.spaces:
        yield at, f"{used.number:g} spaces used, and {item.tag} has {item.spaces}"
    if shown > used.number:
        yield at, f"{used.number:g} spaces used, and the circuits of this file take {shown} in {item.tag}; the total counts them too"
    if item.fact("poles_in_use") is not None:
        yield at, "spaces_used counts every breaker and poles_in_use those not in the file; state one of them"


def _sum(item: Panelboard, breakers: list[PanelRow]) -> Iterator[tuple[Location, str]]:
    total = item.fact("all_breakers_but_main")
    if total is None:
        return
    at = ("equipment", item.tag, "all_breakers_but_main")
    ratings = {one.tag: one.device.rating_a for one in breakers if one.device is not None}
    open_ones = [tag for tag, rating in ratings.items() if rating is None]
    if open_ones:
        yield at, f"the total counts every breaker, and the rating of the breaker of {', '.join(open_ones)} is still to be chosen; state it"
        return
    shown = sum(rating.number for rating in ratings.values() if rating is not None)
    if shown > total.number + _TOLERANCE_A:
        yield at, f"{total.number:g} A in all, and the breakers of this file in {item.tag} add up to {shown:g} A; the total counts them too"
    elif item.answer("all_breakers_in_file") and shown < total.number - _TOLERANCE_A:
        message = f"{total.number:g} A in all, and all_breakers_in_file: yes, but the breakers of this file add up to {shown:g} A"
        yield at, message
