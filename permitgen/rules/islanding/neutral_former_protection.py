"""The breaker of a neutral-forming transformer is at most 125 percent of its input current, or the next standard rating."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.code.equations.overcurrent import transformer_overcurrent_limit_a
from permitgen.code.standard_sizes import select_next_rating
from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.neutral_former import input_current
from permitgen.rules.quantities.protection import poles_of
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.autotransformer import Autotransformer
    from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.values.value import Value


@rule(
    "neutral-former-protection",
    title="The breaker of a neutral-forming transformer is at most 125 percent of its input current, or the next standard rating",
    provision="autotransformer_protection",
    judges="microgrid_interconnect_device",
)
def judge(device: MicrogridInterconnectDevice, given: Given) -> Judgement:
    """Judge the overcurrent device of the autotransformer in an interconnect device.

    Requires: device ≤ 125 percent of the rated input current, from 9 A the next standard rating; below 9 A 167 percent; two poles.
    Why: windings that carry more than their share burn before a larger device opens.
    Applies to: neutral-forming autotransformers; their input current is half the neutral current. The listing governs.
    Example that fails: a 40 A device for 50 A of neutral: 25 A of input, 31.25 A, next standard 35 A.
    Example that passes: a 35 A device there.
    """
    former = device.autotransformer
    if former is None:
        return does_not_apply(f"{device.tag} holds no autotransformer")
    if former.device is None:
        return not_judged(f"overcurrent device of the autotransformer of {device.tag}")
    fitted = former.device
    parts = parts_of(lambda: _sized(device, former, fitted, given), lambda: _opens(device, fitted, given))
    judgement = all_of(parts[0].message, parts)
    return replace(judgement, doubt="listed neutral formers of dwellings fit none of the texts on autotransformers; the listing governs")


def _sized(device: MicrogridInterconnectDevice, former: Autotransformer, fitted: OvercurrentDevice, given: Given) -> Judgement:
    rating = given.need(fitted.rating_a, f"rating of the breaker or fuse of the autotransformer of {device.tag}").named("OCPD")
    limit = _limit(input_current(given, device.tag, former), device.tag, given)
    message = f"{device.tag}: {rating.figure} A for its autotransformer, {limit.figure} A permitted"
    return require_at_most(message, computed=rating, limit=limit)


def _opens(device: MicrogridInterconnectDevice, fitted: OvercurrentDevice, given: Given) -> Judgement:
    poles = poles_of(given, fitted, f"the autotransformer of {device.tag}")
    return require(poles >= 2, f"{device.tag}: the device of its autotransformer has {poles} pole{'s' if poles > 1 else ''}")


def _limit(current: Value, tag: str, given: Given) -> Value:
    provision = given.provision("autotransformer_protection")
    small = current.number < provision.value("next_size_from_a").number
    factor = provision.value("small_current_factor" if small else "rated_current_factor")
    title = f"largest device of the autotransformer of {tag}"
    raised = transformer_overcurrent_limit_a.derive(rated_current_factor=factor, rated_current_a=current, provision=provision, title=title)
    return raised if small else select_next_rating(given.code, raised, title=title)
