"""A switch is connected so that its blades and load terminals are dead when it is open."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Remedy, RemedyKind, Verdict, does_not_apply, require
from permitgen.rules.rule import rule
from permitgen.system.walks.line_and_load import energizing_when_open
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.circuit import End
    from permitgen.system.equipment.disconnect import Disconnect
    from permitgen.system.power_source import PowerSource
    from permitgen.system.system import System

_SWAPPED = {"line": "load", "load": "line"}


@rule(
    "switch-connection",
    title="A switch is connected so that its blades and load terminals are dead when it is open",
    provision="switch_connection",
    judges="disconnect",
)
def judge(switch: Disconnect, given: Given) -> Judgement:
    """Judge which terminals of a switch stay energized when it is open.

    Requires: nothing that runs by itself reaches the terminals ``load`` of the open switch; where something feeds in from both sides,
        the sign of the exception.
    Why: the blades and fuses hang on the load terminals. Whoever opens the switch and then its door takes them for dead.
    Applies to: every switch in an enclosure of its own with conductors on both terminals. An interactive inverter stops with its grid
        and keeps nothing energized; a battery, a generator, a string and the utility do.
    Example that fails: the utility on the load terminals of a PV disconnect, the inverter on its line terminals.
    Example that passes: the utility on the line terminals, the inverter on the load terminals.
    """
    system = given.system
    if len(_terminals_used(system, switch)) < len(_SWAPPED):
        return does_not_apply(f"{switch.tag} has conductors on one of its terminals only, or on none")
    line, load = (energizing_when_open(system, switch.tag, f"{switch.tag}.{terminal}") for terminal in _SWAPPED)
    if not load:
        return require(fact=True, message=f"{switch.tag}: load terminals and blades are dead when it is open")
    if not line:
        message = f"{switch.tag} is connected upside down: open, its blades and load terminals stay energized from {_words(load)}"
        return require(fact=False, message=message, remedies=(_turned(switch),))
    both = f"{switch.tag}: open, both its sides may stay energized ({_words(line)} at line, {_words(load)} at load)"
    if _has_utility(load) and not _has_utility(line):
        message = f"{both}; the sign permits it, but the utility belongs on the terminals marked line"
        return Judgement(Verdict.CAUTION, message, remedies=(_turned(switch),))
    return require(fact=True, message=f"{both}, permitted with the sign that says so")


def _terminals_used(system: System, switch: Disconnect) -> set[str]:
    ends = (end for tag in system.circuits_at.get(switch.tag, ()) for end in system.circuits[tag].ends if end.tag == switch.tag)
    return {switch.node_of(end) for end in ends}


def _has_utility(sources: Sequence[PowerSource]) -> bool:
    return any(source.kind == "utility" for source in sources)


def _words(sources: Sequence[PowerSource]) -> str:
    return listed(tuple(dict.fromkeys("the utility" if source.kind == "utility" else source.tag for source in sources)))


def _turned(switch: Disconnect) -> Remedy:
    def change(system: System) -> System:
        for tag in system.circuits_at.get(switch.tag, ()):
            circuit = system.circuits[tag]
            system = system.with_circuit(replace(circuit, start=_other(circuit.start), finish=_other(circuit.finish)))
        return system

    def _other(end: End) -> End:
        return replace(end, terminal=_SWAPPED[end.terminal or "line"]) if end.tag == switch.tag else end

    return Remedy(f"exchange the conductors on line and load of {switch.tag}", change, RemedyKind.MOVE)
