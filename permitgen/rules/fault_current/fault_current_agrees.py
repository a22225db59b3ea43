"""A fault current stated for a place is not larger than what upstream leaves there.

Conductors only take away: a value well above the one computed from the utility, or from other equipment upstream, was made for
another transformer or another place. Both are kept until somebody settles it, and devices are judged with the larger.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.fault_current import fault_current_ceiling_ka, fault_current_ka
from permitgen.rules.judgement import Judgement, does_not_apply, require_at_most
from permitgen.rules.quantities.fault_current import contribution_of, sources_beside_utility
from permitgen.rules.quantities.fault_current_known import known_starts, nearest_node
from permitgen.rules.quantities.fault_current_path import fault_beyond
from permitgen.rules.rule import rule
from permitgen.values.equation import one_or_sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "fault-current-agrees",
    title="A fault current stated for a place is not larger than what upstream leaves there",
    provision="fault_current_agrees",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the available fault current that a letter or study states for this equipment against those stated upstream.

    Requires: the stated current ≤ 1.1 × (the current upstream beyond its conductors, plus what the inverters add).
    Why: two papers contradict each other, and whoever takes either alone may be wrong by as much.
    Applies to: equipment with a stated fault current where the utility, or equipment upstream, states one too.
    Example that fails: 14 kA stated at a panel where 9 kA at the service point and 40 ft of 4/0 AWG aluminum leave 7.8 kA.
    Example that passes: 8 kA stated at the same panel.
    """
    stated = item.fact("available_fault_current")
    if stated is None or item.kind == "utility_service":
        return does_not_apply(f"{item.tag}: no fault current is stated for it")
    node = nearest_node(given, item.tag)
    upstream = [start for start in known_starts(given, node) if start.tag != item.tag] if node is not None else []
    if node is None or not upstream:
        return does_not_apply(f"{item.tag}: nothing upstream states a fault current")
    least = min((fault_beyond(given, start.circuits, start.tag).largest_a for start in upstream), key=lambda value: value.number)
    parts = [least, *(contribution_of(given, source) for source in sources_beside_utility(given, node))]
    left = one_or_sum_of(parts, symbol="I_f", title=f"fault current at {item.tag} by what is stated upstream")
    provision = given.provision("fault_current_agrees")
    return require_at_most(
        f"{item.tag}: {stated.number / 1000:.3g} kA stated, {left.number / 1000:.3g} kA by what is stated upstream",
        computed=fault_current_ka.derive(fault_current_a=stated),
        limit=fault_current_ceiling_ka.derive(more_factor=provision.value("more_factor"), fault_current_a=left, provision=provision),
    )
