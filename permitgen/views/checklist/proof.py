"""How a safety test is made so that it can fail: where the meter is, what is closed, what is open, what was seen before."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.rapid_shutdown import ac_nodes
from permitgen.system.walks.trials import closed_between

if TYPE_CHECKING:
    from permitgen.system.equipment.photovoltaic import PVArray
    from permitgen.system.handle import Handle
    from permitgen.system.system import System
    from permitgen.system.walks.trials import Trial


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """The arrangement of a test in words. ``otherwise`` says what is read where the fault is there that the test looks for."""

    mode: str
    meter: str
    closed: str
    before: str
    otherwise: str

    @property
    def parts(self) -> tuple[tuple[str, str], ...]:
        """Each part with its name, in the order in which it is read."""
        named = (
            ("Mode", self.mode),
            ("Meter", self.meter),
            ("Closed", self.closed),
            ("Before", self.before),
            ("With the fault", self.otherwise),
        )
        return tuple((name, words) for name, words in named if words)

    @property
    def text(self) -> str:
        """All parts in one paragraph."""
        return ". ".join(f"{name}: {words}" for name, words in self.parts)


def called(handle: Handle) -> str:
    """Return what a handle is called at the beginning of a sentence; the words on a label stand in quotes, behind what it is."""
    if handle.label:
        return f'{"Fuses" if handle.is_fuse else "Breaker"} "{handle.label}"'
    return f"{handle.name[:1].upper()}{handle.name[1:]}"


def array_proof(system: System, array: PVArray, trial: Trial) -> Proof:
    """Return how the rapid shutdown of an array is tried: nothing but the initiator is opened, and the array gives power before."""
    start = next(iter(ac_nodes(system, array)), trial.meters[0][0])
    handle = system.handles[trial.handle]
    if trial.watched:
        meter = f"clamp on one conductor of {array.name}, at {_name(system, trial.meters[0][0])}"
        before, otherwise = "output current in sun", "the output current stays"
    else:
        meter = f"{_meters(system, trial)}; pole to pole and each pole to ground, highest reading"
        before = "system voltage there and the array producing, in sun"
        otherwise = "the voltage of before stays, where the switch does not reach the array"
    way = _listed(system, _breakers_at(trial, closed_between(system, trial, start)))
    return Proof(
        mode=_mode(system, trial),
        meter=meter,
        closed=f"{way or 'everything from the array to the utility'}. Only this is opened: {called(handle)}",
        before=before,
        otherwise=otherwise,
    )


def stop_proof(system: System, tag: str, trial: Trial) -> Proof:
    """Return how the stop of a storage unit or a generator is tried: it carries the house before."""
    name = system.equipment[tag].name
    own = closed_between(system, trial, trial.meters[0][0])
    if trial.watched:
        return Proof(
            mode=_mode(system, trial),
            meter=f"clamp on one output conductor of {name}",
            closed=_listed(system, own) or f"the way from {name} to the loads",
            before="the unit gives current",
            otherwise="the output current stays",
        )
    return Proof(
        mode=_mode(system, trial),
        meter=f"output terminals of {name}, pole to pole",
        closed=_listed(system, own) or f"the way from {name} to the loads",
        before=f"{name} carries the house: its voltage there, loads running",
        otherwise="the voltage of before stays",
    )


def parting_proof(system: System, switch: str, trial: Trial) -> Proof:
    """Return how it is tried that nothing comes back through a switch: the same meter sees the utility before."""
    opened = _listed(system, tuple(trial.after.opened)) or "the utility parts its supply, or the meter is pulled by the utility"
    running = "generator running and carrying the house" if trial.mode is OperatingMode.ON_GENERATOR else "house running on its own sources"
    way = closed_between(system, trial, trial.meters[0][0])
    return Proof(
        mode=f"{trial.mode}: {running}; open: {opened}",
        meter=f"utility side of {_switch(system, switch)}; L1-L2, L1-N, L2-N, tester checked before and after",
        closed=_listed(system, way) or "nothing between the meter and that side",
        before="utility voltage at the same terminals, with the service closed",
        otherwise=f"voltage of the house comes back through {_switch(system, switch)}",
    )


def _breakers_at(trial: Trial, way: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*(handle for _, handle in trial.meters if handle and handle not in trial.after.opened), *way)))


def _meters(system: System, trial: Trial) -> str:
    handles = [system.handles[handle] for _, handle in trial.meters if handle in system.handles]
    if handles:
        at = dict.fromkeys(system.equipment[handle.tag].name for handle in handles if handle.tag in system.equipment)
        return f"array side in {', '.join(at)} of {_listed(system, tuple(handle.id for handle in handles))}"
    return f"dc terminals of {', '.join(dict.fromkeys(_name(system, node) for node, _ in trial.meters))}"


def _mode(system: System, trial: Trial) -> str:
    opened = [handle for handle in trial.before.opened if handle in system.handles]
    if trial.before.utility_away:
        return f"{trial.mode}, the utility parted ahead of the house"
    return f"{trial.mode}; open: {_listed(system, tuple(opened))}" if opened else str(trial.mode)


def _listed(system: System, handles: tuple[str, ...]) -> str:
    """Return handles in the order of the file; breakers that have words on their labels are told together."""
    known = [handle for key, handle in system.handles.items() if key in handles]
    labeled = [f'"{handle.label}"' for handle in known if handle.label and not handle.is_fuse]
    others = [called(handle) for handle in known if not handle.label or handle.is_fuse]
    breakers = [f"breaker{'s' if len(labeled) > 1 else ''} {', '.join(labeled)}"] if labeled else []
    return ", ".join((*breakers, *others))


def _switch(system: System, switch: str) -> str:
    tag, _, part = switch.partition(".")
    item = system.equipment.get(tag)
    word = {"contactor": "contactor", "transfer_relay": "transfer relay"}.get(part, "transfer contacts")
    return f"the {word} of {item.name}" if item is not None and item.name else f"the {word}"


def _name(system: System, node: str) -> str:
    tag = node.partition(".")[0]
    if tag in system.circuits:
        circuit = system.circuits[tag]
        tag = (circuit.start if node.endswith(".start") else circuit.finish).tag
    item = system.equipment.get(tag)
    return item.name or tag if item is not None else tag
