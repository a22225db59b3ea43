"""Every fact by name. A name without a function here holds only where the project asks for the label by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts import existing, panels, photovoltaic, services, sources, standby
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.label_facts.subject import Fact, Found

FACTS: dict[str, Fact] = {**services.FACTS, **sources.FACTS, **photovoltaic.FACTS, **panels.FACTS, **standby.FACTS, **existing.FACTS}

# Facts that no key of the project file states: a label for one of them is printed only when ``labels:`` asks for it by id.
ON_REQUEST: frozenset[str] = frozenset(
    {
        "amendment_asks_for_premises_sign",
        "conductors_are_reidentified",
        "dc_distribution_is_ungrounded",
        "ems_setting_changed",
        "ess_disconnect_out_of_sight",
        "fire_code_asks_for_ess_sign",
        "fire_code_asks_for_installer_sign",
        "fire_code_asks_for_main_disconnect_mark",
        "generator_bonding_changed",
        "generator_bonding_modified_in_field",
        "has_stationary_battery",
        "interconnection_values_changed",
        "is_feeder_emergency_disconnect",
        "is_stationary_battery_emergency_disconnect",
        "island_supply_is_120_volts_only",
        "neutral_switching_changed",
        "overcurrent_devices_are_series_rated",
        "owner_switches_island_by_hand",
        "premises_have_more_than_one_voltage_system",
        "pv_array_is_solidly_grounded_bipolar",
        "pv_dc_circuits_embedded_in_roofing",
        "pv_dc_values_changed",
        "series_rating_is_tested",
        "utility_asks_for_ac_disconnect",
    }
)


def where_it_holds(evaluation: Evaluation, name: str) -> Found:
    """Return the objects on which the fact ``name`` holds, None where it is not known.

    Raises:
        KeyError: no such fact.
    """
    if name in ON_REQUEST:
        return ()
    try:
        return FACTS[name](evaluation)
    except MissingFactError:
        return None
