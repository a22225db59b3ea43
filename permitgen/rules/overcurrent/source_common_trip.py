"""A source of two legs lands on a breaker whose poles trip together, not on tied handles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, require
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.rule import rule
from permitgen.system.walks.in_series import circuits_in_series

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "source-common-trip",
    title="A source of two legs lands on a breaker whose poles trip together, not on tied handles",
    provision="breaker_handle_ties",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the breaker of a source circuit that is made of single poles.

    Requires: one breaker with common trip.
    Why: of two tied breakers one may trip alone, and the inverter goes on over the other leg; ties are for loads.
    Applies to: breakers with tied handles on circuits of sources.
    Example that fails: a handle-tied pair on a battery.
    Example that passes: a two-pole breaker.
    """
    tied = device.device.answer("handle_tied")
    if tied is None or device.device.kind != "circuit breaker":
        return does_not_apply(f"{device.tag} is not said to have tied handles")
    of_source = [each.tag for each in circuits_in_series(given.system, device) if role(given, each).is_source_output and not each.is_dc]
    if not of_source:
        return does_not_apply(f"{device.tag} protects no source")
    words = "single poles with tied handles" if tied else "poles that trip together"
    return require(not tied, f"{device.tag}: {words} on the source circuit {', '.join(of_source)}")
