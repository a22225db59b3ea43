"""Each sentence of the plate is proved again, by another walk, on the text read back from its PDF: demo, all topologies, variants.

Wording is judged, not layout: what a step is said to stop or cut off, what is not enough, the wait, what stays live.
"""

import itertools
import re
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from permitgen.documents.placard import placard_files
from permitgen.views.placard import placards_of
from permitgen.views.reviewer.shutdown import shutdown_lines
from tests.topologies.own_walk import OwnWalk
from tests.topologies.test_placard_reachability import evaluated
from tests.topologies.variants import VARIANTS

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "demo_project" / "project.yaml"
HOUSES = [*VARIANTS, DEMO, *sorted(HERE.glob("b*.yaml"))]


def of_every_house(test):
    """Prove a sentence of every fifth house in the suite, of each by night."""
    return pytest.mark.sample(every=5)(pytest.mark.parametrize("file", HOUSES, ids=lambda file: getattr(file, "stem", file))(test))


KINDS = {
    "photovoltaic": r"solar panels",
    "energy storage": r"a battery unit|\d+ battery units|a battery inverter",
    "generator": r"the generator|\d+ generators",
    "vehicle": r"the electric vehicle|\d+ electric vehicles",
    "utility": r"utility power",
}
GOES_ON = r"keeps? feeding the house|then starts? by (?:itself|themselves) and feeds? the house"
ACTIONS = "TURN TO OFF|TURN OFF|PRESS STOP|PULL THE HANDLE TO OFF|STOP THE GENERATOR, PULL ITS PLUG"


class Plate:
    """The first plate of a house with its own walk, and its words as a PDF reader finds them."""

    def __init__(self, evaluation):
        self.placard = placards_of(evaluation)[0]
        self.evaluation, self.system = evaluation, evaluation.system
        self.walk = OwnWalk(self.system)
        reader = pypdf.PdfReader(BytesIO(placard_files([self.placard])["placard.pdf"]))
        self.text = " ".join(" ".join(page.extract_text() for page in reader.pages).split()).replace("\u00a0", " ")
        self.handles = [step.handle for step in self.placard.text.steps]

    def said_of_steps(self):
        """What each step is said to do, in order."""
        rest, said = self.text.partition("SHUT DOWN IN THIS ORDER")[2], []
        for number in range(1, len(self.handles) + 1):
            # The numeral of a step stands behind its words; the next place, or the map, begins in capitals.
            found = re.search(rf"(?:{ACTIONS})(?: – (.*?))? {number} (?=[A-Z]{{2}})", rest)
            assert found is not None, f"step {number}"
            said.append(found[1] or "")
            rest = rest[found.end() :]
        return said

    def named(self, words):
        """Tags of the sources that some words name: all of a kind, or one by its own name."""
        tags = set()
        for source in self.walk.sources.values():
            name = self.system.equipment[source.tag].name
            own = {name, name.partition(",")[0]}
            if re.search(rf"\b(?:{KINDS[source.kind]})\b", words) or any(each and each in words for each in own):
                tags.add(source.tag)
        return tags

    def before_and_after(self, index):
        return self.handles[:index], self.handles[: index + 1]

    def tags(self, ids):
        return {self.walk.sources[id_].tag for id_ in ids}


PLATES = {}


@pytest.fixture
def plate(file, open_once):
    """The plate of a house, drawn and read once."""
    if file not in PLATES:
        PLATES[file] = Plate(evaluated(**VARIANTS[file]) if file in VARIANTS else open_once(file).evaluation)
    return PLATES[file]


@of_every_house
def test_a_step_opens_exactly_what_it_names(plate):
    for index, said in enumerate(plate.said_of_steps()):
        before, after = plate.before_and_after(index)
        stops = plate.named(" ".join(re.findall(r"stops ([^,]*)", said)))
        cuts = plate.named(" ".join(re.findall(r"cuts off (.*?)(?=, cuts off|, stops|$)", re.sub(r" to [A-Z][^,]*", "", said))))
        gone = plate.tags(plate.walk.left(before)) - plate.tags(plate.walk.left(after))
        newly = plate.walk.stopped(after) - plate.walk.stopped(before)
        fed = {tag for tag in gone if plate.system.equipment[tag].kind == "inverter"}
        assert stops - fed == (gone & newly) - fed, said
        utility_to = re.search(r"cuts off utility power to ([^,]*)", said)
        assert (cuts - fed) - ({"UTIL"} if utility_to else set()) == (gone - newly) - fed - ({"UTIL"} if utility_to else set()), said


@of_every_house
def test_a_panel_is_said_to_lose_the_utility_where_it_does(plate):
    for index, said in enumerate(plate.said_of_steps()):
        found = re.search(r"cuts off utility power to ([^,]*)", said)
        if not found:
            continue
        before, after = plate.before_and_after(index)
        lost = plate.walk.fed_by_utility(before) - plate.walk.fed_by_utility(after)
        named = {tag for tag, item in plate.system.equipment.items() if item.name and item.name.partition(",")[0] in found[1]}
        machines = {source.tag: source.node for source in plate.walk.sources.values() if source.is_ac}
        assert named
        assert {machines.get(tag, f"{tag}.bus") for tag in named} <= lost


@of_every_house
def test_after_the_last_step_no_load_is_possibly_live(plate):
    assert plate.walk.loads
    assert plate.walk.reaching_loads(plate.handles) == set()


@of_every_house
def test_after_the_last_step_no_source_feeds_the_utility(plate):
    assert plate.walk.on_utility(plate.handles) == set()


@of_every_house
def test_the_utility_stays_ahead_of_the_first_handles(plate):
    """No wire behind a service disconnect keeps the utility, also none of an inverter tapped ahead of the main (NEC 230.70, 705.11)."""
    assert plate.walk.fed_by_utility(plate.handles) == plate.walk.fed_by_utility(plate.walk.services)


@of_every_house
def test_no_step_could_be_left_out(plate):
    """Without a step something more is left, but for switches that the code wants opened: initiators, stops, service disconnects."""
    kinds = {"rapid shutdown initiator", "generator stop"}
    for handle in plate.handles:
        item = plate.system.equipment.get(handle.partition(".")[0])
        is_initiator = item is not None and "rapid shutdown initiator" in item.roles
        if plate.system.handles[handle].kind in kinds or is_initiator or plate.walk.is_main_of_loads(handle):
            continue
        fewer = [each for each in plate.handles if each != handle]
        assert plate.walk.left(fewer) or plate.walk.fed_by_utility(fewer) - plate.walk.fed_by_utility(plate.handles), handle


@of_every_house
def test_a_switch_behind_which_several_sources_meet_is_one_step(plate):
    """No two steps that cut off sources could be one: a handle that leaves no more in place of both spares a way (common practice)."""
    breakers = [handle for handle in plate.handles if plate.system.handles[handle].kind == "breaker"]
    for one, other in itertools.combinations(breakers, 2):
        rest = [handle for handle in plate.handles if handle not in (one, other)]
        instead = [handle for handle in plate.system.handles if handle not in plate.handles and not plate.walk.left([*rest, handle])]
        assert instead == [], (one, other)


@of_every_house
def test_not_enough_is_said_where_something_goes_on(plate):
    alone, after = plate.walk.energized(plate.walk.services), plate.walk.energized(plate.handles)
    others = {id_: nodes for id_, nodes in alone.items() if plate.walk.sources[id_].kind != "utility"}
    feeding = plate.tags(id_ for id_, nodes in others.items() if nodes & plate.walk.loads)
    wires = plate.tags(id_ for id_, nodes in others.items() if nodes - after.get(id_, set())) - feeding
    said = re.search(rf"Turning off utility power is NOT enough: (.*?) ({GOES_ON}|stay live)\.", plate.text)
    if not feeding and not wires:
        assert said is None
        assert "NOT enough" not in plate.text
        return
    assert said is not None
    inverters = {tag for tag, item in plate.system.equipment.items() if item.kind == "inverter"}
    assert plate.named(said[1]) - inverters == (feeding or wires) - inverters
    assert (said[2] == "stay live") is not bool(feeding)
    if "start" in said[2]:
        assert {plate.system.equipment[tag].kind for tag in feeding} == {"generator"}


@of_every_house
def test_a_wait_is_told_after_the_switch_that_starts_the_shutdown_of_an_array(plate):
    arrays = {tag for tag, item in plate.system.equipment.items() if item.kind == "pv_array"}
    starts = [
        str(index + 1)
        for index in range(len(plate.handles))
        if arrays & (plate.walk.stopped(plate.handles[: index + 1]) - plate.walk.stopped(plate.handles[:index]))
    ]
    said = re.search(r"After switch(?:es)? ([\d, and]+), wait 30 seconds\.", plate.text)
    assert (re.findall(r"\d", said[1]) if said else []) == starts, "30 s: NEC 690.12(B)"


@of_every_house
def test_what_stays_live_does_and_nothing_that_does_is_left_out(plate):
    energized = plate.walk.energized(plate.handles)
    for word, kind in (
        ("Utility wires up to", "utility"),
        ("Battery wires up to", "energy storage"),
        ("Generator wires up to", "generator"),
        ("Solar panels and (?:roof wiring|the wires from them) (?:down )?to", "photovoltaic"),
    ):
        nodes = set().union(*(nodes for id_, nodes in energized.items() if plate.walk.sources[id_].kind == kind), set())
        ends = {link.handle for link in plate.system.graph.links if link.handle in plate.handles and {link.first, link.second} & nodes}
        said = re.search(rf"{word} switch(?:es)? ([\d, and]+)", plate.text)
        assert {plate.handles[int(n) - 1] for n in re.findall(r"\d", said[1])} == ends if said else not ends, word
    strings = set().union(*(n for id_, n in energized.items() if plate.walk.sources[id_].kind == "photovoltaic"), set())
    solar = re.search(r"Solar panels and (?:roof wiring down|the wires from them) to (.*?), whenever", plate.text)
    inverters = [item for item in plate.system.equipment.values() if solar and item.name and item.name in solar[1]]
    assert inverters or solar is None or solar[1].startswith("switch")
    for inverter in inverters:
        assert any(f"{inverter.tag}.{port}" in strings for port in inverter.dc_inputs)
    # The panels and the wires from them are told once, not as two things.
    assert len(re.findall("Solar panels and|Solar wires", plate.text)) <= 1
    for id_, nodes in energized.items():
        source = plate.walk.sources[id_]
        if source.kind == "photovoltaic":
            assert not nodes & plate.walk.loads
    assert ("Solar panels" in plate.text) == any(s.kind == "photovoltaic" for s in plate.walk.sources.values())


@of_every_house
def test_roof_wires_are_spoken_of_where_an_array_is_on_a_roof(plate):
    """A carport or a frame on the ground has none that anybody would look for on the house."""
    arrays = [item for item in plate.system.equipment.values() if item.kind == "pv_array"]
    on_roof = [a for a in arrays if (a.on_building or a.roof_planes) and a.answer("unenclosed_structure") is not True]
    assert bool(re.search(r"roof wiring|from the roof", plate.text)) <= bool(on_roof)


@of_every_house
def test_the_plate_promises_nothing(plate):
    """Dead, safe and isolated are what somebody finds with a tester, never what a plate says."""
    assert re.findall(r"\b(?:dead|safe|safely|isolated?|isolates)\b", plate.text, re.IGNORECASE) == []


@of_every_house
def test_a_handle_is_pulled_only_where_it_is_no_breaker(plate):
    devices = {link.handle: link.device for link in plate.system.graph.links if link.handle and link.device is not None}
    for step in plate.placard.text.steps:
        device = devices.get(step.handle)
        if device is not None and device.kind == "circuit breaker":
            assert "pull" not in step.action.casefold()


@of_every_house
def test_no_two_steps_at_one_place_sound_alike(plate):
    told = [(step.place, step.object) for step in plate.placard.text.steps]
    assert len(set(told)) == len(told)


@of_every_house
def test_the_calculation_counts_the_same_sources_after_each_step(plate):
    """The block of the reviewer's calculation, row by row, against this walk: what is left at each busbar after each step."""
    lines = shutdown_lines(plate.evaluation)
    assert lines
    inverters = {tag for tag, item in plate.system.equipment.items() if item.kind == "inverter"}
    for line in lines:
        told = [set(re.findall(r"[A-Z][A-Z0-9]*", part.partition(": ")[2])) - inverters for part in line.text.split("; ")]
        for count, left in enumerate(told):
            if line.subject == "UTIL":
                assert left == plate.tags(plate.walk.on_utility(plate.handles[:count])) - inverters, count
                continue
            reaching = {
                tag
                for node in plate.walk.loads
                if node.partition(".")[0] in line.subject
                for tag in plate.walk.at(node, plate.handles[:count])
            }
            assert left == reaching - inverters, (line.subject, count)
        assert line.computed == "0"
