"""How hot it is around a run, and the annual swing of its temperature."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.expansion import sunlit_swing_f
from permitgen.code.equations.expansion import temperature_swing_f as swing_of
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


def design_ambient_c(given: Given, raceway: Raceway) -> Value:
    """Return the stated ambient temperature along a run, else the design temperature of the site, °C.

    An attic is hotter than the air outdoors, and how much hotter no section says: there it has to be stated, as where nobody says
    that a run passes none.

    Raises:
        MissingFactError: neither the run nor the site states a temperature, or the run states none and may pass an attic.
    """
    title = f"ambient temperature along {raceway.tag}"
    elsewhere = given.system.site.design_high_c if raceway.in_attic is False else None
    return given.need(raceway.ambient_c or elsewhere, title).named("T_a", title)


def temperature_swing_f(given: Given, raceway: Raceway) -> Value:
    """Return the swing between the coldest and the hottest state of a run, °F; sun on it adds its share.

    Temperatures stated for the run stand before those of the site. Outdoors the sun counts unless the file says that the run
    lies in shade.

    Raises:
        MissingFactError: neither the run nor the site states a temperature, or the run states none and may pass an attic.
    """
    cold = given.need(raceway.fact("coldest") or given.system.site.record_low_c, f"coldest temperature of {raceway.tag}")
    swing = swing_of.derive(hottest_c=_hottest_c(given, raceway).named("T_max"), coldest_c=cold.named("T_min"))
    if raceway.answer("in_sun") is False or raceway.inside_building or raceway.fact("hottest") is not None:
        return swing
    provision = given.provision("sun_on_raceway")
    return sunlit_swing_f.derive(swing_f=swing, added_f=provision.value("added_f"), provision=provision)


def _hottest_c(given: Given, raceway: Raceway) -> Value:
    """Return the hottest state as stated, else the higher of what is around the run and the design temperature of the site."""
    title = f"hottest temperature of {raceway.tag}"
    stated = raceway.fact("hottest")
    if stated is not None:
        return stated
    site_c = given.need(given.system.site.design_high_c, title)
    around_c = design_ambient_c(given, raceway)
    if around_c.number <= site_c.number:
        return site_c
    return selected(around_c.number, "c", by="higher of", inputs=(around_c, site_c), symbol="T_max", title=title)
