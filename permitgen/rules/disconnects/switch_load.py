"""A switch by which a service or a source is disconnected opens under load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.disconnect import Disconnect

_DEMANDED_BY = {"pv system": "switch_load_pv", "energy storage": "switch_load_source"}
"""Where the type of a source's disconnect is fixed; for any other switch its ratings are."""


@rule(
    "switch-load",
    title="A switch by which a service or a source is disconnected opens under load",
    provision="switch_rating",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge a switch in an enclosure of its own.

    Requires: a switch rated to open the current of its circuit.
    Why: in an emergency nobody asks for the load to stop first; the arc of an isolator does not go out.
    Applies to: switches of services, feeders, ac sources and batteries; those of PV dc circuits have a rule of their own (see
        pv-equipment-disconnect).
    Example that fails: an isolating switch, marked not to be opened under load, as PV system disconnect.
    Example that passes: a fused safety switch.
    """
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_at.get(switch.tag, ())]
    if all(role(given, circuit) is CircuitRole.PV_DC for circuit in circuits):
        return does_not_apply(f"{switch.tag} opens no ac circuit and none of a battery")
    opens = switch.is_load_break
    found = require(
        opens, f"{switch.tag} {'can' if opens else 'cannot'} open under load", missing=f"whether {switch.tag} can open under load"
    )
    return found.under(given.provision(_DEMANDED_BY.get(switch.purpose, "switch_rating")))
