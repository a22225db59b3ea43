"""What the tests of documents share: the evaluations and drawings of demo and topologies, made once a worker when first asked for."""

import pytest

from permitgen.documents.sheets.frame import PAPERS, frame_of
from permitgen.documents.sheets.one_line_sheet import one_line_part
from permitgen.documents.sheets.packing import packed
from permitgen.documents.sheets.sheet import room_for_drawing
from permitgen.views.one_line_units import one_line_of
from permitgen.views.plan_sheets import title_block_of
from tests.documents.projects import PROJECTS, Made


@pytest.fixture(scope="session")
def projects(open_once):
    """The demo and every topology, opened, by name."""
    return Made(lambda name: open_once(PROJECTS[name]))


@pytest.fixture(scope="session")
def evaluations(projects):
    """The evaluation of the demo and of every topology, by name."""
    return Made(lambda name: projects[name].evaluation)


@pytest.fixture(scope="session")
def one_lines(evaluations):
    """Room and drawings of the one-line diagram, by name of the project and paper."""

    def draw(asked):
        name, paper = asked
        evaluation = evaluations[name]
        room = room_for_drawing(frame_of(PAPERS[paper]), title_block_of(evaluation))
        return room, packed([one_line_part(one_line_of(evaluation), room)], room)

    return Made(draw)
