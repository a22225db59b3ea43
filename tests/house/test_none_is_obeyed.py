"""Wherever a key names a physical thing, a person may write that there is none, or that nobody knows; neither is refused.

Which keys name a thing is settled here by reading their meanings. A key that is not on a list yet fails until somebody has settled it.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from typing import get_args

import pytest
from pydantic import ValidationError

from permitgen.project import sections
from permitgen.project.fields import Section, words_for_nothing

# Answers to whether a thing is there: a switch, an electrode, sprinklers.
_THERE = """
    arc_fault_protection auxiliary_electrode barrier charge_control dc_disconnect disconnect electrode_at_structure
    emergency_shutdown escape_openings_above_roofs expansion_fitting feed_through_lugs gas_piping_bonded ground_fault_protection
    interlocked_disconnect internal_clamps metallic_paths_between_buildings outside_stop second_rod splices sprinklers
    thermal_insulation water_piping_bonded
"""
THERE = frozenset(_THERE.split())
# Answers to how a thing is or what it does: "readily accessible: none" says nothing, and is refused.
_HOW = """
    bifacial blank bond_changed charges_from_generator conductor_ends_in_enclosure conductors_turn current_limiting current_limiting_inside
    embedded_in_roofing export_listed exposed_to_damage handle_tied interlock_listed_for_panel life_safety listed_for_backfeed
    listed_for_burial listed_for_pv setting_restricted socket_listed spare utility_owned
    ac_module address_public adjustable all_breakers_in_file automatic bipolar bonded_by_listed_parts buried charges_from_utility
    compact contactor_switches_neutral continuous crystalline_silicon dc_rated disconnect_inside_housing disconnect_lockable
    dwelling equipment_ground_bare equipment_ground_by_raceway existing existing_dwelling existing_enclosure exports exposed
    factory_bonding_jumper fails_to_shutdown fastened fine_stranded forms_neutral generator_in_parallel_listed
    ground_fault_equipment_sees_sources guarded hazard_control_listed identified_for_dwelling in_parallel_listed in_raceway in_sun
    inside_building interactive_listed interlocked labeled lay_in listed listed_assembly listed_for_100_percent listed_for_grounding
    listed_for_wet listed_system live_parts_accessible load_break lockable main_lugs_only male_contacts marked_for_conductors
    marked_line_and_load moved neutral_senses_voltage_only new new_outlets no_exposed_parts nonferrous nonstandard opens
    opens_together_with_sources outdoors overcurrent_adjacent overload_protected portable power_control_monitored separate_compartments
    pv_equipment_building qualified_persons_only rapid_shutdown_listed readily_accessible receptacles_protected reclassified
    remote_operated restricted_access seasonal_loads_included sets_alike shows_off_and_on simultaneous single_phase_sources_accepted
    sources_connected spaced stop_needs_reset sunlight_resistant switches_neutral system_bonding_jumper_supplied to_be_removed
    under_stairs unenclosed_structure wet whole_sets within_array without_equipment_ground
"""
HOW = frozenset(_HOW.split())
# Words chosen from a few, where the thing itself may be missing.
CHOSEN = {"water_piping", "gas_piping", "opposite", "vehicle_protection", "fire_detection", "ventilation", "surge_protection", "roof_below"}
# Figures that count or measure a thing that may be missing.
COUNTED = {"intersystem_terminals", "laundry_circuits", "small_appliance_circuits", "poles_in_use", "spaces_used", "other_current_carrying"}


def models() -> list[type[Section]]:
    for module in pkgutil.iter_modules(sections.__path__):
        importlib.import_module(f"{sections.__name__}.{module.name}")
    found, waiting = [], [Section]
    while waiting:
        below = waiting.pop().__subclasses__()
        found += below
        waiting += below
    return list(dict.fromkeys(found))


def keys() -> Iterator[tuple[type[Section], str, bool]]:
    """Yield each model, key, and whether it is answered by yes or no."""
    for model in models():
        for name, field in model.model_fields.items():
            yield model, field.alias or name, bool in {field.annotation, *get_args(field.annotation)}


def refused(model: type[Section], key: str, word: str) -> list[str]:
    """Return what the model says against a word at the key; other keys may be missing."""
    try:
        model.model_validate({key: word})
    except ValidationError as error:
        return [each["msg"] for each in error.errors() if each["loc"][:1] == (key,)]
    return []


def test_every_key_answered_by_yes_or_no_is_settled():
    answered = {key for _, key, yes_no in keys() if yes_no}
    assert answered == THERE | HOW
    assert not THERE & HOW


@pytest.mark.parametrize("word", ["none", "unknown"])
def test_no_thing_is_refused_to_be_missing_or_unknown(word):
    things = THERE | CHOSEN | COUNTED
    # What the house, its panels and its electrodes have is found; of one equipment unknown may be no word (a choice of its own).
    told = [f"{model.__name__}.{key}: {said}" for model, key, _ in keys() if key in things for said in refused(model, key, word)]
    assert not told, "\n".join(told)


def test_things_sizes_and_texts_that_may_be_left_out_may_be_none():
    """The reader itself takes the word for them, so that a new section or size needs no care."""
    told = []
    for model, key, _ in keys():
        if "none" in words_for_nothing(model).get(key, ()):
            told += [f"{model.__name__}.{key}: {said}" for said in refused(model, key, "none")]
    assert not told, "\n".join(told)


def test_what_a_circuit_cannot_be_without_is_refused_to_be_none():
    """Read as left out, *none* would be sized; whatever the program sizes either takes the word as a fact or refuses it."""
    by_name = {model.__name__: model for model in models()}
    assert refused(by_name["ConductorsModel"], "size", "none")
    assert refused(by_name["ControlModel"], "size", "none")
    assert refused(by_name["RacewayModel"], "trade_size", "none")
    assert by_name["ConductorsModel"].model_validate({"equipment_ground": "none"}).without_equipment_ground
    assert by_name["ConductorsModel"].model_validate({"neutral": "none"}).neutral == "no"
    assert by_name["GroundingElectrodeSystemModel"].model_validate({"kind": "grounding_electrode_system", "conductor": "none"}).absent


def test_no_piping_is_told_by_either_key():
    """What is not there is not bonded, and is no piping left unbonded."""
    model = next(each for each in models() if each.__name__ == "GroundingElectrodeSystemModel")
    for piping in ("water", "gas"):
        assert (
            getattr(model.model_validate({"kind": "grounding_electrode_system", f"{piping}_piping_bonded": "none"}), f"{piping}_piping")
            == "none"
        )
