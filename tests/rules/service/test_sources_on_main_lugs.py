"""A service panel with main lugs alone: sources land ahead of the service disconnects, on a busbar that only their devices limit.

705.12(A) of 2017, 705.11 of 2020 and 2023; that a device of 125 A does not protect a busbar of 100 A is 110.3(B).
"""

from pathlib import Path

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project

HOUSE = Path(__file__).resolve().parents[2] / "topologies" / "b01_pv_load_side.yaml"


def judged(folder, edition, busbar, device):
    data = yaml.load(HOUSE.read_text("utf-8"), yaml.CBaseLoader)
    data["equipment"]["MSP"] |= {"main": "none", "busbar": busbar}
    data["circuits"]["C3"]["overcurrent"] = {"to_end": {"rating": device, "poles": "2", "interrupting_rating": "22 kA"}}
    file = folder / "project.yaml"
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    system = load_project(file, edition=edition).system
    found = evaluate(system, CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code), with_suggestions=False)
    return found.by_id["supply-side-sources:UTIL"].judgement


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
@pytest.mark.parametrize(("busbar", "is_met"), [("100 A", False), ("124 A", False), ("125 A", True), ("200 A", True)])
def test_devices_of_sources_are_within_the_busbar(edition, busbar, is_met, tmp_path):
    (part,) = (part for part in judged(tmp_path, edition, busbar, "125 A").parts if part.message.startswith("MSP: "))
    assert (str(part.verdict), part.computed.number, part.limit.number) == (
        "passes" if is_met else "violated",
        125,
        float(busbar.split()[0]),
    )


def test_a_service_whose_disconnects_nobody_tells_has_no_rating_to_compare_with(tmp_path):
    """It was taken as 0 A, and every source violated it."""
    found = judged(tmp_path, "2017", "200 A", "40 A")
    assert str(found.verdict) == "not judged"
    assert any("service disconnects behind UTIL" in missing for missing in found.missing)
