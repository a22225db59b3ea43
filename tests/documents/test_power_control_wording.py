"""One setting of a power control system for several sources is printed as it is set, never divided among them.

705.13 of 2020 and 2023: what is set is the sum; 32 A set for an inverter of 32 A and storage of 24 A, on a 200 A busbar.
"""

from pathlib import Path

import pytest

from permitgen.package.label_job import labels_of
from permitgen.package.opened_project import open_project
from permitgen.views.one_line_ratings import control_lines

BASE = Path(__file__).resolve().parents[1] / "rules" / "bases" / "two_sources_one_setting.yaml"


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    file = tmp_path_factory.mktemp("held") / "project.yaml"
    file.write_text(BASE.read_text("utf-8"), "utf-8")
    return open_project(file)


def test_the_label_prints_the_one_setting_and_names_all_that_it_holds(opened):
    labels = [each for each in labels_of(opened).labels if each.id == "pcs-busbar"]
    assert [each.tag for each in labels] == ["MSP"]
    assert "MAX 32 A." in str(labels[0])


@pytest.mark.parametrize("tag", ["INV1", "ESS1", "MSP"])
def test_the_diagram_prints_the_one_setting_at_each_source_and_at_the_busbar(opened, tag):
    system = opened.evaluation.system
    assert control_lines(system.equipment[tag], system) == ("PCS1: 32\N{NO-BREAK SPACE}A, INV1 and ESS1 together",)


def test_nothing_is_printed_where_no_control_holds(opened):
    system = opened.evaluation.system
    assert control_lines(system.equipment["K1"], system) == ()
