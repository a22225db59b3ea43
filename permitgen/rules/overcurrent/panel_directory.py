"""Every circuit of a panel has a name by which it can be told from all others.

The names in the project become the panel's directory; who lives in a room is no name for its circuit.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.rule import rule
from permitgen.system.panel_rows import loads_without_device, panel_rows

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard


@rule(
    "panel-directory",
    title="Every circuit of a panel has a name by which it can be told from all others",
    provision="panel_directory",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the names of the circuits that land on a panel's breakers and of the loads listed for it.

    Requires: a name for each, no two alike.
    Why: whoever turns off "lights" while three breakers are called so works on a live circuit.
    Applies to: panelboards with circuits or loads in the project.
    Example that fails: two circuits of one panel called "Receptacles".
    Example that passes: "Kitchen receptacles" and "Garage receptacles".
    """
    # The same thing may stand in the project as a circuit and as a load, so that each list is looked through by itself.
    circuits, loads = _circuits(given, panel), _loads(given, panel)
    if not circuits and not loads:
        return does_not_apply(f"{panel.tag}: no circuits of it in the project")
    for tag, name in (circuits | loads).items():
        given.need(name or None, f"name of {tag} for the directory of {panel.tag}")
    same = [*_alike(circuits), *_alike(loads)]
    if not same and has_breakers_not_shown(panel):
        return not_judged(f"names of the circuits of {panel.tag} that the file does not show")
    words = f"{', '.join(same)} have the same name" if same else "circuits and loads by names, no two alike,"
    return require(not same, f"{panel.tag}: {words} in its directory")


def has_breakers_not_shown(panel: Panelboard) -> bool:
    """Whether the file counts breakers that it does not show: then nobody knows from it what their directory says."""
    in_use = panel.fact("poles_in_use")
    totals = (panel.fact("spaces_used"), panel.fact("all_breakers_but_main"))
    return (in_use is not None and in_use.number > 0) or any(total is not None for total in totals)


def _circuits(given: Given, panel: Panelboard) -> dict[str, str]:
    """Names of what stands in the spaces, by circuit, load or device; a spare is described by being one."""
    return {row.tag: _plain(row.name) for row in panel_rows(given.system, panel.tag) if not row.is_spare}


def _loads(given: Given, panel: Panelboard) -> dict[str, str]:
    """Names of the loads of a panel that no line of its directory shows; one called by its tag has none."""
    return {load.tag: "" if load.name == load.tag else _plain(load.name) for load in loads_without_device(given.system, panel.tag)}


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def _alike(names: dict[str, str]) -> list[str]:
    counted = Counter(names.values())
    return [tag for tag, name in names.items() if counted[name] > 1]
