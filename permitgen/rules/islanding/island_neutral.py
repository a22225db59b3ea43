"""An island with 120 V loads has something that makes its neutral."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged, require
from permitgen.rules.quantities.line_to_neutral_loads import has_120_volt_loads
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.island import live_in, neutral_origin
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar
    from permitgen.system.operating_mode import OperatingMode as Mode


@rule(
    "island-neutral",
    title="An island with 120 V loads has something that makes its neutral",
    provision="listed_and_instructed",
    judges="busbar",
)
def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge where the neutral of a panel comes from when the utility is gone.

    Requires: an autotransformer, a source that forms 120/240 V, or a generator, joined to the panel by a neutral.
    Why: a two-wire 240 V source leaves 120 V loads without a neutral: they float between 0 and 240 V.
    Applies to: panels with 120 V loads that stay alive without the utility; breakers that the file does not show may be of such loads.
    Example that fails: a two-wire battery inverter on a panel with 120 V circuits and no autotransformer.
    Example that passes: the same with an autotransformer in the interconnect device.
    """
    feeds = is_distribution(given.system, given.system.equipment[busbar.tag]) and has_120_volt_loads(given, busbar)
    if feeds is False:
        return does_not_apply(f"{busbar.tag} feeds no 120 V loads")
    modes = [m for m in given.system.modes if m is not OperatingMode.WITH_UTILITY and live_in(given.system, busbar.node, m)]
    if not modes:
        return does_not_apply(f"{busbar.tag} is de-energized without the utility")
    for mode in modes:
        judgement = _in_mode(given, busbar, mode)
        if judgement is not None:
            return judgement if feeds else _where_loads_unsaid(busbar, judgement)
    made = " and ".join(neutral_origin(given.system, busbar.node, modes[0]).made_by)
    return require(fact=True, message=f"{busbar.tag}: {made} makes its neutral, {modes[0]}")


def _in_mode(given: Given, busbar: Busbar, mode: Mode) -> Judgement | None:
    origin = neutral_origin(given.system, busbar.node, mode)
    if origin.made_by:
        return None
    if origin.not_stated:
        return not_judged(f"whether {' or '.join(origin.not_stated)} forms a neutral")
    # A neutral that is not stated may be the one that joins the panel to what makes it.
    system = given.system
    alive = (c for c in system.circuits.values() if not c.is_dc and live_in(system, f"{c.tag}.start", mode))
    unstated = [f"whether {c.tag} has a neutral conductor" for c in alive if c.conductors.neutral is None]
    if unstated:
        return not_judged(*unstated)
    return require(fact=False, message=f"{busbar.tag}: 120 V loads and nothing that makes their neutral, {mode}")


def _where_loads_unsaid(busbar: Busbar, judgement: Judgement) -> Judgement:
    """What fails binds only where there are 120 V loads, and that nobody says."""
    return not_judged(*judgement.missing, f"whether {busbar.tag} feeds 120 V loads (all its breakers)")
