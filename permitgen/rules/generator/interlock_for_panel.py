"""An interlock of breakers is listed for the panel it is on."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, does_not_apply, one_or_all_of, require
from permitgen.rules.parts import parts_for
from permitgen.rules.rule import rule
from permitgen.system.interlock import is_called
from permitgen.system.panel_rows import spaces_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard
    from permitgen.system.interlock import Interlock

_PLATE = re.compile(r"\b(plate|slide|sliding)", re.IGNORECASE)
_MAIN = "main"


@dataclass(frozen=True, slots=True)
class _Stand:
    """The column and the first and last row that a breaker takes, counted from the top; a main is in both."""

    columns: frozenset[int]
    first: int
    last: int

    def touches(self, other: _Stand) -> bool:
        """Whether they stand side by side or one directly behind the other."""
        apart = max(self.first - other.last, other.first - self.last)
        return apart <= 0 or (apart == 1 and bool(self.columns & other.columns))


@rule(
    "interlock-for-panel",
    title="An interlock of breakers is listed for the panel it is on",
    provision="interlock_listed",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the interlock between breakers of one panel.

    Requires: a listing for this panelboard; a plate that slides joins breakers that stand next to each other, or one next to the main.
    Why: a plate made for another cover leaves a gap through which both breakers close.
    Applies to: panels with an interlocked breaker, or with an interlock all of whose switches are its breakers.
    Example that fails: a plate for another panel.
    Example that passes: the plate for this one.
    """
    own = [each for each in given.system.interlocks if all(name.split(".", maxsplit=1)[0] == panel.tag for name in each.switches)]
    if panel.interlocked_position is None and not own:
        return does_not_apply(f"{panel.tag}: no interlock of its breakers")
    # Of a main in the middle of the panel nobody says between which rows it stands; its listing is asked for all the same.
    is_center_fed = given.system.busbars[panel.tag].supply_end == "center"
    plates = [each for each in own if _PLATE.search(each.by) and not (is_center_fed and f"{panel.tag}.{_MAIN}" in each.switches)]
    parts = [_listed(panel), *parts_for(plates, lambda each: _reaches(panel, each, given))]
    return one_or_all_of(parts[0].message, parts)


def _listed(panel: Panelboard) -> Judgement:
    listed = panel.answer("interlock_listed_for_panel")
    message = f"{panel.tag}: the interlock of its breakers is {'' if listed else 'not '}listed for this panel"
    return require(listed, message, missing=f"whether the interlock of {panel.tag} is listed for this panel")


def _reaches(panel: Panelboard, plate: Interlock, given: Given) -> Judgement:
    """Judge whether a plate can lie over what it keeps apart: it is as long as a breaker or two, and no panel long."""
    names = " and ".join(plate.switches)
    stands = sorted((_stand(panel, name, given) for name in plate.switches), key=lambda each: (each.first, each.last))
    reaches = all(one.touches(other) for one, other in pairwise(stands))
    message = f"{names} {'stand' if reaches else 'do not stand'} next to each other, as a {plate.by} needs"
    return require(reaches, message, places=(plate.at,) if plate.at is not None else ())


def _stand(panel: Panelboard, name: str, given: Given) -> _Stand:
    """Return where a breaker of the panel stands; its main is beyond the row of the end at which it is fed.

    Raises:
        MissingFactError: its space, the end at which the panel is fed or how many spaces it has is not stated.
    """
    busbar = given.system.busbars[panel.tag]
    if name == f"{panel.tag}.{_MAIN}":
        if not busbar.supply_end:
            raise MissingFactError(f"at which end {panel.tag} is fed")
        if busbar.supply_end == "top":
            return _Stand(frozenset({0, 1}), 0, 0)
        if busbar.spaces is None:
            raise MissingFactError(f"spaces of {panel.tag}")
        row = (busbar.spaces + 1) // 2 + 1
        return _Stand(frozenset({0, 1}), row, row)
    device = next((each.device for each in given.system.graph.links if is_called(each, name) and each.device is not None), None)
    if device is None or device.position is None:
        raise MissingFactError(f"space of {name}")
    spaces = spaces_of(device, device.position)
    return _Stand(frozenset({spaces[0] % 2}), (spaces[0] + 1) // 2, (spaces[-1] + 1) // 2)
