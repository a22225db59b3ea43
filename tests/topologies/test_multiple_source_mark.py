"""Which enclosures show that several sources feed them: both sides of each limit.

705.12(B)(3) (2017), 705.12(C) (2020): equipment with overcurrent devices in circuits that supply power to a busbar or conductor supplied
from multiple sources, at connections on the load side of the service disconnect. 705.30(C) (2023): the same without that limit.
Houses and marks are reasoned by hand from these words; nothing was taken from a run.
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from permitgen.evaluation.label_facts.facts import where_it_holds
from tests.topologies.test_two_buildings import evaluated, read

HERE = Path(__file__).parent
BASES = HERE.parent / "rules" / "bases"
EDITIONS = (2017, 2020, 2023)
SWITCH_OF_PV = "PVD"


def marked(data: dict[str, Any], edition: int) -> set[str]:
    found = where_it_holds(evaluated(data, edition), "overcurrent_devices_supplied_from_multiple_sources")
    assert found is not None
    return {subject.tag for subject in found}


def supply_side() -> dict[str, Any]:
    """PV ahead of the service disconnect, behind a fused switch at a tap box."""
    return read(HERE / "b02_pv_supply_side.yaml")


def load_side() -> dict[str, Any]:
    """Two service panels, PV behind an unfused switch on a breaker of the first."""
    return read(HERE / "b21_two_service_panels.yaml")


def transfer_switch() -> dict[str, Any]:
    """A generator on a transfer switch with a panel of lugs behind it; PV on the service panel."""
    return read(BASES / "generator_transfer_switch.yaml")


@pytest.mark.parametrize(("edition", "on"), [(2017, set()), (2020, set()), (2023, {"MSP", "PVD"})])
def test_a_source_ahead_of_the_service_disconnect_counts_from_2023_on(edition: int, on: set[str]) -> None:
    """Utility and PV meet in the tap box, which holds no device; the meter ahead of it neither."""
    assert marked(supply_side(), edition) == on


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_second_source_on_the_load_side_is_marked_in_every_edition(edition: int) -> None:
    """It feeds through the main to the tap, on whose conductors the fuses stand."""
    data = supply_side()
    data["equipment"]["INV2"] = copy.deepcopy(data["equipment"]["INV1"])
    device = {"rating": "40 A", "poles": "2", "interrupting_rating": "22 kA", "marked_line_and_load": "no", "voltage": "120/240 V"}
    data["circuits"]["C2"] = copy.deepcopy(data["circuits"]["C1"]) | {"from": "INV2.ac", "to": "MSP.4", "overcurrent": {"to_end": device}}
    assert marked(data, edition) == {"MSP", "PVD"}


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_switch_without_fuses_is_not_marked_and_one_with_fuses_is(edition: int) -> None:
    data = load_side()
    assert marked(data, edition) == {"MSP1", "MSP2"}
    fuses = {"rating": "60 A", "poles": "2", "kind": "fuse", "interrupting_rating": "100 kA", "voltage": "240 V"}
    data["equipment"][SWITCH_OF_PV]["device"] = fuses
    assert marked(data, edition) == {"MSP1", "MSP2", SWITCH_OF_PV}


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_generator_that_never_runs_in_parallel_is_no_second_source(edition: int) -> None:
    """PV reaches the standby panel through the normal position only: its breakers have utility and PV, those of the machine one."""
    data = transfer_switch()
    data["equipment"]["GEN"]["breaker"] = {"rating": "60 A", "poles": "2"}
    assert marked(data, edition) == {"MSP", "SUB"}
    del data["equipment"]["INV1"], data["circuits"]["P1"]
    assert marked(data, edition) == set()


@pytest.mark.parametrize("edition", EDITIONS)
def test_pv_on_the_standby_panel_that_stays_on_it_meets_the_generator(edition: int) -> None:
    """With the switch on the generator both supply the panel: the machine does run in parallel, by right or not."""
    data = transfer_switch()
    data["equipment"]["GEN"]["breaker"] = {"rating": "60 A", "poles": "2"}
    data["circuits"]["P1"]["to"] = "SUB.4"
    assert marked(data, edition) >= {"MSP", "SUB", "GEN"}


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_house_on_the_utility_alone_has_no_mark(edition: int) -> None:
    data = load_side()
    for tag in ("INV1", "PVD", "PV1"):
        del data["equipment"][tag]
    for tag in ("C1", "C2", "D1", "D2", "D3"):
        del data["circuits"][tag]
    assert marked(data, edition) == set()
