"""Sum of all overcurrent devices on the busbar, load and supply, without the one that protects it, within its rating."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.busbar import busbar_limit_a
from permitgen.rules.judgement import Judgement, require_at_most
from permitgen.rules.quantities.busbar_feeds import devices_on_busbar
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Judge the sum of devices. The autotransformer's device counts unless the jurisdiction reads it otherwise (strict by default)."""
    provision = given.provision("sum_of_breakers")
    rating = given.need(busbar.rating_a, f"busbar rating of {busbar.tag}").named("B")
    counts_former = given.system.jurisdiction.option("sum_of_breakers_counts_autotransformer", "yes") != "no"
    devices = [d for d in devices_on_busbar(given, busbar) if counts_former or "autotransformer" not in d.part]
    terms = [device.rating_a.named(f"OCPD_{_short(device.part)}", f"rating of the device at {device.part}") for device in devices]
    total = sum_of(terms, symbol="ΣOCPD", title=f"sum of the overcurrent devices on the busbar of {busbar.tag}, without its supply", provision=provision, unit="a")
    limit = busbar_limit_a.derive(busbar_factor=provision.value("busbar_factor"), rating_a=rating, provision=provision)
    return require_at_most(
        f"devices of {total.number:g} A together on a busbar of {rating.number:g} A", computed=total, limit=limit, method="sum of breakers"
    ).under(provision)


def _short(part: str) -> str:
    return part.split(" at ")[0].replace(" relay ", ".").replace(" ", "_")
