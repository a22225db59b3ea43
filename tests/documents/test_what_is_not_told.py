"""Paper says of what nobody told that it is not told: places off the map, bonds not stated, arrays not drawn (common practice)."""

from permitgen.documents.canvas.bounds import placed_boxes
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.site_map import map_shapes
from permitgen.views.label import PLAIN_HOUSE
from permitgen.views.label_diagram import roof_diagram_of
from permitgen.views.one_line_notes import notes_of
from permitgen.views.placard import placards_of
from tests.topologies.test_placard_reachability import evaluated

SOMEWHERE = {"description": "basement, back wall", "space": "basement", "outdoors": "no"}


def words_on_map(placard):
    drawn = placed_boxes((map_shapes(placard.map, 92.0, 105.0, heading_up_deg=placard.heading_up_deg),))
    return " ".join(shape.text for shape, _ in drawn if isinstance(shape, Text))


def test_a_switch_and_a_placard_that_nobody_placed_are_said_to_be_off_the_map():
    told = placards_of(evaluated("b01_pv_load_side"))[0]
    assert "YOU ARE HERE" in words_on_map(told)
    assert "NOT ON THIS MAP" not in words_on_map(told)
    (placard,) = placards_of(evaluated("b01_pv_load_side", changed={"equipment.MSP.place": SOMEWHERE}))
    assert placard.map.meter is not None, "there is a meter on the wall, and nobody stands there"
    assert "YOU ARE HERE" not in words_on_map(placard)
    assert "NOT ON THIS MAP: SWITCH 1, THIS PLACARD" in words_on_map(placard)


def test_a_roof_without_a_drawn_array_is_no_picture_of_this_house():
    evaluation = evaluated("b01_pv_load_side")
    assert roof_diagram_of(evaluation.system) != PLAIN_HOUSE
    planes = evaluation.system.site.plan.roof_planes
    assert any(plane.arrays for plane in planes)
    bare = evaluated("b01_pv_load_side", without=tuple(f"site.plan.roof_planes.{plane.name}.arrays" for plane in planes if plane.arrays))
    assert roof_diagram_of(bare.system) == PLAIN_HOUSE


def test_bonds_that_nobody_states_are_not_said_to_be_absent():
    told = " ".join(notes_of(evaluated("b02_pv_supply_side")))
    assert "and nowhere else shown" in told
    bonds = ("equipment.PVD.neutral_bond",)
    untold = " ".join(notes_of(evaluated("b02_pv_supply_side", without=bonds)))
    assert "nowhere else shown" not in untold
    assert "whether they are elsewhere is not checked" in untold


def test_a_generator_that_never_runs_beside_the_utility_has_the_sign_of_standby_sources():
    """NEC 702.7(A); 705.10 is of sources in parallel with the utility."""
    assert placards_of(evaluated("b01_pv_load_side"))[0].section == "NEC 2023 705.10"
    assert placards_of(evaluated("b14_generator_inlet"))[0].section == "NEC 2023 702.7(A)"
