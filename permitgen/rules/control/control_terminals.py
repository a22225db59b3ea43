"""Control terminals take the wire that lands on them: the field wire, or the tails spliced to it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.terminal import Terminal

# Names by which hardware calls its control terminals; initiators have no others.
_CONTROL = ("contact", "control", "start", "shutdown")


@rule(
    "control-terminals",
    title="Control terminals take the wire that lands on them: the field wire, or the tails spliced to it",
    provision="terminal_capacity",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the size that lands on the control terminals of the device (and of the source, where it describes any).

    Requires: size within the marked range.
    Why: strands cut off to make a wire fit carry no current, and a screw on a thick wire holds nothing.
    Applies to: shutdown initiators, and equipment that describes terminals named contact, control, start or shutdown.
    Example that fails: 14 AWG on a switch for 18 to 16 AWG.
    Example that passes: 14 AWG spliced to 16 AWG tails on it.
    """
    ends = [(given.system.equipment[control.device], True), (given.system.equipment[control.source], False)]
    parts = [part for item, at_device in ends for part in _at(control, given, item, at_device=at_device)]
    if not parts:
        return does_not_apply(f"{control.tag}: no control terminals are described at its ends")
    return all_of(f"{control.tag}: its wire fits the control terminals", parts)


def _at(control: ControlCircuit, given: Given, item: Equipment, *, at_device: bool) -> Iterator[Judgement]:
    terminals = [terminal for name, terminal in item.terminals.items() if name in _CONTROL]
    if item.kind == "rapid_shutdown_initiator":
        terminals = list(item.terminals.values())
        if not terminals:
            yield not_judged(f"control terminals of {item.tag}")
    for terminal in terminals:
        yield _fits(control, given, item, terminal, at_device=at_device)


def _fits(control: ControlCircuit, given: Given, item: Equipment, terminal: Terminal, *, at_device: bool) -> Judgement:
    size = given.need(control.size, f"conductor size of {control.tag}")
    landing = control.tail_size if at_device and control.tail_size is not None else size
    if terminal.smallest is None or terminal.largest is None:
        return not_judged(f"range of conductor sizes at {item.tag}.{terminal.name}")
    fits = terminal.smallest <= landing <= terminal.largest
    return require(fits, f"{control.tag}: {landing} at {item.tag}.{terminal.name}, which takes {terminal.smallest} to {terminal.largest}")
