"""Which run of a circuit decides its ampacity where the runs differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.ampacity import longest_lower_ampacity_part_ft
from permitgen.rules.judgement import at_most
from permitgen.rules.quantities.current_carrying_count import is_bundled_in_insulation
from permitgen.values.equation import one_or_sum_of, selected

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.rules.quantities.conductor_ampacity import RunAmpacity
    from permitgen.values.value import Value


def governing_ampacity(given: Given, tag: str, runs: Sequence[RunAmpacity]) -> tuple[RunAmpacity, Value]:
    """Return the run that governs and its ampacity after factors.

    The lowest run governs, unless it is short: at most 10 ft and at most 10 percent of the length of the part with the higher
    ampacity. A run without a length is never left out, nor are cables together in thermal insulation.
    """
    lowest = min(runs, key=lambda run: run.corrected_a.number)
    rest = [run for run in runs if run is not lowest]
    if not rest:
        return lowest, lowest.corrected_a
    others = tuple(run.corrected_a for run in rest)
    next_lowest = min(rest, key=lambda run: run.corrected_a.number)
    lengths = _short_enough(given, tag, lowest, rest)
    if lengths:
        chosen, by, inputs = next_lowest, "lowest of all but the short run", (*others, *lengths)
    else:
        chosen, by, inputs = lowest, "lowest of", (lowest.corrected_a, *others)
    provision = given.provision("lower_ampacity_governs")
    number = chosen.corrected_a.number
    return chosen, selected(
        number, "a", by=by, inputs=inputs, symbol="A_corr", title=f"ampacity of {tag} after factors", provision=provision
    )


def _short_enough(given: Given, tag: str, lowest: RunAmpacity, rest: Sequence[RunAmpacity]) -> tuple[Value, ...]:
    """Return the lengths that let the lowest run be left out, or nothing."""
    if min(run.corrected_a.number for run in rest) <= lowest.corrected_a.number:
        return ()
    short = lowest.run.length_ft
    long = [run.run.length_ft for run in rest]
    known = [length for length in long if length is not None]
    if short is None or len(known) != len(long):
        return ()
    provision = given.provision("lower_ampacity_governs")
    other = one_or_sum_of(known, symbol="L", title=f"length of the other runs of {tag}")
    share = longest_lower_ampacity_part_ft.derive(share_factor=provision.value("share_factor"), other_part_ft=other, provision=provision)
    within = at_most(short, provision.value("longest_ft")) and at_most(short, share)
    return (short, share) if within and not is_bundled_in_insulation(given, lowest.run) else ()
