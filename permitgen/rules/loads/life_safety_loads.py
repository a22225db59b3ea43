"""Load management sheds no alarm, no egress lighting and no ventilation against a hazard."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import Whole
    from permitgen.system.load import Load

# Loads of which nobody can die when they stop, by what they are.
_HARMLESS = (
    "ev supply equipment",
    "cooking",
    "dryer",
    "water heater",
    "air conditioning",
    "heat pump",
    "space heating",
    "supplemental heat",
)


@rule(
    "life-safety-loads",
    title="Load management sheds no alarm, no egress lighting and no ventilation against a hazard",
    provision="energy_management_not_safety",
    judges="system",
)
def judge(whole: Whole, given: Given) -> Judgement:
    """Judge every load that is shed.

    Requires: no load for the safety of life among those that load management or the island disconnects.
    Why: the night of the outage is when the smoke alarm is needed.
    Applies to: loads with ``shed``; what they are tells of ranges, dryers, water heaters, air conditioning and vehicles.
    Example that fails: the circuit of the smoke alarms on a contactor that opens in the island.
    Example that passes: a water heater on it.
    """
    del whole
    shed = [load for load in given.system.loads.values() if load.shed != "none"]
    if not shed:
        return does_not_apply("no load is shed")
    return all_of("nothing that is shed is for the safety of life", [part for load in shed for part in _of(load)])


def _of(load: Load) -> Iterator[Judgement]:
    answer = load.is_life_safety
    if answer is None and load.stated_category in _HARMLESS:
        answer = False
    message = f"{load.tag} ({load.name}), which is shed, is {'' if answer else 'not '}for the safety of life"
    yield require(None if answer is None else not answer, message, missing=f"whether {load.tag} is an alarm, egress lighting or the like")
