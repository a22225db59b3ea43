"""The order in which this very house is energized and de-energized, read off its graph."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.system.panel_rows import branch_breakers
from permitgen.system.walks.fed_by_handle import kinds_beyond
from permitgen.system.walks.isolation import service_handles
from permitgen.views.checklist.line import ChecklistLine, ChecklistSection, Limits, done_line, number_line, place_of, practice
from permitgen.views.checklist.proof import called
from permitgen.views.checklist.voltages import leg_limits, line_limits

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.handle import Handle

# Place of a handle in the order of energizing, by what it switches.
_SERVICE, _FORMER, _STORAGE, _SOLAR, _INITIATOR, _LOAD, _GENERATOR = range(7)


def energizing(evaluation: Evaluation) -> ChecklistSection:
    """Return the steps from dead to running; the equipment's own instructions stand over this order."""
    intro = (
        "All switches off at the start. One person, one switch, one check at a time. "
        "Instructions of listed equipment take precedence over this order."
    )
    return ChecklistSection("energize", "Energize, in this order", intro, tuple(_energize(evaluation)), steps=True)


def de_energizing(evaluation: Evaluation) -> ChecklistSection:
    """Return the steps from running to dead for work; the placard has the shorter order for an emergency."""
    intro = "For work on the system. Opening the service first would only put the house in backup mode."
    return ChecklistSection("de-energize", "De-energize for work, in this order", intro, tuple(_de_energize(evaluation)), steps=True)


def ordered_handles(evaluation: Evaluation) -> list[tuple[int, Handle]]:
    """Return every handle with its rank in the order of energizing, in that order; breakers of loads alone are told together."""
    system = evaluation.system
    of_loads = {handle for handles in branch_breakers(system).values() for handle in handles}
    service = service_handles(system)
    ranked = [(_rank(evaluation, handle, service), handle) for handle in system.handles.values() if handle.id not in of_loads]
    wanted = [(rank, handle) for rank, handle in ranked if handle.kind != "generator stop"]
    return sorted(wanted, key=lambda pair: (pair[0], _depth(pair[1])))


def _rank(evaluation: Evaluation, handle: Handle, service: tuple[str, ...]) -> int:
    if handle.id in service:
        return _SERVICE
    if handle.kind == "rapid shutdown initiator":
        return _INITIATOR
    if handle.id.endswith(".autotransformer"):
        return _FORMER
    kinds = kinds_beyond(evaluation.system, handle.id)
    if "utility" in kinds or not kinds or len(kinds) > 1:
        return _LOAD
    return {"energy storage": _STORAGE, "photovoltaic": _SOLAR, "generator": _GENERATOR}.get(next(iter(kinds)), _LOAD)


def _depth(handle: Handle) -> int:
    """A main before the branches behind it."""
    return 0 if handle.id.endswith(".main") else 1


def _energize(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    handles = ordered_handles(evaluation)
    yield from _supply_voltage(evaluation)
    yield from _switched(evaluation, handles, _SERVICE, "close", "on")
    yield from _override(evaluation)
    for rank in (_FORMER, _STORAGE, _SOLAR, _INITIATOR, _LOAD, _GENERATOR):
        yield from _switched(evaluation, handles, rank, "close", "on")
        if rank == _FORMER:
            yield from _energy_monitors(evaluation)
        if rank == _LOAD:
            yield from _branches(evaluation, "close", "on")
    if any(rank == _GENERATOR for rank, _ in handles):
        yield done_line(
            "on:generator-armed",
            "",
            "Generator control set to automatic, last",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
        )


def _de_energize(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    handles = ordered_handles(evaluation)
    yield from _branches(evaluation, "open", "off")
    yield from _switched(evaluation, handles, _LOAD, "open", "off", back=True)
    yield from _switched(evaluation, handles, _INITIATOR, "turn off", "off")
    provision = practice(evaluation, "rapid_shutdown_outside_array")
    if provision.is_in_force and any(rank == _INITIATOR for rank, _ in handles):
        seconds = f"{provision.value('within_s').number:g} s"
        yield done_line("off:wait", "", f"Wait {seconds}", "NEC", source=provision.citation)
    yield from _switched(evaluation, handles, _STORAGE, "open", "off", back=True)
    if any(rank == _GENERATOR for rank, _ in handles):
        yield done_line(
            "off:generator-locked",
            "",
            "Generator control off and locked",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
        )
    yield from _switched(evaluation, handles, _GENERATOR, "open", "off", back=True)
    yield from _switched(evaluation, handles, _SOLAR, "open", "off", back=True)
    yield from _switched(evaluation, handles, _FORMER, "open", "off", back=True)
    yield from _switched(evaluation, handles, _SERVICE, "open", "off")
    yield done_line(
        "off:verify",
        "",
        "Absence of voltage verified at every busbar and terminal to be touched",
        "70E",
        source=practice(evaluation, "electrically_safe_condition").citation,
    )


def _switched(
    evaluation: Evaluation, handles: list[tuple[int, Handle]], rank: int, verb: str, word: str, *, back: bool = False
) -> Iterator[ChecklistLine]:
    found = [handle for found_rank, handle in handles if found_rank == rank]
    for together in _at_once(list(reversed(found)) if back else found):
        first = together[0]
        action = "set to run" if first.kind == "rapid shutdown initiator" and word == "on" else verb
        names = ", ".join(called(handle) for handle in together)
        one_by_one = " one by one" if len(together) > 1 else ""
        yield done_line(
            f"{word}:{'+'.join(handle.id for handle in together)}",
            first.tag,
            f"{names}: {action}{one_by_one}",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
            place=place_of(evaluation, first.tag),
        )


def _at_once(handles: list[Handle]) -> list[list[Handle]]:
    """Return the handles in steps: breakers side by side in one enclosure are one step, worked one by one."""
    steps: list[list[Handle]] = []
    for handle in handles:
        before = steps[-1][-1] if steps else None
        if before is not None and before.tag == handle.tag and before.kind == handle.kind == "breaker" and _depth(before) == _depth(handle):
            steps[-1].append(handle)
        else:
            steps.append([handle])
    return steps


def _branches(evaluation: Evaluation, verb: str, word: str) -> Iterator[ChecklistLine]:
    """One line a panel for the breakers of its loads."""
    for tag, handles in branch_breakers(evaluation.system).items():
        spaces = ", ".join(handle.partition(".")[2] for handle in handles)
        yield done_line(
            f"{word}:{tag}.branches",
            tag,
            f"Branch breakers of {evaluation.system.equipment[tag].name}: {verb} them one by one ({spaces})",
            "INST",
            source=practice(evaluation, "listed_and_instructed").citation,
            place=place_of(evaluation, tag),
        )


def _supply_voltage(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """The utility's voltage on the line side of every service disconnect, which is still open."""
    handles = evaluation.system.handles
    for handle in service_handles(evaluation.system):
        for name, limits in (("L1-L2", line_limits(evaluation)), ("L1-N", leg_limits(evaluation)), ("L2-N", leg_limits(evaluation))):
            if limits is not None and handle in handles:
                words = f"Utility voltage on the line side of {called(handles[handle])}, still open: {name}"
                yield _volts(evaluation, f"supply:{handle}:{name}", handles[handle].tag, words, limits)


def _volts(evaluation: Evaluation, id_: str, tag: str, words: str, limits: Limits) -> ChecklistLine:
    return number_line(
        id_, tag, words, limits, "CP", source=practice(evaluation, "service_voltage_range").citation, place=place_of(evaluation, tag)
    )


def _override(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    for item in evaluation.system.equipment.values():
        if item.word("position_in_service"):
            yield done_line(
                f"on:{item.tag}.override",
                item.tag,
                f"Override to “{item.word('position_in_service')}”",
                "INST",
                source=practice(evaluation, "listed_and_instructed").citation,
                place=place_of(evaluation, item.tag),
                photo=True,
            )


def _energy_monitors(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    for item in evaluation.system.equipment.values():
        if item.kind == "energy_monitor":
            yield done_line(
                f"on:{item.tag}.up",
                item.tag,
                f"{item.name} is running and communicates with every unit",
                "INST",
                source=practice(evaluation, "listed_and_instructed").citation,
            )
