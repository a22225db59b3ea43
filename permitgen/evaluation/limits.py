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
from permitgen.evaluation.limit_search import FIELD, Aspect, Choice, LimitSearch, Passing, Refused, Trial, rules_that_size
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

_GROUND = "equipment grounding conductor"


def _rating(search: LimitSearch, installed: InstalledDevice) -> Limit | None:
    """Standard ratings of a device; none of an adjustable one, whose setting is another question, nor of one that stands there already."""
    device, system = installed.device, search.system
    if device.rating_a is None or device.is_adjustable or stands_already(system, installed):
        return None
    limit = Limit(Aspect.RATING, installed.tag, device.rating_a)
    slot = search.slot(device, FIELD[Aspect.RATING])
    standard = (rating for rating in standard_ratings_a(search.given.code.last_read) if rating >= SMALLEST_CHOSEN_A)
    choices = sorted({*standard, device.rating_a.number})

    def tried(rating: float) -> Passing | Refused:
        value = Value(rating, "a", Tried(f"rating of {installed.tag}", "standard ratings"))
        return search.tried(value, Trial(system.with_device(device, replace(device, rating_a=value)), (slot,)))

    if found := search.not_judged(Aspect.RATING, circuits_in_series(system, installed)):
        return replace(limit, not_judged=found)
    return _around(limit, choices, choices.index(device.rating_a.number), tried)


def _conductor(search: LimitSearch, circuit: Circuit) -> Limit | None:
    size = circuit.conductors.size
    choices = list(conductor_candidates(search.given, circuit))
    if size is None or size not in choices:
        return None
    limit = Limit(Aspect.CONDUCTOR, circuit.tag, size)
    if found := search.not_judged(Aspect.CONDUCTOR, [circuit]):
        return replace(limit, not_judged=found)
    return _around(limit, choices, choices.index(size), lambda each: _conductor_tried(search, circuit, each))


def _conductor_tried(search: LimitSearch, circuit: Circuit, size: ConductorSize) -> Passing | Refused:
    """Try a size; where that needs a larger equipment grounding conductor, the smallest one that passes goes with it."""
    slot = search.slot(circuit.conductors, FIELD[Aspect.CONDUCTOR])
    changed = search.system.with_sizes_of(replace(circuit, conductors=replace(circuit.conductors, size=size)))
    alone = search.tried(size, Trial(changed, (slot,), is_of_sizes=True))
    if isinstance(alone, Passing) or alone.by.rule not in rules_that_size(_GROUND):
        return alone
    holder = changed.circuits[circuit.conductors.egc_shared_with or circuit.tag]
    least = holder.conductors.egc_size
    ground_slot = search.slot(search.system.circuits[holder.tag].conductors, "egc_size")
    refused = alone
    for ground in (each for each in ALL_SIZES if least is not None and least < each <= size):
        with_ground = changed.with_sizes_of(replace(holder, conductors=replace(holder.conductors, egc_size=ground)))
        found = search.tried(size, Trial(with_ground, (slot, ground_slot), is_of_sizes=True))
        if isinstance(found, Passing):
            return replace(found, ground=ground)
        # What refuses the size with the ground that it needs says more than that it needs one.
        refused = found if found.by.rule not in rules_that_size(_GROUND) else refused
    return refused


def _trade_size(search: LimitSearch, run: Raceway) -> Limit | None:
    if not run.is_conduit or run.trade_size is None:
        return None
    limit = Limit(Aspect.TRADE_SIZE, run.tag, run.trade_size)
    choices = list(trade_sizes(search.given, run))
    if run.trade_size not in choices:
        return None
    if found := search.not_judged(Aspect.TRADE_SIZE, search.circuits_in(run)):
        return replace(limit, not_judged=found)
    return _around(
        limit, choices, choices.index(run.trade_size), lambda size: search.run_tried(Aspect.TRADE_SIZE, size, replace(run, trade_size=size))
    )


def _kind(search: LimitSearch, run: Raceway) -> Limit | None:
    """Other kinds of raceway of the same trade size: a cable or a wireway is another way of wiring, not another kind of the same."""
    if not run.is_conduit or run.trade_size is None:
        return None
    limit = Limit(Aspect.KIND, run.tag, run.kind)
    table = search.given.table("raceway_dimensions")
    kinds = [kind for kind in table.groups if run.trade_size in table.rows_of(kind)]
    if found := search.not_judged(Aspect.KIND, search.circuits_in(run)):
        return replace(limit, not_judged=found)
    tried = {kind: search.run_tried(Aspect.KIND, kind, replace(run, kind=kind)) for kind in dict.fromkeys((run.kind, *kinds))}
    here = tried[run.kind]
    return replace(
        limit,
        passes=tuple(each for each in tried.values() if isinstance(each, Passing)),
        others=tuple(each for each in tried.values() if isinstance(each, Refused) and each is not here),
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

    def tried(feet: float) -> Passing | Refused:
        value = Value(feet, "ft", Tried(f"length of {run.tag}", f"{SHORTEST_FT} ft to {LONGEST_FT} ft"))
        return search.run_tried(Aspect.LENGTH, value, replace(run, length_ft=value), leave_out=_DRAWN_AS_STATED if feet > now else "")

    here = tried(now)
    if isinstance(here, Refused):
        return _refused(limit, here)
    longest, above = _farthest(here, now, LONGEST_FT, tried)
    shortest, below = _farthest(here, now, SHORTEST_FT, tried)
    return replace(limit, passes=(shortest, longest), below=below, above=above)


def _farthest(here: Passing, now: float, end: int, tried: Callable[[float], Passing | Refused]) -> tuple[Passing, Refused | None]:
    """Return the last whole foot from ``now`` toward ``end`` that passes, and the next, which is refused; none where the end passes."""
    if (end - now) * (1 if end == LONGEST_FT else -1) <= 0:
        return here, None
    refused = tried(end)
    if isinstance(refused, Passing):
        return refused, None
    passing, inside, outside = here, (floor if end > now else ceil)(now), end
    while abs(outside - inside) > 1:
        middle = (inside + outside) // 2
        found = tried(middle)
        if isinstance(found, Passing):
            passing, inside = found, middle
        else:
            refused, outside = found, middle
    return passing, refused


def _refused(limit: Limit, here: Refused) -> Limit:
    """Return the limit of what does not pass as it is; what cannot be judged as it is cannot be judged otherwise."""
    if here.by.verdict is Verdict.NOT_JUDGED:
        return replace(limit, not_judged=here.by)
    return replace(limit, refused_now=here)


def _around(limit: Limit, choices: Sequence[T], at: int, tried: Callable[[T], Passing | Refused]) -> Limit:
    """Return the limit with the choices that pass together: around that at ``at``, or where that is refused the nearest, larger first."""
    here = tried(choices[at])
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


def _until_refused(choices: Iterable[T], tried: Callable[[T], Passing | Refused]) -> tuple[list[Passing], Refused | None]:
    passing: list[Passing] = []
    for choice in choices:
        found = tried(choice)
        if isinstance(found, Refused):
            return passing, found
        passing.append(found)
    return passing, None


def _first_that_pass(
    choices: Sequence[T], tried: Callable[[T], Passing | Refused], refused: Refused
) -> tuple[list[Passing], Refused, Refused | None]:
    """Return the first choices that pass one after the other, the refused one before them and the refused one behind them."""
    for index, choice in enumerate(choices):
        found = tried(choice)
        if isinstance(found, Passing):
            further, behind = _until_refused(choices[index + 1 :], tried)
            return [found, *further], refused, behind
        refused = found
    return [], refused, None
