"""The placard: legal title, steps that make the house dead, every disconnect with its place, codes that scan, nothing overlapping.

Least letter heights by reading distance: ANSI Z535.4 as printed in label_specs (4 ft: 0.19 in); QR: ISO/IEC 18004.
"""

import re
from dataclasses import replace
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image, ImageDraw
from pyzbar import pyzbar

from permitgen.documents.canvas.bounds import outside, placed_boxes, text_overlaps
from permitgen.documents.canvas.colors import WHITE, Color, contrast
from permitgen.documents.canvas.shapes import Group, Text
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.placard import PlacardDoesNotFitError, alike, placard_files, placard_page, placard_plates
from permitgen.documents.placard_layout import BODY, STEP_PLACE
from permitgen.evaluation.label_facts.photovoltaic import is_pv_system_disconnect
from permitgen.package.opened_project import open_project
from permitgen.project import choice_references
from permitgen.system.walks.isolation import load_nodes, possibly_live
from permitgen.views.placard import PLATE_SIZES, placards_of

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def opened(demo):
    return demo


@pytest.fixture(scope="module")
def placard(opened):
    return placards_of(opened.evaluation)[0]


@pytest.fixture(scope="module")
def page(placard):
    return placard_page(placard)


def _texts(shapes):
    for shape in shapes:
        if isinstance(shape, Group):
            yield from _texts(shape.shapes)
        elif isinstance(shape, Text):
            yield shape


def test_title_is_the_one_the_section_fixes(page):
    """NEC 2020 and 2023 705.10: CAUTION: MULTIPLE SOURCES OF POWER."""
    words = " ".join(text.text for text in _texts(page.shapes))
    assert "CAUTION: MULTIPLE SOURCES OF POWER" in words.replace("  ", " ")


def test_the_directory_names_what_bears_the_words_of_the_pv_system_disconnect(opened, placard):
    """NEC 690.13(B) marks it, 705.10 tells where it is: one device for the whole array, and not the breaker of each branch ahead of it."""
    assert [subject.tag for subject in is_pv_system_disconnect(opened.evaluation)] == ["MID.PV"]
    (entry,) = [entry for entry in placard.directory if entry.source == "South roof array"]
    assert 'breaker "SOLAR" in Microgrid interconnect device' in entry.disconnects
    assert "combiner" not in entry.disconnects


def test_the_directory_names_every_breaker_where_no_one_device_parts_a_source(open_once):
    """Each branch ends on a breaker of its own in the panel of the workshop: the array is disconnected by both, not by the first."""
    (placard, *_) = placards_of(open_once(ROOT / "tests" / "topologies" / "b11_detached_building.yaml").evaluation)
    (entry,) = [entry for entry in placard.directory if entry.source == "Workshop array"]
    assert "2 breakers in Workshop panel" in entry.disconnects


def _rgb(text):
    return (text.style.color.red, text.style.color.green, text.style.color.blue)


def test_letters_stand_out(page):
    """WCAG 2.2: 7 to 1 against the most common color around each line; ANSI Z535.1 (from memory) fixes white on safety red, 5.9."""
    image = page_image(page, 150)
    for text, box in ((shape, box) for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)):
        pixels = tuple(round(value / 25.4 * 150) for value in (box.left - 0.5, box.top - 1.0, box.right + 0.5, box.bottom + 1.0))
        around = image.crop(pixels).convert("RGB").getcolors(1 << 20)
        _count, ground = max(
            (count, color) for count, color in around if sum(abs(a - b) for a, b in zip(color, _rgb(text), strict=True)) > 60
        )
        ratio = contrast(text.style.color, Color("ground", *ground, (0, 0, 0, 0)))
        is_on_red = text.style.color == WHITE and ground[0] > 150 and ground[1] < 60
        assert ratio >= (5.85 if is_on_red else 7.0), f"{text.text}: {ratio:.1f}"


def test_list_text_is_readable_at_four_feet():
    """0.19 in for text read at 4 ft (ANSI Z535.4, from memory)."""
    assert BODY.cap_height_mm >= 0.185 * 25.4
    assert STEP_PLACE.cap_height_mm >= 0.19 * 25.4


def test_steps_make_every_load_conductor_dead(opened, placard):
    system = opened.evaluation.system
    live = possibly_live(system, [step.handle for step in placard.text.steps])
    assert not [node for node in load_nodes(system) if node in live]


def test_service_disconnect_alone_is_not_the_last_word(opened, placard):
    """With the service disconnect alone the island stays alive: the graph says so and the placard prints it."""
    system = opened.evaluation.system
    live = possibly_live(system, ["MID.main"])
    assert [node for node in load_nodes(system) if node in live]
    assert "NOT enough" in placard.text.warning


def test_every_source_has_a_disconnect_with_a_place(opened, placard):
    names = {opened.evaluation.system.equipment[s.tag].name for s in opened.evaluation.system.sources.values()}
    assert {row.source for row in placard.rows} == names
    assert all(row.place and row.place != "place not stated" for row in placard.rows)


def test_up_on_the_map_is_what_the_reader_faces(placard):
    """The placard hangs on an east wall: its reader faces west."""
    assert placard.heading_up_deg == 270.0


def test_nothing_overlaps_and_nothing_leaves_the_plate(page):
    assert text_overlaps(page.shapes) == ()
    assert outside(page) == ()


def test_page_is_a_standard_plate_true_to_size(page):
    assert (page.width_mm, page.height_mm) == (pytest.approx(11 * 25.4, rel=0.002), pytest.approx(14 * 25.4, rel=0.002))


def _codes(image):
    return sorted(result.text for result in zxingcpp.read_barcodes(image))


def test_both_codes_decode_at_150_dpi(page, placard):
    found = _codes(page_image(page, 150))
    assert found == sorted([placard.address, alike([placard])[0].offline])


@pytest.mark.parametrize("index", [0, 1], ids=["first code", "second code"])
def test_codes_decode_with_a_tenth_covered(page, index):
    """One compact patch of 10 percent of the symbol, away from the finder patterns."""
    image = page_image(page, 150).convert("RGB")
    result = sorted(zxingcpp.read_barcodes(image), key=lambda r: r.text)[index]
    corners = [result.position.top_left, result.position.bottom_right]
    left, top, right, bottom = corners[0].x, corners[0].y, corners[1].x, corners[1].y
    side = (0.10 * (right - left) * (bottom - top)) ** 0.5
    x, y = left + (right - left) * 0.62 - side / 2, top + (bottom - top) * 0.62 - side / 2
    covered = image.copy()
    ImageDraw.Draw(covered).rectangle((x, y, x + side, y + side), fill="white")
    assert result.text in _codes(covered)


def test_the_address_stands_in_print_beside_its_code(page, placard):
    assert placard.address in "".join(text.text for text in _texts(page.shapes))


def test_offline_code_holds_every_step_whole(placard):
    for step in placard.text.steps:
        assert step.action.upper() in placard.offline


def test_a_house_that_stays_live_gets_no_placard(opened):
    """A placard whose last step leaves a load conductor possibly live is refused: the page says so and shows no steps."""
    placard = placards_of(opened.evaluation)[0]
    page = placard_page(replace(placard, refusal="HP may stay live."))
    words = " ".join(text.text for text in _texts(page.shapes))
    assert "NO PLACARD" in words
    assert "TURN OFF" not in words


def test_same_input_same_bytes(opened):
    first = placard_files(placards_of(opened.evaluation))
    second = placard_files(placards_of(opened.evaluation))
    assert first == second


def test_engraving_has_outlines_only(placard):
    svg = placard_files([placard])["placard.svg"].decode()
    assert "<text" not in svg
    assert svg.startswith("<?xml") or svg.startswith("<svg")
    names = re.findall(r' id="([^"]+)"', svg)
    assert len(names) == len(set(names))
    assert set(re.findall(r'href="#([^"]+)"', svg)) <= set(names)
    assert len(svg) < 150_000


def test_small_image_survives_one_color(page):
    """A thermal print has one color: everything must still be there in black and white."""
    gray = page_image(page, 150).convert("L").point(lambda level: 255 if level > 140 else 0)
    assert isinstance(gray, Image.Image)
    assert len(_codes(gray.convert("RGB"))) == 2


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("size", PLATE_SIZES)
def test_every_plate_size_holds_it_and_scans(placard, size):
    """5 x 7 in is read at two feet: capitals of 0.08 in and more (ANSI Z535.2: distance / 300)."""
    page = placard_page(replace(placard, size=size))
    width, height = (float(part) for part in size.removesuffix(" in").split(" x "))
    assert (page.width_mm / 25.4, page.height_mm / 25.4) == (pytest.approx(width, rel=0.002), pytest.approx(height, rel=0.002))
    assert text_overlaps(page.shapes) == ()
    assert outside(page) == ()
    assert BODY.cap_height_mm * page.width_mm / 279.4 >= 0.08 * 25.4
    assert len(_codes(page_image(page, 300))) == 2


def test_the_project_file_knows_the_same_sizes():
    assert choice_references._PLATES == PLATE_SIZES


@pytest.mark.sample(every=40)
@pytest.mark.parametrize("size", PLATE_SIZES)
@pytest.mark.parametrize("name", ["b06a_generator_on_mid", "b07_pv_on_both_sides", "b11_detached_building", "b12_bidirectional_ev"])
def test_variants_of_other_houses_hold_and_scan(name, size):
    """The 2017 edition posts a placard at each source disconnect, too: its variants agree but for number, place and map."""
    opened = open_project(ROOT / "tests" / "topologies" / f"{name}.yaml", edition="2017")
    variants = placards_of(opened.evaluation)
    assert len(variants) >= 2
    assert all(
        (v.text, v.rows, v.offline, v.revision) == (variants[0].text, variants[0].rows, variants[0].offline, variants[0].revision)
        for v in variants
    )
    for plate in placard_plates([replace(variant, size=size) for variant in variants]):
        placard, page = plate.placard, plate.page
        assert sorted(re.findall(r"Placard (\d)", " ".join(placard.see_also))) == [
            str(v.number) for v in variants if v.number != placard.number
        ]
        assert text_overlaps(page.shapes) == ()
        assert outside(page) == ()
        image = page_image(page, 150)
        said = _codes(image)
        assert said == [text for text in (placard.offline,) if text]
        if placard.part == "directory":
            continue
        actions = (step.action.upper().replace("THE ", "") for step in placard.text.steps)
        assert all(action in said[0].replace("THE ", "") for action in actions)
        assert [result.data.decode() for result in pyzbar.decode(image)] == said


def test_a_house_with_little_to_say_fills_its_plate():
    """Between the directory and the foot of a plate at most a fifth stays empty: the map grows and steps stand farther apart."""
    opened = open_project(ROOT / "tests" / "topologies" / "b03_whole_home.yaml")
    page = placard_page(placards_of(opened.evaluation)[0])
    boxes = [box for shape, box in placed_boxes(page.shapes) if isinstance(shape, Text)]
    edges = sorted((box.top, box.bottom) for box in boxes)
    lowest, widest = 0.0, 0.0
    for top, bottom in edges:
        widest, lowest = max(widest, top - lowest), max(lowest, bottom)
    assert widest < page.height_mm / 5


def _busy(placard, count, place, stops="stops solar panels"):
    """A placard with ``count`` steps at places told at length."""
    first = placard.text.steps[0]
    steps = tuple(
        replace(first, number=n, object=f'Disconnect switch "DISCONNECT OF SOURCE {n}"', place=place.format(n=(n + 1) // 2), stops=stops)
        for n in range(1, count + 1)
    )
    entry = placard.directory[0]
    directory = tuple(
        replace(entry, source=f"Source {n}", disconnects=f"switch {n}; its breaker ({place.format(n=n)})", short=f"switch {n}")
        for n in range(1, count + 1)
    )
    return replace(placard, text=replace(placard.text, steps=steps), directory=directory)


LONG = "detached workshop behind the pool, north wall, third enclosure from the back corner, on frame {n}"


@pytest.mark.sample(every=3)
@pytest.mark.parametrize(
    ("count", "place", "plates"), [(3, LONG, 1), (4, LONG, 2), (5, LONG, 2), (6, "garage, east wall, right of meter {n}", 2)]
)
def test_it_always_fits_and_never_leaves_out_what_matters(placard, count, place, plates):
    """Shortened by rule, then on two plates: STAYS LIVE, the wait, NOT ENOUGH and each handle stand there whatever else goes."""
    drawn = placard_plates([_busy(placard, count, place)])
    assert len(drawn) <= plates
    for plate in drawn:
        assert text_overlaps(plate.page.shapes) == ()
        assert outside(plate.page) == ()
    first = " ".join(" ".join(text.text for text in _texts(drawn[0].page.shapes)).split())
    assert "STILL LIVE AFTER THE LAST STEP" in first
    assert all(line in first for line in placard.text.stays_live)
    assert "NOT enough" in first
    assert "wait 30 seconds" in first
    assert all(f'"DISCONNECT OF SOURCE {n}"' in first for n in range(1, count + 1))
    every = " ".join(" ".join(text.text for text in _texts(plate.page.shapes)) for plate in drawn)
    assert all(f"Source {n}:" in every for n in range(1, count + 1)), "the directory is on one of them"


def test_what_two_plates_do_not_hold_is_refused_with_what_to_do(placard):
    with pytest.raises(PlacardDoesNotFitError, match=r"two plates .* choose a larger plate"):
        placard_plates([replace(_busy(placard, 9, LONG * 4), size="5 x 7 in")])


def test_one_switch_is_not_said_to_be_several(open_once):
    """b01: the main breaker alone."""
    page = placard_page(placards_of(open_once(ROOT / "tests/topologies/b01_pv_load_side.yaml").evaluation)[0])
    assert "More than one switch" not in " ".join(text.text for text in _texts(page.shapes))
