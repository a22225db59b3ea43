"""The gates in words, and what of an installation is violated after it was permitted: as built, tested, inspected."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from permitgen.evaluation.gates import Gate, Standing


def gate_text(gate: Gate) -> str:
    """Return how a gate stands, with how many points shut it or are open: ``FOR ENERGIZING: shut, 1 FAILS, 14 due``."""
    shut = [f"{len(found)} {word}" for found, word in ((gate.violated, verdict_word("violated")), (gate.due, "due")) if found]
    points = [*shut, *([f"{gate.not_judged} {verdict_word('not judged')}"] if gate.not_judged else [])]
    return f"{gate.title}: {', '.join(('shut' if shut else 'open', *points))}"


def mark_of(gate: Gate) -> str:
    """Return what marks the documents of a shut gate, with how many points shut it: ``NOT FOR HANGING (2)``; nothing where it is open."""
    return "" if gate.is_open else f"NOT {gate.title} ({len(gate.violated) + len(gate.due)})"


def gate_data(gate: Gate) -> dict[str, str | bool | int | list[str]]:
    """Return a gate for other programs; its keys are a contract."""
    return {
        "gate": gate.name,
        "open": gate.is_open,
        "violated": list(gate.violated),
        "due": list(gate.due),
        "not_judged": gate.not_judged,
    }


def field_lines(standing: Standing) -> tuple[str, ...]:
    """Return what is violated as built or tested, then the gates; nothing where nothing is."""
    if not standing.violated:
        return ()
    states = {id(finding): "tested" for finding in standing.failed} | {id(finding): "inspected" for finding in standing.inspected}
    said = (
        f"As {states.get(id(finding), 'built')}, {verdict_word('violated')}: {finding.judgement.message}" for finding in standing.violated
    )
    return (*said, *(gate_text(gate) for gate in standing.gates))
