"""The map of the placard: the arrow stands where the reader stands, the switches stand on the map. A wrong wall costs minutes.

No published source: what a map with "you are here" means.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from permitgen.documents.canvas.bounds import Box, placed_boxes
from permitgen.documents.canvas.colors import BLACK
from permitgen.documents.canvas.shapes import Path as DrawnPath
from permitgen.documents.canvas.shapes import Shape, Text
from permitgen.documents.site_map import MapStyle, map_shapes
from permitgen.package.documents import DOCUMENTS
from permitgen.package.opened_project import open_project
from permitgen.views.placard import Placard, placards_of

HERE = Path(__file__).resolve().parents[1] / "topologies"
TOPOLOGIES = [HERE.parents[1] / "demo_project" / "project.yaml", *sorted(HERE.glob("b*.yaml"))]
WIDTH, HEIGHT = 92.0, 105.0


@cache
def placards(file: Path, edition: str) -> tuple[Placard, ...]:
    opened = open_project(file, edition=edition)
    return placards_of(opened.evaluation)


# NEC 2017 posts the placard at each source, later editions at the service.
of_every_house = pytest.mark.parametrize(("file", "edition"), [(file, edition) for file in TOPOLOGIES for edition in ("2017", "2023")])


def drawn_on(placard: Placard) -> list[tuple[Shape, Box]]:
    return list(placed_boxes((map_shapes(placard.map, WIDTH, HEIGHT, heading_up_deg=placard.heading_up_deg),)))


def numbers_of(drawn: list[tuple[Shape, Box]]) -> dict[str, Box]:
    return {shape.text: box for shape, box in drawn if isinstance(shape, Text) and shape.text.isdigit()}


def middle(box: Box) -> tuple[float, float]:
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


def tip_of_the_arrow(drawn: list[tuple[Shape, Box]]) -> tuple[float, float]:
    """Return the top of the dark shape that stands right above the words."""
    (words,) = (box for shape, box in drawn if isinstance(shape, Text) and shape.text == "YOU ARE HERE")
    (arrow,) = (
        box
        for shape, box in drawn
        if isinstance(shape, DrawnPath)
        and shape.fill == BLACK
        and abs(middle(box)[0] - middle(words)[0]) < 0.2
        and -0.1 < words.top - box.bottom < 2.0
    )
    return middle(arrow)[0], arrow.top


@pytest.mark.sample(every=5)
@of_every_house
def test_every_switch_is_on_the_map(file: Path, edition: str) -> None:
    for placard in placards(file, edition):
        numbers = numbers_of(drawn_on(placard))
        frame = Box(0, 0, WIDTH, HEIGHT)
        assert set(numbers) == {str(item.number) for item in placard.map.steps}
        assert all(frame.contains(box) for box in numbers.values())


@pytest.mark.sample(every=7)
@of_every_house
def test_the_arrow_is_nearest_to_the_switch_at_which_the_placard_hangs(file: Path, edition: str) -> None:
    for placard in placards(file, edition):
        here = placard.map.you_are_here
        assert here is not None
        drawn = drawn_on(placard)
        tip = tip_of_the_arrow(drawn)
        at_hand = [str(item.number) for item in placard.map.steps if math.dist(item.at, here) < 0.5]
        if at_hand:
            assert min((math.dist(middle(box), tip), number) for number, box in numbers_of(drawn).items())[1] in at_hand


def test_houses_have_placards_away_from_the_service() -> None:
    """The tests above would hold for houses without placards; these have more than one each."""
    counts = [len(placards(file, "2017")) for file in TOPOLOGIES]
    assert min(counts) >= 1
    assert sum(count > 1 for count in counts) >= 3


@pytest.mark.nightly
def test_the_record_tells_nobody_where_he_is() -> None:
    """Its page is opened at the placard, at a desk and on the way there."""
    (record,) = (document for document in DOCUMENTS if document.name == "record")
    files = record.draw(open_project(TOPOLOGIES[0]), {})
    pages = [content.decode() for name, content in files.items() if name.endswith("index.html")]
    assert pages
    assert not [page for page in pages if "YOU ARE HERE" in page or "USTED" in page]


@pytest.mark.parametrize("count", [2, 3, 5])
def test_switches_of_one_enclosure_are_told_apart_on_the_map(demo, count: int) -> None:
    """No number lies under another or under the letter of a battery or of the meter: each circle is whole (8 mm, drawn by ``MapStyle``)."""
    placard = placards_of(demo.evaluation)[0]
    (source, *_), first = placard.map.sources, placard.map.steps[0]
    steps = tuple(replace(first, number=number, at=source.at) for number in range(1, count + 1))
    placed = drawn_on(replace(placard, map=replace(placard.map, steps=steps, you_are_here=None, way=(), not_on_it=())))
    numbers = [middle(box) for box in numbers_of(placed).values()]
    letters = [middle(box) for shape, box in placed if isinstance(shape, Text) and shape.text in ("B", "M", "G")]
    assert len(numbers) == count
    assert letters
    assert min(math.dist(one, other) for one, other in itertools.combinations(numbers, 2)) >= MapStyle().marker_mm
    assert min(math.dist(number, letter) for number in numbers for letter in letters) >= MapStyle().marker_mm / 2 + 1.0
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in numbers)
