"""A panelboard is rated for the calculated load behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply
from permitgen.rules.loads.methods import judge_methods
from permitgen.rules.quantities.load_scope import scope_on
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.circuit_sides import side_beyond
from permitgen.system.walks.sources_on_busbar import supply_path
from permitgen.system.walks.sources_only import is_distribution

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.panelboard import Panelboard


@rule(
    "panel-minimum-rating",
    title="A panelboard is rated for the calculated load behind it",
    provision="panel_minimum_rating",
    judges="panelboard",
)
def judge(panel: Panelboard, given: Given) -> Judgement:
    """Judge the rating of a panelboard against the calculated load behind it.

    Requires: calculated load ≤ rating of the panelboard, by one of the methods.
    Why: the device ahead may be larger than the load needs, and the busbar smaller.
    Applies to: panelboards behind which the project lists loads.
    Example that fails: backup panel of 100 A with 30 kVA of calculated load, 125 A.
    Example that passes: panel of 125 A with the same load.
    """
    path = supply_path(given.system, f"{panel.tag}.bus", OperatingMode.WITH_UTILITY)
    if not path or not is_distribution(given.system, panel):
        return does_not_apply(f"{panel.tag}: the utility feeds no loads through it")
    side = side_beyond(given.system, path[0], f"{panel.tag}.bus", OperatingMode.WITH_UTILITY)
    scope = scope_on(given, side.nodes, f"the loads behind {panel.tag}")
    if scope.is_empty:
        return does_not_apply(f"{panel.tag}: the project lists no loads behind it")
    rating = given.need(panel.busbar_rating_a, f"busbar rating of {panel.tag}").named("B", f"rating of {panel.tag}")
    found = any_of(f"{panel.tag}: calculated load on a panel of {rating.figure} A", judge_methods(given, scope, rating))
    return found.under(given.provision("panel_minimum_rating"))
