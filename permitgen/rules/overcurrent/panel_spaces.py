"""A panelboard holds no more breaker poles than it has spaces, or is listed for, and no two breakers in one space."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.busbar_feeds import has_breakers_outside_file
from permitgen.rules.rule import rule
from permitgen.system.panel_rows import panel_rows
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard
    from permitgen.system.panel_rows import PanelRow

_SPACES_OF_POLE = {"full": 1.0, "half": 0.5, "quad": 0.5}


@rule(
    "panel-spaces",
    title="A panelboard holds no more breaker poles than it has spaces, or is listed for, and no two breakers in one space",
    provision="panel_spaces",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the poles of the breakers in the file with those stated as in use already, or the spaces used in all.

    Requires: spaces taken ≤ spaces; poles ≤ circuits the panel is listed for; each space taken once.
    Why: breakers squeezed into a panel not made for them make poor contact and overheat.
    Applies to: panelboards with a stated number of spaces.
    Example that fails: a fifth two-pole breaker in a panel of 8 spaces.
    Example that passes: four of them.
    """
    found = _devices(panel, given)
    if not found:
        return does_not_apply(f"{panel.tag}: no circuit of the file takes a breaker space")
    parts = [*parts_of(lambda: _in_spaces(panel, found, given)), *_listed(panel, found)]
    return all_of(f"{panel.tag}: its breakers have room", parts)


def _in_spaces(panel: Panelboard, found: dict[str, PanelRow], given: Given) -> list[Judgement]:
    spaces = given.need(panel.spaces, f"breaker spaces of {panel.tag}")
    return [*parts_of(lambda: [_room(panel, found, spaces, given)]), *_each_once(panel, found, spaces)]


def _devices(panel: Panelboard, given: Given) -> dict[str, PanelRow]:
    return {row.tag: row for row in panel_rows(given.system, panel.tag) if row.device is not None}


def _poles(row: PanelRow) -> float:
    return row.device.poles if row.device is not None else 0.0


def _size(row: PanelRow) -> str:
    return row.device.space if row.device is not None else "full"


def _count(number: float, symbol: str, title: str) -> Value:
    return Value(number, "count", FromSystem("counted on the circuits of the file"), symbol, title)


def _room(panel: Panelboard, found: dict[str, PanelRow], spaces: int, given: Given) -> Judgement:
    new = _count(sum(_poles(row) * _SPACES_OF_POLE[_size(row)] for row in found.values()), "n", f"spaces taken in {panel.tag}")
    used = panel.fact("spaces_used")
    told = used is not None or panel.fact("poles_in_use") is not None
    if not told and any(has_breakers_outside_file(given, bus) is not False for bus in panel.busbars()):
        raise MissingFactError(f"spaces taken in {panel.tag} by breakers that the file does not show")
    taken = _with_in_use(panel, new) if used is None else used
    limit = Value(float(spaces), "count", FromSystem(f"breaker spaces of {panel.tag}"), "N", f"breaker spaces of {panel.tag}")
    return require_at_most(f"{panel.tag}: {taken.figure} of {spaces} spaces taken", computed=taken, limit=limit)


def _listed(panel: Panelboard, found: dict[str, PanelRow]) -> list[Judgement]:
    listed = panel.fact("largest_circuits")
    if listed is None:
        return []
    poles = _with_in_use(panel, _count(sum(map(_poles, found.values())), "n", f"poles in {panel.tag}"))
    return [require_at_most(f"{panel.tag}: {poles.figure} poles, listed for {listed.figure}", computed=poles, limit=listed)]


def _with_in_use(panel: Panelboard, new: Value) -> Value:
    in_use = panel.fact("poles_in_use")
    return new if in_use is None else sum_of([new, in_use], symbol="n", title=f"{new.title}, with those in use already")


def _each_once(panel: Panelboard, found: dict[str, PanelRow], spaces: int) -> list[Judgement]:
    """A two-pole breaker takes its first space and the one below it in the same column; half-size ones may share a space."""
    taken: dict[int, list[str]] = {}
    parts = []
    for tag, row in found.items():
        for space in row.spaces:
            taken.setdefault(space, []).append(tag)
        last = row.spaces[-1]
        if last > spaces:
            parts.append(require(fact=False, message=f"{panel.tag}: the breaker of {tag} reaches space {last} of {spaces}"))
    for space, tags in sorted(taken.items()):
        room = 2 if all(_size(found[tag]) != "full" for tag in tags) else 1
        if len(tags) > room:
            parts.append(require(fact=False, message=f"{panel.tag}: space {space} is taken by {' and '.join(tags)}"))
    return parts
