"""The voltage limits that tests compare with: the utility's service voltage range, from the nominal voltages of the house."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.field_tests import lower_voltage_v, upper_voltage_v
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.views.checklist.line import Limits, practice

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.values.value import Value


def line_limits(evaluation: Evaluation) -> Limits | None:
    """Return the limits from leg to leg, None where the project states no voltage."""
    return _around(evaluation, [s.line_to_line_v for s in _services(evaluation)])


def leg_limits(evaluation: Evaluation) -> Limits | None:
    """Return the limits from a leg to neutral, None where the project states no voltage."""
    return _around(evaluation, [s.line_to_neutral_v for s in _services(evaluation)])


def _services(evaluation: Evaluation) -> list[UtilityService]:
    return [item for item in evaluation.system.equipment.values() if isinstance(item, UtilityService)]


def _around(evaluation: Evaluation, stated: list[Value | None]) -> Limits | None:
    nominal = next((value for value in stated if value is not None), None)
    if nominal is None:
        return None
    tolerance = practice(evaluation, "service_voltage_range").value("tolerance_percent")
    return Limits(
        least=lower_voltage_v.derive(nominal_v=nominal, tolerance_percent=tolerance),
        most=upper_voltage_v.derive(nominal_v=nominal, tolerance_percent=tolerance),
    )
