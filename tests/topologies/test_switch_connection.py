"""A switch with both sides live is permitted by 404.6(C) with the sign alone: wherever the rule says so, the sign is among the labels.

The sign: 404.6(C) exception (from memory; 29 CFR 1910.305(c)(3) has the same words), and by 690.13(B), 705.20(7), 706.15(C) wider words.
"""

import pytest

from permitgen.views.label_set import label_set_of
from tests.topologies.test_placard_reachability import evaluated

BATTERY_SWITCH = {
    "equipment.ESD": {"kind": "disconnect", "purpose": "energy storage", "poles": "2"},
    "circuits.X9": {"from": "ESD.line", "to": "MID.BAT", "conductors": {"size": "8 AWG", "insulation": "THWN-2", "neutral": "no"}},
}


def _battery_behind_a_switch(own: str, other: str):
    """B04 with a switch between the battery and the interconnect device."""
    there = {**BATTERY_SWITCH["circuits.X9"], "from": f"ESD.{other}"}
    battery = {"circuits.C2.to": f"ESD.{own}", "circuits.X9": there}
    return evaluated("b04_partial_backup", without=("circuits.C2.overcurrent",), changed={**BATTERY_SWITCH, **battery})


@pytest.mark.parametrize(
    "evaluation",
    [
        lambda: evaluated("b12_bidirectional_ev"),
        lambda: _battery_behind_a_switch("load", "line"),
        lambda: _battery_behind_a_switch("line", "load"),
    ],
)
def test_what_the_sign_permits_bears_the_sign(evaluation):
    house = evaluation()
    by_sign = {f.subject for f in house.findings_of("switch-connection") if f.judgement.holds and "sign" in f.judgement.message}
    assert by_sign
    assert by_sign <= {label.tag for label in label_set_of(house).labels if label.id == "line-load-energized"}
