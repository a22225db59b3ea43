"""The gates in words, and what of an installation is violated after it was permitted: as built, tested, inspected."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.evaluation.gates import Gate, Standing


def gate_text(gate: Gate) -> str:
    """Return how a gate stands, with how many points shut it or are open: ``FOR HANGING: shut, 1 FAILS, 2 of 14 NOT CHECKED``."""
    points = [f"{len(found)} {word}" for found, word in ((gate.violated, verdict_word("violated")), (gate.due, "due")) if found]
    if gate.not_judged:
        shutting = f"{len(gate.unchecked)} of " if gate.unchecked else ""
        points.append(f"{shutting}{gate.not_judged} {verdict_word('not judged')}")
    return f"{gate.title}: {', '.join(('open' if gate.is_open else 'shut', *points))}"


def unchecked_lines(gates: Sequence[Gate]) -> list[str]:
    """Return for each gate that open points shut which these are: the rules, each with its subjects."""
    return [f"{gate.title} waits for: {_by_rule(gate.unchecked)}" for gate in gates if gate.unchecked]


def _by_rule(ids: Sequence[str]) -> str:
    subjects: dict[str, list[str]] = {}
    for id_ in ids:
        rule, _, subject = id_.partition(":")
        subjects.setdefault(rule, []).append(subject)
    return "; ".join(f"{rule} of {', '.join(found)}" for rule, found in subjects.items())


def mark_of(gate: Gate) -> str:
    """Return what marks the documents of a shut gate, with how many points shut it: ``NOT FOR HANGING (2)``; nothing where it is open."""
    return "" if gate.is_open else f"NOT {gate.title} ({len(gate.violated) + len(gate.due) + len(gate.unchecked)})"


def gate_data(gate: Gate) -> dict[str, str | bool | int | list[str]]:
    """Return a gate for other programs; its keys are a contract."""
    return {
        "gate": gate.name,
        "open": gate.is_open,
        "violated": list(gate.violated),
        "due": list(gate.due),
        "not_judged": gate.not_judged,
        "unchecked": list(gate.unchecked),
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
