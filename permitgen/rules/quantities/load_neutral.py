"""The neutral load: the largest load between the neutral and any one line (220.61(A)).

What lies on both legs alike loads each with half of itself; a load on one leg loads the neutral with its whole current, unless one
on the other leg takes it off. Nobody says that the loads of the other leg are on, so that the heavier leg counts alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.loads import neutral_load_a
from permitgen.rules.quantities.circuit_current import line_to_line, line_to_neutral
from permitgen.rules.quantities.load_calculation import sum_row
from permitgen.rules.quantities.load_scope import EITHER_LEG
from permitgen.rules.quantities.load_standard import cooking_and_appliances, cooking_rows, dryer_rows, floor_area_rows, listed_general
from permitgen.values.equation import selected

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.rules.quantities.load_calculation import LoadRow
    from permitgen.rules.quantities.load_scope import CountedLoad, LoadScope
    from permitgen.values.value import Value

_LEGS = ("L1", "L2")


def neutral_load(given: Given, scope: LoadScope) -> Value:
    """Return the maximum unbalance of the loads of a scope, A: 70 percent of ranges and dryers on both legs, others by their leg.

    Raises:
        MissingFactError: power or leg of a load is not stated, or as for the standard method.
    """
    cooking, _ = cooking_and_appliances(scope)
    ranges, dryers, listed = (_on_both(given, loads) for loads in (cooking, scope.of("dryer"), listed_general(given, scope)))
    general = [load.power_va for load in listed]
    provision = given.provision("neutral_load")
    legs = [_on(given, scope, leg) for leg in _LEGS]
    heavier = max(legs, key=lambda value: value.number)
    return neutral_load_a.derive(
        general_va=sum_row("general demand", [*_demands(floor_area_rows(given, scope)), *general], "S_g"),
        reduced_factor=provision.value("range_and_dryer_factor"),
        reduced_va=sum_row("demand of ranges and dryers", _demands([*cooking_rows(given, ranges), *dryer_rows(given, dryers)]), "S_r"),
        lines_v=line_to_line(given),
        leg_va=selected(heavier.number, "va", by="larger of", inputs=tuple(legs), symbol="S_leg", title="loads on the heavier leg alone"),
        leg_v=line_to_neutral(given),
        provision=provision,
    )


def _demands(rows: Sequence[LoadRow]) -> list[Value]:
    return [row.demand_va for row in rows if row.demand_va is not None]


def _leg(given: Given, load: CountedLoad) -> str:
    return given.need(load.leg or None, f"leg of {load.tag}")


def _on_both(given: Given, loads: Sequence[CountedLoad]) -> list[CountedLoad]:
    return [load for load in loads if _leg(given, load) == "both"]


def _on(given: Given, scope: LoadScope, leg: str) -> Value:
    """Return the loads on one leg, VA, of heating and cooling the larger; a load on a leg that nobody names may be on this one."""
    heat = _sum(given, scope.of("space heating", "supplemental heat", "heat pump"), leg, f"heating on {leg}")
    cool = _sum(given, scope.of("air conditioning", "heat pump"), leg, f"cooling on {leg}")
    _, appliances = cooking_and_appliances(scope)
    large = [load for load in scope.of("cooking") if load not in appliances]
    others = [*listed_general(given, scope), *appliances, *large, *scope.of("dryer", "motor", "ev supply equipment")]
    comfort = max(heat, cool, key=lambda value: value.number)
    return sum_row(f"loads on {leg} alone", [_sum(given, others, leg, f"loads on {leg}"), comfort], f"S_{leg}")


def _sum(given: Given, loads: Sequence[CountedLoad], leg: str, title: str) -> Value:
    return sum_row(title, [load.power_va for load in loads if _leg(given, load) in (leg, EITHER_LEG)], "S")
