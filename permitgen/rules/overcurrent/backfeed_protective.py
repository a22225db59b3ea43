"""A breaker with ground-fault or arc-fault protection is back-fed only where it is listed for that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.overcurrent.backfeed_suitable import is_back_fed
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice

_FUNCTIONS = {"ground_fault_protection": "ground-fault", "arc_fault_protection": "arc-fault"}


@rule(
    "backfeed-protective",
    title="A breaker with ground-fault or arc-fault protection is back-fed only where it is listed for that",
    provision="backfeed_suitable",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge a back-fed breaker that protects from more than overcurrent.

    Requires: a listing for back-feeding.
    Why: its electronics hang on the load terminals; fed from there they burn while the breaker trips, and protect no more.
    Applies to: back-fed breakers that are stated to have ground-fault or arc-fault protection; whether a plain breaker may be back-fed
        its marks tell (see backfeed-suitable).
    Example that fails: a branch of microinverters on an arc-fault breaker.
    Example that passes: the same branch on a plain breaker.
    """
    functions = [words for name, words in _FUNCTIONS.items() if device.device.answer(name)]
    if not functions or not is_back_fed(given, device):
        return does_not_apply(f"{device.tag} is not back-fed, or is not stated to protect from ground or arc faults")
    listed = device.device.answer("listed_for_backfeed")
    return require(
        listed,
        f"{device.tag}: back-fed breaker with {' and '.join(functions)} protection, {'' if listed else 'not '}listed for it",
        missing=f"whether the breaker at {device.tag} is listed to be back-fed",
        places=(device.at,) if device.at is not None else (),
    )
