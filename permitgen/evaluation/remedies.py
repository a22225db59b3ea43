"""Tries the changes a violated rule offers and keeps those with which nothing that was met breaks."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

from permitgen.evaluation.kept_quantities import kept_quantities
from permitgen.evaluation.readings import given_by_reading
from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.rules.rule import Rule, all_rules
from permitgen.rules.subjects import subjects_of, tag_of
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.system.read_facts import Slot

if TYPE_CHECKING:
    from collections.abc import Iterator, Set

    from permitgen.evaluation.what_reads import Requirement
    from permitgen.system.system import System

_AT_MOST = 3


def remedies_that_pass(
    judgement: Judgement, rule: Rule, subject_tag: str, given: Given, violated_before: Set[tuple[str, str]]
) -> tuple[str, ...]:
    """Return the texts of the offered changes after which ``rule`` holds and no rule is newly violated; at most three.

    Another place is tried before less of it, and that before something else; what exists is left as it is.

    ``violated_before`` are rule and subject of what is violated without a change.
    """
    kept: list[str] = []
    for remedy in sorted(judgement.remedies, key=lambda each: each.kind):
        if remedy.text in kept:  # two parts of a requirement may offer one change
            continue
        changed = remedy.change(given.system)
        if not leaves_what_exists(given.system, changed):
            continue
        slots = _sizes_changed(given, changed)
        after = given_by_reading(_given_after(changed, given, slots))
        if _holds(rule, subject_tag, after) and all(found in violated_before for found in _violated(after, given, slots)):
            kept.append(remedy.text)
        if len(kept) == _AT_MOST:
            break
    return tuple(kept)


def leaves_what_exists(before: System, after: System) -> bool:
    """Whether conductors of existing circuits, existing runs of modules and existing equipment are what they were.

    A device in an existing panel is none of these: another one is put in its place, and that one is new.
    """
    for tag, circuit in before.circuits.items():
        if circuit.existing and (tag not in after.circuits or after.circuits[tag].conductors is not circuit.conductors):
            return False
    for tag, item in before.equipment.items():
        if item.status != "existing":
            continue
        kept = after.equipment.get(tag)
        if kept is None:
            return False
        if isinstance(item, PVArray) and (not isinstance(kept, PVArray) or (kept.strings, kept.branches) != (item.strings, item.branches)):
            return False
    return True


def _sizes_changed(given: Given, changed: System) -> tuple[Slot, ...]:
    """Return the slots in which a system differs that keeps the graph; none where something else does, or it cannot be told."""
    before = given.system
    if not changed.keeps_graph_of(before) or given.code.last_read is not given.code:
        return ()
    pairs: list[tuple[Any, Any]] = [
        (old, changed.circuits[tag]) for tag, old in before.circuits.items() if changed.circuits[tag] is not old
    ]
    if any(replace(old, conductors=new.conductors) != new for old, new in pairs):
        return ()
    things = [(old.conductors, new.conductors) for old, new in pairs]
    things += [(old, changed.raceways[tag]) for tag, old in before.raceways.items() if changed.raceways[tag] is not old]
    owners = kept_quantities(given).owners
    differ = ((old, each.name) for old, new in things for each in fields(old) if getattr(old, each.name) != getattr(new, each.name))
    return tuple(Slot(owners[id(old)], name) for old, name in differ)


def _given_after(changed: System, given: Given, slots: tuple[Slot, ...]) -> Given:
    """Return what rules are given after a change; one that keeps the graph changes sizes only."""
    if slots:
        return kept_quantities(given).given_for(changed, slots, is_of_sizes=True)
    return given.with_sizes(changed) if changed.keeps_graph_of(given.system) else Given(changed, given.code)


def _holds(rule: Rule, subject_tag: str, readings: tuple[Given, ...]) -> bool:
    found = [(s, given) for given in readings for s in subjects_of(given, rule.judges) if tag_of(s) == subject_tag]
    return bool(found) and all(run_rule(rule, s, given).holds for s, given in found)


def _violated(readings: tuple[Given, ...], before: Given, slots: tuple[Slot, ...]) -> Iterator[Requirement]:
    """Yield what is violated after a change; where its slots are known, what reads none of them is violated as before."""
    asked: frozenset[Requirement] | None = None
    if slots:
        reads = kept_quantities(before).reads
        asked = frozenset(found for slot in slots for found in reads.readers.get(slot, ()))
        yield from reads.violated - asked
    for given in readings:
        for rule in all_rules():
            for subject in subjects_of(given, rule.judges):
                if asked is not None and (rule.id, tag_of(subject)) not in asked:
                    continue
                if run_rule(rule, subject, given).verdict is Verdict.VIOLATED:
                    yield rule.id, tag_of(subject)
