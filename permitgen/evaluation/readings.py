"""What rules are given by each reading of figures with several sources, and the one verdict that the readings make together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from permitgen.evaluation.finding import ORDER
from permitgen.rules.given import Given
from permitgen.rules.judgement import Judgement, Verdict, farthest_from_limit, nearest_to_limit

if TYPE_CHECKING:
    from permitgen.system.source_reading import SourceReading, Stated

_Choice = tuple["Stated", ...]


def given_by_reading(given: Given) -> tuple[Given, ...]:
    """Return what rules are given by each reading; ``given`` alone where no figure has several sources."""
    if not given.system.readings:
        return (given,)
    return tuple(Given(reading.of(given.system), given.code) for reading in given.system.readings)


@dataclass(frozen=True, slots=True)
class Told:
    """The judgement by one reading; ``index`` counts the readings of the system."""

    index: int
    judgement: Judgement


def worst_of(told: Sequence[Told], readings: Sequence[SourceReading]) -> Told:
    """Return the worst of the judgements by several readings; where verdicts differ it says on which figures they turn."""
    if len(told) == 1:
        return told[0]
    verdict = min((each.judgement.verdict for each in told), key=lambda each: ORDER[each])
    same = [each.judgement for each in told if each.judgement.verdict is verdict]
    worst = nearest_to_limit(same) if verdict is Verdict.PASSES else farthest_from_limit(same)
    index = next(each.index for each in told if each.judgement is worst)
    by_choice = {readings[each.index].stated: each.judgement.verdict for each in told}
    if turning := _turning(by_choice):
        worst = replace(worst, message=f"{worst.message}; turns on {_sides(by_choice, turning)}")
    return Told(index, worst)


def _turning(by_choice: dict[_Choice, Verdict]) -> tuple[int, ...]:
    """Return which figures alone change a verdict: two choices that differ in that figure only have different ones."""
    places = range(len(next(iter(by_choice))))
    return tuple(place for place in places if any(_is_turned(by_choice, choice, place) for choice in by_choice))


def _is_turned(by_choice: dict[_Choice, Verdict], choice: _Choice, place: int) -> bool:
    beside = (other for other in by_choice if (*other[:place], *other[place + 1 :]) == (*choice[:place], *choice[place + 1 :]))
    return any(by_choice[other] is not by_choice[choice] for other in beside)


def _sides(by_choice: dict[_Choice, Verdict], turning: tuple[int, ...]) -> str:
    """Return the figures on which the verdict turns, and the worst verdict by each of what is stated of them."""
    sides: dict[_Choice, Verdict] = {}
    for choice, verdict in by_choice.items():
        side = tuple(choice[place] for place in turning)
        sides[side] = min((verdict, sides.get(side, verdict)), key=lambda each: ORDER[each])
    paths = " and ".join(each.path for each in next(iter(sides)))
    return f"{paths}: " + ", ".join(
        f"{' with '.join(f'{each.spelled} ({each.source})' for each in side)} {verdict}" for side, verdict in sides.items()
    )
