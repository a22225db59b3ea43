"""Which runs the sets of a circuit lie in: what a project file says of it, and what it leaves ambiguous."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from permitgen.project.sections.wiring import CircuitModel, RacewayModel

Key = tuple[str, ...]
# Ways side by side are equally long; what differs by more than a tenth is rather one behind the other (common practice).
_LIKE = 0.1
# Half a foot, as for what a plan draws: a tape is read to that (common practice).
_TAPE_FT = 0.5


def runs_named(circuit: CircuitModel) -> Iterator[tuple[Key, tuple[str, ...]]]:
    """Yield every list of runs that a circuit has, with the keys under which it stands."""
    yield ("runs",), circuit.runs
    yield from ((("parallel", name), runs) for name, runs in circuit.parallel.items())
    yield ("shared_runs",), circuit.shared_runs


def contradictory_ways(circuit: CircuitModel, raceways: Mapping[str, RacewayModel]) -> Iterator[tuple[Key, str]]:
    """Yield what a circuit says of its sets and runs that contradicts itself or may be read two ways."""
    if circuit.parallel:
        yield from _contradictions(circuit)
    elif circuit.shared_runs:
        yield ("shared_runs",), "shared_runs are runs that hold several of the sets under parallel; expected parallel, or runs alone"
    elif _may_be_parallel(circuit, raceways):
        yield ("runs",), _which(circuit)
    yield from _tap_shorter_than_its_runs(circuit, raceways)


def _tap_shorter_than_its_runs(circuit: CircuitModel, raceways: Mapping[str, RacewayModel]) -> Iterator[tuple[Key, str]]:
    """The conductors of a tap are as long as what they lie in, and longer by what they are inside the enclosures at its ends."""
    tap: Any = circuit.tap_length
    lengths = [length for tag in circuit.runs if (length := _feet(raceways.get(tag))) is not None]
    if tap is not None and lengths and sum(lengths) - tap.number > _TAPE_FT:
        runs, total = ", ".join(circuit.runs), f"{sum(lengths):g}"
        yield (
            ("tap_length",),
            f"{tap.number:g} ft, but {runs} holds {total} ft of it; expected {total} ft or more, or the length of {runs} mended",
        )


def _contradictions(circuit: CircuitModel) -> Iterator[tuple[Key, str]]:
    names, count = ", ".join(circuit.parallel), len(circuit.parallel)
    stated = circuit.conductors.sets
    if circuit.runs:
        yield ("runs",), f"runs and parallel both say where the conductors lie; expected one of them (parallel names the sets {names})"
    if count == 1:
        yield ("parallel",), "parallel names one set; expected two sets or more, or runs: for one way"
    if stated not in (None, count):
        yield ("conductors", "sets"), f"{stated}, but parallel names {count} sets ({names}); expected {count}, or sets left out"
    for name, runs in circuit.parallel.items():
        if not runs:
            yield ("parallel", name), f"the set {name} has no run; expected the tags of its raceways or cables in order"
        for run in sorted({run for run in runs if runs.count(run) > 1}):
            yield ("parallel", name), f"{run} is named twice in the set {name}; expected each run once, in order"
    yield from _shared(circuit)


def _shared(circuit: CircuitModel) -> Iterator[tuple[Key, str]]:
    """A run under two sets is either a slip of the pen or holds both: which, the file says."""
    sets: dict[str, list[str]] = {}
    for name, runs in circuit.parallel.items():
        for run in dict.fromkeys(runs):
            sets.setdefault(run, []).append(name)
    for run, names in sets.items():
        if len(names) > 1 and run not in circuit.shared_runs:
            yield (
                ("parallel", names[1]),
                f"{run} is named in the sets {' and '.join(names)}; expected another run, or shared_runs: {run} where it holds them all",
            )
    for run in circuit.shared_runs:
        if len(sets.get(run, [])) == 1:
            yield ("shared_runs",), f"{run} is in the set {sets[run][0]} alone; expected runs that two sets or more name"
        elif run not in sets:
            yield ("shared_runs",), f"no set under parallel names {run}; expected runs that two sets or more name"


def _may_be_parallel(circuit: CircuitModel, raceways: Mapping[str, RacewayModel]) -> bool:
    """As many runs as sets, and nothing in their lengths that tells one behind the other from one beside the other."""
    count = circuit.conductors.sets or 1
    lengths = [_feet(raceways.get(tag)) for tag in circuit.runs]
    if count == 1 or len(circuit.runs) != count:
        return False
    known = [length for length in lengths if length is not None]
    return not known or max(known) - min(known) <= _LIKE * max(known)


def _feet(raceway: RacewayModel | None) -> float | None:
    length: Any = raceway.length if raceway is not None else None
    return None if length is None else float(length.number)


def _which(circuit: CircuitModel) -> str:
    letters = [chr(ord("A") + index) for index in range(len(circuit.runs))]
    apart = ", ".join(f"{letter}: [{run}]" for letter, run in zip(letters, circuit.runs, strict=True))
    runs = ", ".join(circuit.runs)
    behind = ", ".join(f"{letter}: [{runs}]" for letter in letters)
    return (
        f"{len(letters)} sets and {len(letters)} runs of like length may lie side by side or one behind the other; expected, in place of"
        f" runs, parallel: {{{apart}}} for one set in each, or parallel: {{{behind}}} with shared_runs: [{runs}] for every set in all"
    )
