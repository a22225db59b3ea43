"""What 690.31 asks on and in buildings it does not ask of an array in a field: the marking of raceways and boxes, metal inside.

690.31(G)(3), (4) of 2017, from 2020 (D)(2), stand under the heading of circuits on or in a building; 690.31(A) lets conductors within
reach be guarded, in every edition.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.label_facts.facts import where_it_holds
from permitgen.project.load import load_project

TEXT = (Path(__file__).parent / "b24_ground_mount.yaml").read_text("utf-8")
R3 = next(line for line in TEXT.splitlines() if line.startswith("  R3: ")).partition("   #")[0]
CONDUIT = "  R3: {kind: EMT, trade_size: 1 in, length: 24 ft, location: frame of the array, place: outdoors, ambient: 36 °C}"
FIELD = "exposed_pv_dc_wiring_on_or_in_building"


def evaluated(tmp_path, run, edition="2023"):
    assert R3 in TEXT
    (tmp_path / "project.yaml").write_text(TEXT.replace(R3, run), encoding="utf-8")
    return evaluate(load_project(tmp_path / "project.yaml", edition=edition).system, CodeBook(edition), with_suggestions=False)


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_conduit_in_a_field_is_not_marked_and_may_be_plastic(tmp_path, edition):
    for kind in ("EMT", "PVC-80"):
        evaluation = evaluated(tmp_path, CONDUIT.replace("EMT", kind), edition)
        assert where_it_holds(evaluation, FIELD) == ()
        assert str(evaluation.by_id["pv-wiring-in-building:D1"].judgement.verdict) == "does not apply"
        assert str(evaluation.by_id["pv-wiring-accessible:D1"].judgement.verdict) == "passes"


def test_conduit_of_the_same_array_on_the_house_is_marked(tmp_path):
    """24 ft: one marking in every ten."""
    found = where_it_holds(evaluated(tmp_path, CONDUIT.replace("ambient", "building: house, ambient")), FIELD)
    assert [(subject.tag, subject.quantity) for subject in found] == [("R3", 3)]


def test_conduit_in_the_earth_is_not_exposed(tmp_path):
    buried = CONDUIT.replace("place: outdoors", "place: underground, cover: 24 in, surface: open ground, building: house")
    assert where_it_holds(evaluated(tmp_path, buried), FIELD) == ()


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_leads_behind_a_fence_are_guarded_though_within_reach(tmp_path, edition):
    for guarded, wanted in (("yes", "passes"), ("no", "violated")):
        run = R3.replace("guarded: yes, readily_accessible: no", f"guarded: {guarded}, readily_accessible: yes")
        found = evaluated(tmp_path, run, edition).by_id["pv-wiring-accessible:D1"]
        assert str(found.judgement.verdict) == wanted
