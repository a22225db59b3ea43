"""Several service disconnects are each marked with the load they serve (NEC 230.72(A)); occupancies apart name each other (230.2(E))."""

from pathlib import Path

import pytest

from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project

TESTS = Path(__file__).parent.parent
DUPLEX = TESTS / "rules" / "bases" / "duplex.yaml"
EAST = "outdoors: yes, readily_accessible: yes, faces: east, handle_height"


def words(project, label):
    """Return the lines below the title of each label of one kind, by what it stands on."""
    found = [each for each in labels_of(open_project(project)).labels if each.id == label]
    return {each.tag: [line.text for panel in each.panels[1:] for line in panel.lines] for each in found}


@pytest.fixture
def apart(tmp_path):
    """The duplex with the main of unit B on the west wall."""
    before, between, after = DUPLEX.read_text("utf-8").split(EAST)
    file = tmp_path / "project.yaml"
    file.write_text(before + EAST + between + EAST.replace("faces: east", "faces: west") + after, "utf-8")
    return file


def test_grouped_mains_are_numbered_and_say_which_unit_they_serve():
    assert words(DUPLEX, "service-disconnect") == {"PA": ["1 OF 2", "SERVES UNIT A"], "PB": ["2 OF 2", "SERVES UNIT B"]}
    assert words(DUPLEX, "multiple-supplies-directory") == {}


def test_mains_of_units_apart_name_each_other(apart):
    assert words(apart, "service-disconnect") == {"PA": ["SERVES UNIT A"], "PB": ["SERVES UNIT B"]}
    assert words(apart, "multiple-supplies-directory") == {
        "PA": ["PANEL OF UNIT B: EAST WALL, SERVES UNIT B"],
        "PB": ["PANEL OF UNIT A: EAST WALL, SERVES UNIT A"],
    }


def test_mains_of_one_dwelling_say_which_panel_they_serve():
    found = words(TESTS / "topologies" / "b21_two_service_panels.yaml", "service-disconnect")
    assert found == {"MSP1": ["1 OF 2", "SERVES SERVICE PANEL 1"], "MSP2": ["2 OF 2", "SERVES SERVICE PANEL 2"]}


def test_a_main_alone_says_no_more_than_what_it_is():
    assert words(TESTS / "topologies" / "b01_pv_load_side.yaml", "service-disconnect") == {"MSP": []}
