"""Every circuit of a panel has a name by which it can be told from all others.

The names in the project become the panel's directory; who lives in a room is no name for its circuit.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard


@rule("panel-directory", provision="panel_directory", judges="panelboard")
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the names of the circuits that land on a panel's breakers and of the loads listed for it.

    Requires: a name for each, no two alike.
    Why: whoever turns off "lights" while three breakers are called so works on a live circuit.
    Applies to: panelboards with circuits or loads in the project.
    Example that fails: two circuits of one panel called "Receptacles".
    Example that passes: "Kitchen receptacles" and "Garage receptacles".
    """
    names = _names(given, panel)
    if not names:
        return does_not_apply(f"{panel.tag}: no circuits of it in the project")
    for tag, name in names.items():
        given.need(name.strip() or None, f"name of {tag} for the directory of {panel.tag}")
    counted = Counter(" ".join(name.casefold().split()) for name in names.values())
    same = [tag for tag, name in names.items() if counted[" ".join(name.casefold().split())] > 1]
    words = f"{', '.join(same)} have the same name" if same else f"{len(names)} names, no two alike"
    return require(not same, f"{panel.tag}: {words} in its directory")


def _names(given: Given, panel: Panelboard) -> dict[str, str]:
    """Names by tag; a load called by its tag has none."""
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_at.get(panel.tag, ()))
    names = {c.tag: c.name for c in circuits if any(end.tag == panel.tag and end.position is not None for end in c.ends)}
    loads = (load for load in given.system.loads.values() if load.panel == panel.tag)
    return names | {load.tag: "" if load.name == load.tag else load.name for load in loads}
