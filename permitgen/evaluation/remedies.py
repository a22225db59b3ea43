"""Tries the changes a violated rule offers and keeps those with which nothing that was met breaks."""

from __future__ import annotations

from collections import defaultdict
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


class Remedies:
    """Tries the changes that violated rules of one house offer; what two findings offer alike is evaluated once.

    ``violated_before`` are rule and subject of what is violated without a change.
    """

    def __init__(self, given: Given, violated_before: Set[Requirement]) -> None:
        self._given = given
        self._violated_before = violated_before
        self._by_sizes: dict[tuple[tuple[Slot, object], ...], _Trial] = {}

    def that_pass(self, judgement: Judgement, rule: Rule, subject_tag: str) -> tuple[str, ...]:
        """Return the texts of the offered changes after which ``rule`` holds and no rule is newly violated; at most three.

        Another place is tried before less of it, and that before something else; what exists is left as it is.
        """
        kept: list[str] = []
        settled: set[str] = set()
        for remedy in sorted(judgement.remedies, key=lambda each: each.kind):
            if remedy.text in kept or remedy.of in settled:  # two parts of a requirement may offer one change
                continue
            changed = remedy.change(self._given.system)
            if not leaves_what_exists(self._given.system, changed):
                continue
            trial = self._trial(changed)
            if trial.holds(rule, subject_tag) and not trial.breaks_more_than(self._violated_before):
                kept.append(remedy.text)
                settled |= {remedy.of} - {""}
            if len(kept) == _AT_MOST:
                break
        return tuple(kept)

    def _trial(self, changed: System) -> _Trial:
        """Return the trial of a changed system; where only sizes differ, the one of the same sizes."""
        found = _sizes_changed(self._given, changed)
        if not found:
            return _Trial(self._given, changed, ())
        if found not in self._by_sizes:
            self._by_sizes[found] = _Trial(self._given, changed, tuple(slot for slot, _ in found))
        return self._by_sizes[found]


class _Trial:
    """A changed house. Nothing is judged in it twice, and where the slots of the change are known, only what reads one of them."""

    def __init__(self, before: Given, changed: System, slots: tuple[Slot, ...]) -> None:
        self._before = before
        self._slots = slots
        self._readings = given_by_reading(_given_after(changed, before, slots))
        self._judged: dict[tuple[int, str, str], Judgement] = {}
        self._breaks: bool | None = None

    def holds(self, rule: Rule, subject_tag: str) -> bool:
        """Whether ``rule`` holds for the subject by every reading."""
        found = [self._run(rule, subject, index) for index, subject in self._subjects(rule) if tag_of(subject) == subject_tag]
        return bool(found) and all(each.holds for each in found)

    def breaks_more_than(self, before: Set[Requirement]) -> bool:
        """Whether something is violated that was not ``before``, which is the same at each call."""
        if self._breaks is None:
            self._breaks = any(found not in before for found in self._violated())
        return self._breaks

    def _violated(self) -> Iterator[Requirement]:
        """Yield what is violated after the change; where its slots are known, what reads none of them is violated as before."""
        asked: dict[str, set[str]] | None = None
        if self._slots:
            reads = kept_quantities(self._before).reads
            readers = {found for slot in self._slots for found in reads.readers.get(slot, ())}
            yield from reads.violated - readers
            asked = defaultdict(set)
            for rule_id, tag in readers:
                asked[rule_id].add(tag)
        for rule in all_rules():
            if asked is not None and rule.id not in asked:
                continue
            for index, subject in self._subjects(rule):
                tag = tag_of(subject)
                if (asked is None or tag in asked[rule.id]) and self._run(rule, subject, index).verdict is Verdict.VIOLATED:
                    yield rule.id, tag

    def _subjects(self, rule: Rule) -> Iterator[tuple[int, Any]]:
        """Yield the subjects of a rule with the number of the reading in which each stands."""
        for index, given in enumerate(self._readings):
            for subject in subjects_of(given, rule.judges):
                yield index, subject

    def _run(self, rule: Rule, subject: Any, reading: int) -> Judgement:
        key = (reading, rule.id, tag_of(subject))
        if key not in self._judged:
            self._judged[key] = run_rule(rule, subject, self._readings[reading])
        return self._judged[key]


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


def _sizes_changed(given: Given, changed: System) -> tuple[tuple[Slot, object], ...]:
    """Return what stands now in the slots in which a system differs that keeps the graph; nothing where it cannot be told by them."""
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
    differ = ((old, new, each.name) for old, new in things for each in fields(old) if getattr(old, each.name) != getattr(new, each.name))
    return tuple((Slot(owners[id(old)], name), getattr(new, name)) for old, new, name in differ)


def _given_after(changed: System, given: Given, slots: tuple[Slot, ...]) -> Given:
    """Return what rules are given after a change; one that keeps the graph changes sizes only."""
    if slots:
        return kept_quantities(given).given_for(changed, slots, is_of_sizes=True)
    return given.with_sizes(changed) if changed.keeps_graph_of(given.system) else Given(changed, given.code)
