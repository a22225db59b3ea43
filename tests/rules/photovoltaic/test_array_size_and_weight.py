"""Size of the system and dead load of an array, each by hand; a fact that is missing leaves out what rests on it, and nothing else."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from permitgen.rules.quantities.array_dead_load import array_dead_load
from permitgen.rules.quantities.system_size import pv_power_w, storage_energy_kwh
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.photovoltaic import Module, PVArray
from permitgen.values.origin import Assumed
from permitgen.values.value import Value


def value(number, unit):
    return None if number is None else Value(number, unit, Assumed("a test"))


def array(tag="PV1", *, racking=200, attachments=48, count=10, each=52, power=425, length=72, width=42, **more):
    module = Module(
        name="module", power_w=value(power, "w"), weight_lb=value(each, "lb"), length_in=value(length, "in"), width_in=value(width, "in")
    )
    stated = {"racking_weight": value(racking, "lb"), "attachments": value(attachments, "count")}
    facts = tuple((name, fact) for name, fact in stated.items() if fact is not None)
    return PVArray(tag=tag, name="array", module=module, module_count=value(count, "count"), facts=facts, **more)


def numbers(load):
    found = (load.count, load.area_ft2, load.weight_lb, load.load_lb_per_ft2, load.per_attachment_lb)
    return [None if value is None else value.number for value in found]


def test_ten_modules_by_hand():
    """10 × 52 + 200 = 720 lb on 10 × 6 ft × 3.5 ft = 210 ft²: 3.4286 lb/ft²; 48 attachments carry 15 lb each."""
    found = array_dead_load(array())
    assert numbers(found) == pytest.approx([10, 210, 720, 720 / 210, 15])
    assert found.missing == ()


@pytest.mark.parametrize(
    ("lacking", "name", "left"),
    [
        ({"count": None}, "count of modules", [None, None, None, None, None]),
        ({"each": None}, "weight of a module", [10, 210, None, None, None]),
        ({"racking": None}, "weight of the racking", [10, 210, None, None, None]),
        ({"length": None}, "length of a module", [10, None, 720, None, 15]),
        ({"width": None}, "width of a module", [10, None, 720, None, 15]),
        ({"attachments": None}, "count of attachments", [10, 210, 720, 720 / 210, None]),
    ],
)
def test_a_missing_fact_is_named_and_leaves_out_what_rests_on_it(lacking, name, left):
    found = array_dead_load(array(**lacking))
    assert found.missing == (f"{name} of PV1",)
    assert numbers(found) == [pytest.approx(number) for number in left]


def test_no_attachment_carries_nothing():
    assert array_dead_load(array(attachments=0)).per_attachment_lb is None


def test_an_array_without_a_module_lacks_all_of_the_module():
    bare = PVArray(tag="PV2", name="array", module_count=value(8, "count"))
    assert numbers(array_dead_load(bare)) == [8, None, None, None, None]
    assert len(array_dead_load(bare).missing) == 5


def test_modules_are_counted_from_the_strings_else_from_the_branches():
    strings = {"A": value(9, "count"), "B": value(11, "count")}
    assert array(count=None, strings=strings).all_modules.number == 20
    assert array(count=None, branches={"A": value(7, "count")}).all_modules.number == 7
    assert array(count=24, strings=strings).all_modules.number == 24
    assert array(count=None).all_modules is None


def system(*items):
    return SimpleNamespace(equipment={item.tag: item for item in items})


def test_power_of_the_arrays():
    """10 × 425 W = 4250 W; with 6 × 425 = 2550 W more, 6800 W."""
    assert pv_power_w(system(array())).number == 4250
    assert pv_power_w(system(array(), array("PV2", count=6))).number == 6800


def test_power_of_the_arrays_is_not_stated_in_part():
    assert pv_power_w(system()) is None
    assert pv_power_w(system(array(), array("PV2", power=None))) is None
    assert pv_power_w(system(array(), array("PV2", count=None))) is None
    assert pv_power_w(system(array(), PVArray(tag="PV2", name="array"))) is None


def battery(tag, kwh, **more):
    return EnergyStorageSystem(tag=tag, name="battery", energy_kwh=value(kwh, "kwh"), **more)


def test_energy_of_the_storage():
    """13.5 + 10 = 23.5 kWh; a unit that states none leaves the sum out."""
    assert storage_energy_kwh(system(battery("ESS1", 13.5), battery("ESS2", 10))).number == pytest.approx(23.5)
    assert storage_energy_kwh(system(battery("ESS1", 13.5), battery("ESS2", None))) is None
    assert storage_energy_kwh(system()) is None
