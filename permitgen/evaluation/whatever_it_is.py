"""A rule that misses numbers is tried with them, over all that they can be: it may not hang on them.

All that is tried violated: *violated* whatever they are; all met: *passes* whatever they are; else it hangs on them and stays
*not judged*. What is tried is the whole rule on a system that states the number, so that a verdict is one that an answer would give.
No rule says yet in which direction it moves with a number: besides the ends, numbers in between are tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING, Any

from permitgen.evaluation.physical_range import PhysicalRange, range_of
from permitgen.evaluation.run_rule import run_rule
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement, Verdict, nearest_to_limit
from permitgen.rules.subjects import subjects_of, tag_of
from permitgen.system.slots import Slot, fact_in, slot_at, with_facts
from permitgen.values.origin import Tried
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Reading
    from permitgen.rules.rule import Rule

_ENDS = (0.0, 1.0)
# Limits stand in the lower part of a wide range, so that part is tried more densely. One unknown: 9 numbers; two: 25 pairs; three: 27.
_SHARES = {
    1: (0.0, 1 / 64, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 3 / 4, 7 / 8, 1.0),
    2: (0.0, 1 / 16, 1 / 4, 1 / 2, 1.0),
    3: (0.0, 1 / 8, 1.0),
}
# A large project that states next to nothing is not tried without end.
_MOST_SYSTEMS = 250
_MET = (Verdict.PASSES, Verdict.DOES_NOT_APPLY)


@dataclass(frozen=True, slots=True)
class _Unknown:
    """A number that nobody states: the question that asks for it, its slot, its range."""

    question: str
    slot: Slot
    within: PhysicalRange

    def tried(self, number: float) -> Value:
        return Value(number, self.within.unit, Tried(self.question, self.within.text), title=self.question)


class Trials:
    """What rules are given with unknown numbers tried; each system is made once for all rules.

    ``asked`` are the judgements of all rules. Two systems, with all that they ask for at the lowest and at the highest, tell at once
    that most rules hang on it; only where those agree are a rule's own numbers tried, until there are ``_MOST_SYSTEMS`` systems:
    what is not tried stays *not judged*. ``readings`` are those that the last verdict asked for with what was tried.
    """

    def __init__(self, given: Given, asked: Iterable[Judgement]) -> None:
        self._given = given
        self.readings: set[Reading] = set()
        self._unknown: dict[str, _Unknown | None] = {}
        self._made: dict[tuple[tuple[str, float], ...], Given] = {}
        questions = dict.fromkeys(question for judgement in asked for question in judgement.missing)
        self._asked = tuple(dict.fromkeys(each for question in questions if (each := self._unknown_of(question)) is not None))

    def judged(self, rule: Rule, subject: Any, found: Judgement) -> Judgement:
        """Return the judgement of ``rule`` whatever the numbers are that ``found`` misses; ``found`` where it hangs on them."""
        self.readings = set()
        unknowns = self._unknowns_of(found)
        if not unknowns:
            return found
        screened = list(self._with(rule, tag_of(subject), self._at_both_ends))
        if all(not self._further(each, self._asked) for each in screened) and not _agree(screened):
            return _hanging(found, screened)
        while len(unknowns) <= max(_SHARES) and len(self._made) < _MOST_SYSTEMS:
            judged: list[Judgement] = []
            further: tuple[_Unknown, ...] = ()
            for one in self._with(rule, tag_of(subject), self._systems(unknowns)):
                judged.append(one)
                further = self._further(one, unknowns)
                if further or not _agree(judged):
                    break
            if not further:
                return _whatever(judged, unknowns, found)
            unknowns = (*unknowns, *further)
        return found

    def _unknowns_of(self, judgement: Judgement) -> tuple[_Unknown, ...]:
        if judgement.verdict is not Verdict.NOT_JUDGED:
            return ()
        found = (self._unknown_of(question) for question in judgement.missing)
        return tuple(dict.fromkeys(each for each in found if each is not None))

    def _further(self, judgement: Judgement, unknowns: tuple[_Unknown, ...]) -> tuple[_Unknown, ...]:
        """Return what a judgement asks for beside what was tried."""
        return tuple(each for each in self._unknowns_of(judgement) if each not in unknowns)

    def _unknown_of(self, question: str) -> _Unknown | None:
        if question not in self._unknown:
            self._unknown[question] = _find(self._given, question)
        return self._unknown[question]

    @cached_property
    def _at_both_ends(self) -> tuple[Given, Given]:
        """What rules are given with all that is asked for at the lowest, and at the highest."""
        lowest, highest = zip(*(each.within.points(_ENDS) for each in self._asked), strict=True)
        return self._made_with(self._asked, lowest), self._made_with(self._asked, highest)

    def _with(self, rule: Rule, tag: str, systems: Iterable[Given]) -> Iterator[Judgement]:
        """Yield the judgement of a rule on a subject in each system that has it."""
        for given in systems:
            subject = next((each for each in subjects_of(given, rule.judges) if tag_of(each) == tag), None)
            if subject is not None:
                given.readings = set()
                judgement = run_rule(rule, subject, given)
                self.readings |= given.readings
                yield judgement

    def _systems(self, unknowns: tuple[_Unknown, ...]) -> Iterator[Given]:
        """Yield what rules are given with each choice of numbers, the ends of the ranges first."""
        for numbers in _choices(unknowns):
            key = tuple(sorted((each.question, number) for each, number in zip(unknowns, numbers, strict=True)))
            if key not in self._made:
                self._made[key] = self._made_with(unknowns, numbers)
            yield self._made[key]

    def _made_with(self, unknowns: tuple[_Unknown, ...], numbers: tuple[float, ...]) -> Given:
        facts = [(each.slot, each.tried(number)) for each, number in zip(unknowns, numbers, strict=True)]
        return Given(with_facts(self._given.system, facts), self._given.code)


def _find(given: Given, question: str) -> _Unknown | None:
    declared = range_of(question)
    if declared is None:
        return None
    within, paths = declared
    slots = [slot for path in paths if (slot := _open(given, path, within.unit)) is not None]
    slot = next((each for each in slots if each.is_named), slots[0] if slots else None)
    return _Unknown(question, slot, within) if slot is not None else None


def _open(given: Given, path: str, unit: str) -> Slot | None:
    slot = slot_at(given.system, path, unit)
    return slot if slot is not None and fact_in(given.system, slot) is None else None


def _choices(unknowns: tuple[_Unknown, ...]) -> Iterator[tuple[float, ...]]:
    ends = list(product(*(each.within.points(_ENDS) for each in unknowns)))
    yield from ends
    all_points = product(*(each.within.points(_SHARES[len(unknowns)]) for each in unknowns))
    yield from (numbers for numbers in all_points if numbers not in ends)


def _agree(judged: list[Judgement]) -> bool:
    """Whether all that was tried is met, or all of it has the one verdict; what is still not judged never agrees."""
    verdicts = {each.verdict for each in judged}
    return Verdict.NOT_JUDGED not in verdicts and (len(verdicts) == 1 or verdicts <= set(_MET))


def _hanging(found: Judgement, judged: list[Judgement]) -> Judgement:
    """Return what hangs on what it misses; where it is not judged even with that, something else is missing too."""
    if any(each.verdict is Verdict.NOT_JUDGED for each in judged):
        return found
    return replace(found, message=f"{found.message}, on which it hangs")


def _whatever(judged: list[Judgement], unknowns: tuple[_Unknown, ...], found: Judgement) -> Judgement:
    # Where a rule asks for a number and judges nothing by it, it asks on behalf of another: the question stays.
    if {each.verdict for each in judged} <= {Verdict.NOT_JUDGED, Verdict.DOES_NOT_APPLY} or _is_open_still(judged):
        return found
    if not _agree(judged) or not all(_is_told_by_ends(same, judged, unknowns) for same in _by_verdict(judged)):
        return _hanging(found, judged)
    shown = _without_tried(nearest_to_limit([each for each in judged if each.verdict is Verdict.PASSES] or judged))
    ranges = " and ".join(f"{each.question} is ({each.within.text})" for each in unknowns)
    message = f"{_sentence(shown, judged)}; {shown.verdict} whatever {ranges}"
    return replace(shown, message=message, remedies=(), whatever=tuple(each.question for each in unknowns))


def _is_open_still(judged: list[Judgement]) -> bool:
    return any(each.verdict is Verdict.NOT_JUDGED for each in judged)


def _without_tried(judgement: Judgement) -> Judgement:
    """Return a judgement that compares no number made of one that was tried: labels and drawings print what is compared.

    The numbers stay among its values, where each says that it was tried; so does the sentence of a part.
    """
    parts = tuple(_as_tried(part) for part in judgement.parts)
    compared = tuple(value for value in (judgement.computed, judgement.limit) if value is not None)
    if not any(map(_is_tried, compared)):
        return replace(judgement, parts=parts) if parts else judgement
    return replace(judgement, computed=None, limit=None, relation="", parts=parts, values=(*judgement.values, *compared))


def _as_tried(part: Judgement) -> Judgement:
    bare = _without_tried(part)
    return replace(bare, message=f"{bare.message}, as tried") if any(map(_is_tried, bare.values)) else bare


def _is_tried(value: Value) -> bool:
    return any(isinstance(leaf.origin, Tried) for leaf in value.leaves())


def _by_verdict(judged: list[Judgement]) -> Iterator[list[Judgement]]:
    for verdict in dict.fromkeys(each.verdict for each in judged):
        yield [each for each in judged if each.verdict is verdict]


def _is_told_by_ends(same: list[Judgement], judged: list[Judgement], unknowns: tuple[_Unknown, ...]) -> bool:
    """Whether the ends tell all between: the number says nothing to the rule, or its limit is approached nowhere as near as at an end.

    A figure that has to be equal to another, or lie between two, is approached between the ends, and perhaps between what was tried.
    """
    if all(each.message == same[0].message for each in same) and all(_numbers(each) == _numbers(same[0]) for each in same):
        return True
    if any(_numbers(each) == () or each.relation == "=" for each in same):
        return False
    ends = judged[: 2 ** len(unknowns)]
    nearest = nearest_to_limit(same)
    return any(_numbers(each) == _numbers(nearest) for each in ends)


def _numbers(judgement: Judgement) -> tuple[float, ...]:
    computed, limit = judgement.computed, judgement.limit
    return (computed.number, limit.number) if computed is not None and limit is not None else ()


def _sentence(shown: Judgement, judged: list[Judgement]) -> str:
    """Return the sentence of what is shown; where it moves with what is tried, it says at which number it stands."""
    if all(each.message == shown.message for each in judged):
        return shown.message
    return f"{shown.message}, {'at best' if shown.verdict is Verdict.VIOLATED else 'at worst'} of what was tried"
