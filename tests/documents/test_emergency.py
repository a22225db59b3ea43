"""The emergency view: steps by walks on the graph, both languages whole, places never half translated."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from string import Formatter

import pytest
import yaml

import permitgen.views
from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.system.project_facts import RecordFacts
from permitgen.views.emergency import emergency_of
from permitgen.views.languages import phrases_in, translated_place
from permitgen.views.record_owner import backed_up_panels, next_date

ROOT = Path(__file__).resolve().parents[2]
PHRASES = Path(permitgen.views.__file__).parent / "phrases"


@pytest.fixture(scope="module")
def demo():
    return evaluate(load_project(ROOT / "demo_project").system, CodeBook(2023), with_suggestions=False)


def test_both_languages_say_the_same_things_with_the_same_values():
    english, spanish = (yaml.load((PHRASES / f"{language}.yaml").read_text("utf-8"), yaml.CSafeLoader) for language in ("en", "es"))
    assert list(english) == list(spanish)
    for key in english:
        names = [{name for _, name, _, _ in Formatter().parse(text[key]) if name} for text in (english, spanish)]
        assert names[0] == names[1], key


def test_steps_of_the_demo_are_those_reasoned_out_by_hand(demo):
    """Field-and-record register, B15: initiator first, generator stop before the service, the service last."""
    steps = emergency_of(demo).english.steps
    assert [(step.tag, step.stop_tags) for step in steps] == [("RSI", ("PV1", "ESS1", "ESS2")), ("GEN", ("GEN",)), ("MID", ("UTIL",))]
    assert emergency_of(demo).makes_dead


def test_opening_the_utility_alone_is_said_to_be_not_enough(demo):
    assert "Turning off utility power is NOT enough" in emergency_of(demo).english.warning


def test_a_house_without_other_sources_is_not_warned(demo):
    """With utility only, opening the service makes the house dead, and saying otherwise would be false."""
    system = demo.system
    kept = {tag: item for tag, item in system.equipment.items() if tag in ("UTIL", "MTR", "MID", "HP", "GES", "EV1", "MON")}
    circuits = {tag: c for tag, c in system.circuits.items() if {c.start.tag, c.finish.tag} <= set(kept)}
    alone = replace(system, equipment=kept, circuits=circuits, controls={})
    emergency = emergency_of(evaluate(alone, CodeBook(2023), with_suggestions=False))
    assert emergency.english.warning == ""
    assert [step.tag for step in emergency.english.steps] == ["MID"]


def test_a_house_that_stays_live_says_so_first(demo):
    """Without the initiator the storage units' own switches must take its place, or the page raises the alarm."""
    system = demo.system
    cut = {tag: item for tag, item in system.equipment.items() if tag != "RSI"}
    cut = {tag: replace(item, has_disconnect=False) if tag.startswith("ESS") else item for tag, item in cut.items()}
    emergency = emergency_of(evaluate(replace(system, equipment=cut, controls={}), CodeBook(2023), with_suggestions=False))
    if not emergency.makes_dead:
        assert "NOT cut off power everywhere" in emergency.english.alarm
        assert "NO cortan la corriente en toda la casa" in emergency.texts["es"].alarm
    else:
        opened = {step.handle for step in emergency.english.steps}
        assert {"MID.BAT1", "MID.BAT2"} <= opened


def test_what_stays_live_is_told_in_words(demo):
    lines = emergency_of(demo).english.stays_live
    assert lines == (
        "Utility wires up to switch 3",
        "Solar panels and roof wiring, whenever there is light",
        "The inside of every battery unit, always",
    )


def test_storage_is_added_up_by_place(demo):
    """Two units of 12.4 kWh at one wall: 24.8 kWh (12.4 + 12.4)."""
    (line,) = emergency_of(demo).english.storage
    assert (line.energy.replace("\u00a0", " "), line.tags, line.chemistry) == ("24.8 kWh", ("ESS1", "ESS2"), "lithium iron phosphate")


def test_after_an_event_nothing_is_to_be_switched_on(demo):
    marked = replace(demo.system, record=replace(demo.system.record or RecordFacts(), status="do not energize"))
    assert "Do not turn anything on" in emergency_of(evaluate(marked, CodeBook(2023), with_suggestions=False)).english.alarm


# Spanish by a person, not by the program.
PLACES = {
    "garage, east wall, left of the meter": "garaje, pared este, a la izquierda del medidor",
    "pad north-east of the garage": "base al noreste del garaje",
    "Front of the house": "Frente de la casa",
    "house roof": "techo de la casa",
    "beside the back door": "junto a la puerta trasera",
    "basement, below the main panel": "sótano, debajo del tablero principal",
    "garage, near the water softener": "",
    "by the old oak": "",
}


@pytest.mark.parametrize("place", PLACES)
def test_places_are_translated_whole_or_not_at_all(place):
    assert translated_place(place, "es") == PLACES[place]


def test_the_projects_own_translation_stands_first():
    phrases = phrases_in("es", (("es", "by the old oak", "junto al roble viejo"),))
    assert phrases.place("by the old oak") == "junto al roble viejo"
    assert phrases.place("by the young oak") == "by the young oak"


def test_map_numbers_are_the_steps_and_the_street_keeps_its_name_to_itself(demo):
    named, unnamed = emergency_of(demo).map, emergency_of(demo, names_streets=False).map
    assert [(step.number, step.tag) for step in named.steps] == [(1, "RSI"), (2, "GEN"), (3, "MID")]
    assert "QUILLFERN LANE" in {ground.label for ground in named.site.grounds}
    assert not any(re.search("quillfern", ground.label, re.IGNORECASE) for ground in unnamed.site.grounds)


def test_backed_up_panels_are_found_on_the_graph(demo):
    assert backed_up_panels(demo.system) == ("HP",)


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [("2026-05-14", 12, "2027-05-14"), ("2026-12-31", 1, "2027-01-28"), ("2028-02-29", 12, "2029-02-28"), ("2026-11-05", 1, "2026-12-05")],
)
def test_next_dates(day, months, expected):
    """Calendar by hand; the last days of a month become the 28th, which every month has."""
    assert next_date(day, months) == expected
