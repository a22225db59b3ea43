"""The annual swing of temperature of a raceway."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.expansion import sunlit_swing_f
from permitgen.code.equations.expansion import temperature_swing_f as swing_of
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway


def temperature_swing_f(given: Given, raceway: Raceway) -> Value:
    """Return the swing between the coldest and the hottest state of a run, °F; sun on it adds its share.

    Temperatures stated for the run stand before those of the site. Outdoors the sun counts unless the file says that the run
    lies in shade.

    Raises:
        MissingFactError: neither the run nor the site states a temperature.
    """
    cold = given.need(raceway.fact("coldest") or given.system.site.record_low_c, f"coldest temperature of {raceway.tag}")
    hot = given.need(raceway.fact("hottest") or given.system.site.design_high_c, f"hottest temperature of {raceway.tag}")
    swing = swing_of.derive(hottest_c=hot.named("T_max"), coldest_c=cold.named("T_min"))
    if raceway.answer("in_sun") is False or raceway.inside_building or raceway.fact("hottest") is not None:
        return swing
    provision = given.provision("sun_on_raceway")
    return sunlit_swing_f.derive(swing_f=swing, added_f=provision.value("added_f"), provision=provision)
