"""Electrodes are judged by what they stand at: the house, another building, or an array, a switch, a machine in the open.

250.24(A), 250.28, 250.94 and 250.104 speak of buildings with a service or a supply; 690.47(B) and 250.54 let an array in the field have
electrodes of its own, with a conductor by 250.66 and a grounding conductor in every circuit, for the earth is never the only way back.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project

GROUND_MOUNT = (Path(__file__).parent / "b24_ground_mount.yaml").read_text("utf-8")
OF_THE_SERVICE = ("grounding-electrode-connection", "grounding-electrode-taps", "main-bonding-jumper")
OF_A_BUILDING = ("intersystem-bonding", "metal-piping-bonding", "water-piping-bonding")
LANDINGS = {
    "switch on a pole": (),
    "switch on the ground": (("space: pole", "space: ground"),),
    "switch on a frame": (("space: pole", "space: frame of the array"),),
    "frame of the array": (("lands_at: ACD", "lands_at: PV1"),),
    "inverter in the field": (("lands_at: ACD", "lands_at: INV1"),),
    "frame and inverter": (("lands_at: ACD", "lands_at: [PV1, INV1]"), ("    conductor: 6 AWG\n    lands_at: [", "    lands_at: [")),
}


def findings(tmp_path, changes, edition="2023"):
    text = GROUND_MOUNT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    system = load_project(tmp_path / "project.yaml", edition=edition).system
    return evaluate(system, CodeBook(edition), with_suggestions=False).by_id


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
@pytest.mark.parametrize("landing", LANDINGS)
def test_the_electrodes_of_an_array_in_the_open_are_not_the_houses(tmp_path, landing, edition):
    found = findings(tmp_path, LANDINGS[landing], edition)
    for rule in (*OF_THE_SERVICE, *OF_A_BUILDING):
        assert str(found[f"{rule}:GES2"].judgement.verdict) == "does not apply", rule
    assert str(found["pv-grounding-electrode:PV1"].judgement.verdict) == "passes"
    assert str(found["grounding-electrodes:GES2"].judgement.verdict) == "passes"
    for rule in ("grounding-electrode-connection", *OF_A_BUILDING[:2]):
        assert str(found[f"{rule}:GES"].judgement.verdict) == "passes", rule


def test_their_conductor_is_by_the_conductors_that_end_there(tmp_path):
    """Table 250.66: 8 AWG copper for up to 1/0 aluminum; 1/0 aluminum lies between house and array."""
    ground = LANDINGS["switch on the ground"]
    size = "    conductor: 6 AWG\n    lands_at: ACD"
    passing = findings(tmp_path, [*ground, (size, size.replace("6 AWG", "8 AWG"))])["grounding-electrode-conductor-size:GES2"]
    failing = findings(tmp_path, [*ground, (size, size.replace("6 AWG", "10 AWG"))])["grounding-electrode-conductor-size:GES2"]
    assert (str(passing.judgement.verdict), str(failing.judgement.verdict)) == ("passes", "violated")
    assert passing.judgement.limit.number == failing.judgement.limit.number == 16510


def test_the_earth_is_not_the_only_way_back(tmp_path):
    """250.54: each circuit of what the electrode is joined to has a grounding conductor."""
    ground = LANDINGS["switch on the ground"]
    assert str(findings(tmp_path, ground)["auxiliary-electrode:ACD"].judgement.verdict) == "passes"
    bare = ("neutral: no, equipment_ground: 1/0 AWG, equipment_ground_material: aluminum", "neutral: no, without_equipment_ground: yes")
    assert str(findings(tmp_path, [*ground, bare])["auxiliary-electrode:ACD"].judgement.verdict) == "violated"


def test_an_electrode_there_need_not_be_said_twice(tmp_path):
    there = [("lands_at: ACD", "lands_at: PV1"), ("    electrode_at_structure: yes\n", "")]
    assert str(findings(tmp_path, there)["pv-grounding-electrode:PV1"].judgement.verdict) == "passes"


def test_where_nobody_draws_it_it_is_asked_for(tmp_path):
    """On the ground, without a position: it may stand at the house."""
    undrawn = [("space: pole", "space: ground"), ("map: [92, 346], ", "")]
    connection = findings(tmp_path, undrawn)["grounding-electrode-connection:GES2"].judgement
    assert str(connection.verdict) == "not judged"
    assert "position of ACD" in connection.missing[0]
