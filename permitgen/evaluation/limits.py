"""What else passes at a circuit, found by trying: other ratings, sizes, runs and lengths, and what forbids the next one.

One thing is changed at a time, everything else as it is. A choice passes when every requirement that reads what was changed is judged
and none is violated, and none asks for more care than before. Nothing that was not tried is in a result.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import ceil, floor
from typing import TYPE_CHECKING, TypeVar

from permitgen.code.standard_sizes import standard_ratings_a
from permitgen.evaluation.finding import ORDER
from permitgen.evaluation.limit_search import FIELD, Aspect, Choice, LimitSearch, Passing, Refused, Trial, rules_that_size, rules_under
from permitgen.evaluation.sizing import SMALLEST_CHOSEN_A, conductor_candidates, stands_already, trade_sizes
from permitgen.rules.judgement import Verdict
from permitgen.system.walks.in_series import circuits_in_series, devices_in_series
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.origin import Tried
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.finding import Finding
    from permitgen.system.circuit import Circuit
    from permitgen.system.installed_device import InstalledDevice
    from permitgen.system.raceway import Raceway

SHORTEST_FT, LONGEST_FT = 1, 1000
"""Lengths are tried between these."""

_DRAWN_AS_STATED = "drawn_as_stated"
"""The provision by which the file's statements are held against its own plan: a longer run goes another way than the one drawn."""


@dataclass(frozen=True, slots=True)
class Limit:
    """What passes of one aspect of ``tag`` (a device, a circuit, a raceway).

    ``passes`` are in order and hold ``now`` where it passes. ``below`` and ``above`` are the next choices, absent where the list ends
    there; of a kind of raceway, which has no order, ``others`` are refused. Of lengths the shortest and the longest stand in ``passes``.
    With ``not_judged`` nothing passes, and it says what is missing; ``refused_now`` says that it does not pass as it is.
    """

    aspect: Aspect
    tag: str
    now: Choice
    passes: tuple[Passing, ...] = ()
    below: Refused | None = None
    above: Refused | None = None
    others: tuple[Refused, ...] = ()
    not_judged: Finding | None = None
    refused_now: Refused | None = None


@dataclass(frozen=True, slots=True)
class CircuitLimits:
    """The limits of a circuit; ``violated`` are findings about it, its devices and its runs. What exists has no limits: it stays."""

    tag: str
    existing: bool
    violated: tuple[Finding, ...]
    limits: tuple[Limit, ...]


def limits_of(evaluation: Evaluation, tags: Iterable[str] | None = None) -> tuple[CircuitLimits, ...]:
    """Return the limits of the circuits with these tags, of all of them without, in the order of the file.

    Raises:
        KeyError: no circuit has one of the tags.
    """
    search, circuits = LimitSearch(evaluation), evaluation.system.circuits
    found: dict[tuple[Aspect, str], Limit | None] = {}
    return tuple(_of_circuit(search, circuits[tag], found) for tag in (circuits if tags is None else tags))


def _of_circuit(search: LimitSearch, circuit: Circuit, found: dict[tuple[Aspect, str], Limit | None]) -> CircuitLimits:
    """Return the limits of a circuit; ``found`` are those of devices and runs of circuits before, which this one may have too."""
    wanted = () if circuit.existing else tuple(_questions(search, circuit))
    for key, find in wanted:
        if key not in found:
            found[key] = find()
    limits = tuple(limit for key, _ in wanted if (limit := found[key]) is not None)
    violated = tuple(finding for finding in search.about(circuit) if finding.verdict is Verdict.VIOLATED)
    return CircuitLimits(circuit.tag, circuit.existing, violated, limits)


def _questions(search: LimitSearch, circuit: Circuit) -> Iterator[tuple[tuple[Aspect, str], Callable[[], Limit | None]]]:
    """Yield what is asked at a circuit, by aspect and tag; a run that serves a circuit that exists stays as it is."""
    system = search.system
    for device in devices_in_series(system, circuit):
        yield (Aspect.RATING, device.tag), partial(_rating, search, device)
    yield (Aspect.CONDUCTOR, circuit.tag), partial(_conductor, search, circuit)
    for tag in circuit.runs:
        run = system.raceways[tag]
        if not any(other.existing for other in search.circuits_in(run)):
            yield (Aspect.TRADE_SIZE, tag), partial(_trade_size, search, run)
            yield (Aspect.KIND, tag), partial(_kind, search, run)
            yield (Aspect.LENGTH, tag), partial(_length, search, run)


T = TypeVar("T")

Try = Callable[[T, "Finding | None"], Passing | Refused]
"""Tries a choice, and asks first what refused the one before."""

_GROUND = "equipment grounding conductor"


def _rating(search: LimitSearch, installed: InstalledDevice) -> Limit | None:
    """Standard ratings of a device; none of an adjustable one, whose setting is another question, nor of one that stands there already."""
    device, system = installed.device, search.system
    if device.rating_a is None or device.is_adjustable or stands_already(system, installed):
        return None
    limit = Limit(Aspect.RATING, installed.tag, device.rating_a)
    slot = search.slot(device, FIELD[Aspect.RATING])
    standard = (rating for rating in standard_ratings_a(search.listed.code) if rating >= SMALLEST_CHOSEN_A)
    choices = sorted({*standard, device.rating_a.number})

    def tried(rating: float, likely: Finding | None) -> Passing | Refused:
        value = Value(rating, "a", Tried(f"rating of {installed.tag}", "standard ratings"))
        return search.tried(value, Trial(system.with_device(device, replace(device, rating_a=value)), (slot,)), likely)

    if found := search.not_judged(Aspect.RATING, circuits_in_series(system, installed)):
        return replace(limit, not_judged=found)
    return _around(limit, choices, choices.index(device.rating_a.number), tried)


def _conductor(search: LimitSearch, circuit: Circuit) -> Limit | None:
    size = circuit.conductors.size
    choices = list(conductor_candidates(search.listed, circuit))
    if size is None or size not in choices:
        return None
    limit = Limit(Aspect.CONDUCTOR, circuit.tag, size)
    if found := search.not_judged(Aspect.CONDUCTOR, [circuit]):
        return replace(limit, not_judged=found)
    return _around(limit, choices, choices.index(size), partial(_conductor_tried, search, circuit))


def _conductor_tried(search: LimitSearch, circuit: Circuit, size: ConductorSize, likely: Finding | None) -> Passing | Refused:
    """Try a size; where that needs a larger equipment grounding conductor, the smallest one that passes goes with it."""
    slot = search.slot(circuit.conductors, FIELD[Aspect.CONDUCTOR])
    changed = search.system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, size=size)))
    alone = search.tried(size, Trial(changed, (slot,), is_of_sizes=True), likely)
    if isinstance(alone, Passing) or alone.by.rule not in rules_that_size(_GROUND):
        return alone
    holder = changed.circuits[circuit.conductors.egc_shared_with or circuit.tag]
    least = holder.conductors.egc_size
    ground_slot = search.slot(search.system.circuits[holder.tag].conductors, "egc_size")
    refused = alone
    for ground in (each for each in ALL_SIZES if least is not None and least < each <= size):
        with_ground = changed.with_sizes_of(replace(holder, conductors=replace(holder.conductors, egc_size=ground)))
        trial = Trial(with_ground, (slot, ground_slot), is_of_sizes=True)
        if search.refusals(trial, {(alone.by.rule, alone.by.subject)}):
            continue
        found = search.tried(size, trial)
        if isinstance(found, Passing):
            return replace(found, ground=ground)
        # What refuses the size with the ground that it needs says more than that it needs one.
        refused = found if found.by.rule not in rules_that_size(_GROUND) else refused
    return refused


def _trade_size(search: LimitSearch, run: Raceway) -> Limit | None:
    if not run.is_conduit or run.trade_size is None:
        return None
    limit = Limit(Aspect.TRADE_SIZE, run.tag, run.trade_size)
    choices = list(trade_sizes(search.listed, run))
    if run.trade_size not in choices:
        return None
    if found := search.not_judged(Aspect.TRADE_SIZE, search.circuits_in(run)):
        return replace(limit, not_judged=found)

    def tried(size: str, likely: Finding | None) -> Passing | Refused:
        return search.tried(size, _run_trial(search, Aspect.TRADE_SIZE, replace(run, trade_size=size)), likely)

    return _around(limit, choices, choices.index(run.trade_size), tried)


def _kind(search: LimitSearch, run: Raceway) -> Limit | None:
    """Other kinds of raceway of the same trade size: a cable or a wireway is another way of wiring, not another kind of the same."""
    if not run.is_conduit or run.trade_size is None:
        return None
    limit = Limit(Aspect.KIND, run.tag, run.kind)
    table = search.listed.table("raceway_dimensions")
    kinds = [kind for kind in table.groups if run.trade_size in table.rows_of(kind)]
    if found := search.not_judged(Aspect.KIND, search.circuits_in(run)):
        return replace(limit, not_judged=found)
    here = search.tried(run.kind, _run_trial(search, Aspect.KIND, run))
    likely = here.by if isinstance(here, Refused) else None
    tried = [search.tried(kind, _run_trial(search, Aspect.KIND, replace(run, kind=kind)), likely) for kind in kinds if kind != run.kind]
    return replace(
        limit,
        passes=tuple(each for each in (here, *tried) if isinstance(each, Passing)),
        others=tuple(each for each in tried if isinstance(each, Refused)),
        refused_now=here if isinstance(here, Refused) else None,
    )


def _length(search: LimitSearch, run: Raceway) -> Limit | None:
    """Lengths around the present one, to a foot, found by halving: the longest and the shortest that pass."""
    if run.length_ft is None:
        return None
    now = run.length_ft.number
    limit = Limit(Aspect.LENGTH, run.tag, run.length_ft)
    if found := search.not_judged(Aspect.LENGTH, search.circuits_in(run)):
        return replace(limit, not_judged=found)

    def trial(feet: float) -> Trial:
        found = _run_trial(search, Aspect.LENGTH, replace(run, length_ft=_feet(run, feet)))
        return replace(found, not_asked=rules_under(_DRAWN_AS_STATED)) if feet > now else found

    here = search.tried(run.length_ft, trial(now))
    if isinstance(here, Refused):
        return _refused(limit, here)
    ends = [_farthest(search, now, end, trial) for end in (SHORTEST_FT, LONGEST_FT)]
    (shortest, below), (longest, above) = [
        (inside, Refused(_feet(run, outside), min(by, key=lambda finding: ORDER[finding.verdict])) if by else None)
        for inside, outside, by in ends
    ]
    return replace(limit, passes=(Passing(_feet(run, shortest)), Passing(_feet(run, longest))), below=below, above=above)


def _feet(run: Raceway, feet: float) -> Value:
    return Value(feet, "ft", Tried(f"length of {run.tag}", f"{SHORTEST_FT} ft to {LONGEST_FT} ft"))


def _run_trial(search: LimitSearch, aspect: Aspect, changed: Raceway) -> Trial:
    slot = search.slot(search.system.raceways[changed.tag], FIELD[aspect])
    return Trial(search.system.with_raceway(changed), (slot,), is_of_sizes=aspect is Aspect.TRADE_SIZE)


def _farthest(search: LimitSearch, now: float, end: int, trial: Callable[[float], Trial]) -> tuple[float, float, tuple[Finding, ...]]:
    """Return the last whole foot from ``now`` toward ``end`` that passes, the next, and what refuses that; nothing where the end passes.

    What refuses the end is asked alone between, and all of it at both feet that are returned; did something else refuse there, all is
    asked at each step.
    """
    if now >= end if end == LONGEST_FT else now <= end:
        return now, now, ()
    by = search.refusals(trial(end))
    if not by:
        return end, end, ()
    only = {(finding.rule, finding.subject) for finding in by}
    inside, outside = _halved(now, end, lambda feet: not search.refusals(trial(feet), only))
    if inside != now and search.refusals(trial(inside)):
        inside, outside = _halved(now, end, lambda feet: not search.refusals(trial(feet)))
    return inside, outside, search.refusals(trial(outside))


def _halved(now: float, end: int, passes: Callable[[float], bool]) -> tuple[float, int]:
    """Return the last foot that passes and the next, between ``now``, which passes, and ``end``, which does not."""
    found, inside, outside = now, (floor if end > now else ceil)(now), end
    while abs(outside - inside) > 1:
        middle = (inside + outside) // 2
        if passes(middle):
            found = inside = middle
        else:
            outside = middle
    return found, outside


def _refused(limit: Limit, here: Refused) -> Limit:
    """Return the limit of what does not pass as it is; what cannot be judged as it is cannot be judged otherwise."""
    if here.by.verdict is Verdict.NOT_JUDGED:
        return replace(limit, not_judged=here.by)
    return replace(limit, refused_now=here)


def _around(limit: Limit, choices: Sequence[T], at: int, tried: Try[T]) -> Limit:
    """Return the limit with the choices that pass together: around that at ``at``, or where that is refused the nearest, larger first."""
    here = tried(choices[at], None)
    larger, smaller = choices[at + 1 :], choices[:at][::-1]
    if isinstance(here, Passing):
        up, above = _until_refused(larger, tried)
        down, below = _until_refused(smaller, tried)
        return replace(limit, passes=(*reversed(down), here, *up), below=below, above=above)
    limit = _refused(limit, here)
    if limit.not_judged is not None:
        return limit
    passing, before, behind = _first_that_pass(larger, tried, here)
    if passing:
        return replace(limit, passes=tuple(passing), below=before, above=behind)
    passing, before, behind = _first_that_pass(smaller, tried, here)
    return replace(limit, passes=tuple(reversed(passing)), below=behind, above=before) if passing else limit


def _until_refused(choices: Iterable[T], tried: Try[T]) -> tuple[list[Passing], Refused | None]:
    passing: list[Passing] = []
    for choice in choices:
        found = tried(choice, None)
        if isinstance(found, Refused):
            return passing, found
        passing.append(found)
    return passing, None


def _first_that_pass(choices: Sequence[T], tried: Try[T], refused: Refused) -> tuple[list[Passing], Refused, Refused | None]:
    """Return the first choices that pass one after the other, the refused one before them and the refused one behind them."""
    for index, choice in enumerate(choices):
        found = tried(choice, refused.by)
        if isinstance(found, Passing):
            further, behind = _until_refused(choices[index + 1 :], tried)
            return [found, *further], refused, behind
        refused = found
    return [], refused, None
