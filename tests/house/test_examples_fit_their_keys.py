"""Each key is explained by an example that a person could have measured there: no working space is 35 ft deep.

Whether the example of its unit fits a key is settled here by reading the two together (common practice, no published source). A key
that is not on the list and has no example of its own fails until somebody has settled it.
"""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from permitgen.project.examples import EXAMPLES, example_of
from permitgen.project.fields import Section
from permitgen.project.key_forms import form_of
from permitgen.project.schema import meanings_of, sections

# Setbacks and distances between buildings of 35 ft, breakers of 60 A, 240 V, 1850 ft²: what stands on any site.
_FITS = """
    ac_voltage address available_fault_current back bends breaker contactor_short_circuit_rating dc_backfeed detached device energy
    floor_area from_end front front_faces island_frequency_high interrupting_rating largest left length load_management_setting
    over peak_time pitch power power_factor pv_per_storage record_low right series_rating short_circuit_rating size splices_area
    surge_discharge surge_short_circuit_rating to_end torque trade_size transformer voc_coefficient volume voltage when wire withstand
    average EVSupplyEquipmentModel.current EVSupplyEquipmentModel.output
"""
FITS = frozenset(_FITS.split())


def _keys() -> list[tuple[type[Section], str, str]]:
    return [(model, key, form_of(model, key).example) for model in sections() for key in meanings_of(model)]


def test_each_example_reads_as_its_key() -> None:
    wrong = {}
    for model, key, example in _keys():
        if example:
            try:
                model.model_validate({key: example})
            except ValidationError as error:
                wrong |= {f"{model.__name__}.{key}": each["msg"] for each in error.errors() if each["loc"][:1] == (key,)}
    assert wrong == {}


def test_each_key_has_an_example_of_its_own_or_one_that_fits() -> None:
    unsettled = []
    for model, key, example in _keys():
        names = [section.__name__ for section in model.__mro__]
        if example and not example_of(names, key) and not FITS & {key, *(f"{name}.{key}" for name in names)}:
            unsettled.append(f"{model.__name__}.{key}: {example}")
    assert unsettled == []


def test_no_example_is_of_a_key_that_there_is_not() -> None:
    names = {key for _, key, _ in _keys()} | {f"{section.__name__}.{key}" for model, key, _ in _keys() for section in model.__mro__}
    assert EXAMPLES.keys() <= names


@pytest.mark.parametrize(("key", "longest_ft"), [("clear_depth", 10), ("clear_height", 12), ("clear_width", 10)])
def test_a_working_space_is_of_the_size_of_a_person(key: str, longest_ft: float) -> None:
    """110.26(A): 3 ft deep, 30 in wide, 6 1/2 ft high at least; an example of ten times that teaches nothing."""
    figure, unit = example_of(("PlaceModel",), key).split()
    assert float(figure) / (12 if unit == "in" else 1) <= longest_ft
