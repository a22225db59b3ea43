"""Where labels go: the phone page shows the walls with the numbers of the label schedule, and a line to tick for each label.

Old labels that are false by now are taken off: which ones, ``tests/topologies/expected`` reasons; how they are shown, this file tests.
"""

import re
from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import text_overlaps
from permitgen.documents.canvas.page import Page
from permitgen.documents.canvas.shapes import Text
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.label_walls import label_wall_shapes
from permitgen.package.field_and_record import labels_to_place
from permitgen.package.label_job import label_list, labels_of, letter_heights_of
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.reading.problems import ProblemsError
from permitgen.views.label_places import label_numbers, label_walls
from permitgen.views.label_schedule import label_schedule
from permitgen.views.plans.elevations import elevations_of
from tests.documents.conftest import PROJECTS
from tests.documents.drawn import files_of
from tests.reading_paper import put_reading

ROOT = Path(__file__).resolve().parents[2]
TOPOLOGIES = ROOT / "tests" / "topologies"


@pytest.fixture(
    scope="module", params=["demo_project", "tests/topologies/b03_whole_home.yaml", "tests/topologies/b06a_generator_on_mid.yaml"]
)
def opened(request):
    return open_project(ROOT / request.param)


@pytest.fixture(scope="module")
def walls(opened):
    return label_walls(elevations_of(opened.evaluation), label_numbers(labels_of(opened), opened.evaluation.system))


def _page(opened):
    return files_of(opened, "field_checklist")["field_checklist.html"].decode("utf-8")


def test_every_label_of_equipment_on_a_wall_is_shown_there(opened, walls):
    labels, equipment = labels_of(opened).labels, opened.evaluation.system.equipment
    drawn = {item.tag for wall in elevations_of(opened.evaluation).walls for item in wall.items}
    shown = {number for wall in walls for number in wall.shown}
    for number, label in enumerate(labels, start=1):
        tag = label.tag.partition(".")[0]
        places = {equipment[other].place.description for other in drawn if equipment[other].place is not None}
        assert (number in shown) == bool(set(label.places) & places), f"{number} {label.id} {tag}"
    assert shown


def test_numbers_lie_on_or_below_their_own_equipment_and_apart(walls):
    for wall in walls:
        shapes, width, height = label_wall_shapes(wall)
        assert text_overlaps(shapes) == ()
        texts = [shape for shape in shapes if isinstance(shape, Text)]
        assert {text.text for text in texts if text.text.isdigit()} == {str(number) for number in wall.shown}
        for item in wall.elevation.items:
            (tag,) = [text for text in texts if text.text == item.tag]
            for number in wall.numbers.get(item.tag, ()):
                (text,) = [text for text in texts if text.text == str(number)]
                assert abs(text.x - tag.x) <= max(item.width * 12.0 / 2, 3.0) + 0.01, f"{number} stands in the column of {item.tag}"
        assert page_image(Page(width, height, shapes), 100).width > 100
        assert width == pytest.approx(100.0), "numbers of one size on every wall"


@pytest.mark.sample(every=3)
def test_phone_page_shows_walls_and_a_line_to_tick_for_each_number(opened, walls):
    page = _page(opened)
    assert page.count('<figure class="wall">') == page.count("<svg") == len(walls)
    for number, label in enumerate(labels_of(opened).labels, start=1):
        line = re.search(rf'data-line="label:{label.id}(:{re.escape(label.tag)})?"(.*?)</article>', page, re.DOTALL)
        assert line is not None
        assert re.search(rf"Label ([0-9]+, )*{number},", line[2]), f"{number} {label.id}"


def test_numbers_agree_with_the_label_schedule(opened):
    rows = label_schedule(labels_of(opened), letter_heights_of(opened))[0].rows
    numbers = {number: label.name for label in labels_to_place(opened) for number in label.numbers}
    assert {int(row[0]): row[1] for row in rows} == numbers


def test_the_label_schedule_has_letter_heights_and_colors_of_each_label(opened):
    """NEC 2023, from memory: 690.12(D) capitals of at least 3/8 in, white on red (of the switch); 230.85 leaves height to 110.21(B)."""
    rows = label_schedule(labels_of(opened), letter_heights_of(opened))[0].rows
    for label, row in zip(labels_of(opened).labels, rows, strict=True):
        letters = row[5]
        bound = {line.binding_height_in for panel in label.panels for line in panel.lines if line.binding_height_in}
        assert letters.count("≥") == len(bound)
        for printed, least in re.findall(r"([\d.]+)\u00a0in \(≥ ([\d.]+)\)", letters):
            assert float(printed) >= float(least)
        assert " on " in letters
    switches = {row[5] for row in rows if row[2].upper().startswith("RAPID SHUTDOWN SWITCH")}
    assert all("(≥ 0.375)" in each and each.endswith("white on red") for each in switches)
    assert switches or "RAPID" not in str(rows)


def test_labels_of_one_enclosure_follow_each_other(opened):
    tags = [label.tag.partition(".")[0] for label in labels_of(opened).labels]
    assert [tag for index, tag in enumerate(tags) if index == 0 or tags[index - 1] != tag] == list(dict.fromkeys(tags))


# --- old labels that are false now


def test_an_old_label_to_take_off_stands_in_schedule_list_and_checklist():
    """The old main panel of topology b03 was the service disconnect (230.70(B)); the switch outside is it now."""
    opened = open_project(TOPOLOGIES / "b03_whole_home.yaml")
    schedule = label_schedule(labels_of(opened), letter_heights_of(opened))[1]
    assert (
        "Service disconnect",
        "MSP",
        "garage, west wall by the house door",
        "the device is no longer the service disconnect",
    ) in schedule.rows
    assert (
        "remove: Service disconnect, MSP, garage, west wall by the house door (the device is no longer the service disconnect)"
        in label_list(opened)
    )
    page = _page(opened)
    assert 'data-line="label-removed:service-disconnect:MSP"' in page
    assert "Old label “Service disconnect” removed, or not there" in page


def _with(tmp_path, old, new):
    text = (TOPOLOGIES / "b03_whole_home.yaml").read_text("utf-8")
    assert old in text
    file = tmp_path / "project.yaml"
    file.write_text(text.replace(old, new, 1), "utf-8")
    put_reading(file.parent)
    return file


STATED = "existing_labels: [neutral-bond-location, panel-directory]"


def test_an_old_label_whose_truth_no_fact_tells_is_not_judged(tmp_path):
    opened = open_project(_with(tmp_path, STATED, "existing_labels: [grounded-conductor-id]"))
    assert [(note.id, note.tag) for note in labels_of(opened).not_judged] == [("grounded-conductor-id", "MSP")]
    assert "not checked: Identification of grounded and equipment grounding conductors, MSP" in label_list(opened)


def test_a_panel_that_hung_behind_an_existing_switch_was_no_service_disconnect(tmp_path):
    opened = open_project(_with(tmp_path, "name: Service disconnect\n", "name: Service disconnect\n    status: existing\n"), edition="2023")
    assert "service-disconnect" not in {note.id for note in labels_of(opened).remove}


@pytest.mark.parametrize(
    ("new", "message"),
    [
        ("existing_labels: [service-disconect]", 'no label is called "service-disconect"; did you mean "service-disconnect"?'),
        ("existing_labels: 7", ""),
    ],
)
def test_an_unknown_label_is_named_with_its_place(tmp_path, new, message):
    with pytest.raises(ProblemsError) as caught:
        open_project(_with(tmp_path, STATED, new))
    (problem,) = caught.value.problems
    assert problem.where.startswith("equipment.MSP.existing_labels")
    assert message in problem.message


def test_labels_hang_already_only_on_existing_equipment(tmp_path):
    with pytest.raises(ProblemsError, match="MSP is new; labels hang already only on equipment with status: existing"):
        open_project(_with(tmp_path, f"status: existing\n    {STATED}", f"status: new\n    {STATED}"))


def test_an_override_of_an_unknown_label_and_a_bad_specification_are_refused(tmp_path):
    file = _with(tmp_path, "record:\n", "labels: {arc-flsh: print, arc-flash: prnt}\nrecord:\n")
    with pytest.raises(ProblemsError) as caught:
        open_project(file)
    assert [problem.message for problem in caught.value.problems] == [
        'no label is called "arc-flsh"; did you mean "arc-flash"?',
        '"prnt" is not known here; write print or leave out; did you mean "print"?',
    ]
    (tmp_path / "label_specs").mkdir()
    (tmp_path / "label_specs" / "own.yaml").write_text("id: own\n", "utf-8")
    with pytest.raises(ProblemsError, match=r'label_specs/own.yaml:1:1: the key "name" is missing'):
        open_project(file)


@pytest.mark.sample(every=7)
@pytest.mark.parametrize("name", PROJECTS)
def test_each_plate_is_named_once_on_the_walls_where_it_is_posted(projects, name):
    """705.10, 710.10: the directory stands at the service equipment; a plate whose place no wall shows is named on none."""
    plans, system = plan_set_of(projects[name]), projects[name].evaluation.system
    items = [item for wall in plans.plans.elevations.walls for item in wall.items]
    places = {item.tag: system.equipment[item.tag].place for item in items if item.tag in system.equipment}
    for placard in plans.placards:
        named = [item.tag for item in items if any(word.startswith(f"PLACARD {placard.number},") for word in item.words)]
        there = [tag for tag, place in places.items() if place is not None and place.description == placard.place]
        assert len(named) == bool(there)
        assert set(named) <= set(there)
