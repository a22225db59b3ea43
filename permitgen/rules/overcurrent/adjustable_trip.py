"""The rating of an adjustable breaker is its highest setting, unless only qualified people can reach the setting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, any_of, does_not_apply, require, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.installed_device import InstalledDevice


@rule(
    "adjustable-trip",
    title="The rating of an adjustable breaker is its highest setting, unless only qualified people can reach the setting",
    provision="adjustable_trip_rating",
    judges="device",
)
def judge(device: InstalledDevice, given: Given) -> Judgement:
    """Judge the rating that the file states for an adjustable device; a setting of a power control system is another matter.

    Requires: rating as stated ≥ highest setting, or restricted access to the setting.
    Why: a dial turned up by the next owner is not seen in any document.
    Applies to: devices stated to be adjustable.
    Example that fails: a breaker adjustable to 250 A that the file counts as 200 A, open to anyone.
    Example that passes: the same behind a sealed cover.
    """
    if not device.device.is_adjustable:
        return does_not_apply(f"{device.tag} is not adjustable")
    rating = given.need(device.device.rating_a, f"rating of the breaker or fuse at {device.tag}").named("OCPD")
    restricted = device.device.has_restricted_access
    access = require(
        restricted,
        f"access to its setting is {'restricted' if restricted else 'not restricted'}",
        missing=f"whether access to the setting of the breaker or fuse at {device.tag} is restricted",
    )
    if access.holds:
        return any_of(f"{device.tag}: {rating.figure} A as set", [access])
    highest = given.need(device.device.highest_setting_a, f"highest setting of the breaker or fuse at {device.tag}")
    by_setting = require_at_least(
        f"counted as {rating.figure} A, adjustable to {highest.figure} A", computed=rating, limit=highest.named("OCPD_max")
    )
    return any_of(f"{device.tag}: adjustable", [by_setting, access])
