"""The order of the field checklist is safe in every house, and an unsafe one cannot be printed.

Which line comes before which is judged here by pairs of its own, written from NFPA 70E 120.5 (isolate, then test; from memory), the field's
order of energizing (common practice, no published source) and what each test needs; not from the program's own list.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.views.checklist.line import ChecklistSection, done_line
from permitgen.views.checklist.order import SCOPES, Pair, UnsafeOrderError, order_pairs
from permitgen.views.checklist.walk import walked
from permitgen.views.field_checklist import view_of

ROOT = Path(__file__).resolve().parents[2]
HOUSES = [ROOT / "demo_project", *sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))]
# Of the houses every third, and the same ones for each test: what is made of a house is made for all tests of it.
pytestmark = pytest.mark.sample(every=3)


@pytest.fixture(scope="module", params=HOUSES, ids=lambda path: path.stem)
def evaluation(request):
    return evaluate(load_project(request.param).system, CodeBook(2023), with_suggestions=False)


@pytest.fixture(scope="module")
def ids(evaluation):
    return [line.id for line in view_of(evaluation, "ab" * 32).lines]


# First, then: beginnings of ids. Every line of the first comes before every line of the second.
BEFORE = (
    ("locked:", "dead:"),
    ("dead:", "torque:"),
    ("dead:", "insulation:"),
    ("insulation:", "on:"),
    ("continuity:", "on:"),
    ("neutral-open:", "neutral-closed:"),
    ("neutral-closed:", "on:"),
    ("torque:", "on:"),
    ("override:", "on:"),
    ("supply:", "on:"),
    ("polarity:", "on:"),
    ("setting:", "shutdown:"),
    ("setting:", "island:"),
    ("setting:", "generator:"),
    ("firmware:", "island:"),
    ("on:", "island:transfer"),
    ("island:transfer", "island:backfeed:"),
    ("island:backfeed:", "island:L1-N"),
    ("island:backfeed:", "island:unbalance"),
    ("island:backfeed:", "island:motor"),
    ("island:backfeed:", "island:return"),
    ("island:L1-N", "island:unbalance"),
    ("island:unbalance", "island:motor"),
    ("emergency-shutdown:", "island:return"),
    ("generator:start:", "generator:stop:"),
    ("generator:stop:", "on:generator-armed"),
    ("generator:interlock:", "on:generator-armed"),
    ("interlock:", "on:generator-armed"),
    ("island:", "signed:"),
)


def places(ids, beginning):
    return [index for index, id_ in enumerate(ids) if id_.startswith(beginning) and (id_ != "on:generator-armed" or beginning == id_)]


@pytest.mark.sample(every=7)
def test_each_thing_comes_before_what_needs_it(ids):
    for first, then in BEFORE:
        one, other = places(ids, first), places(ids, then)
        if one and other:
            assert max(one) < min(other), (first, then)


def test_photographs_come_between_landing_and_covering(ids):
    """In each enclosure: screws, then the picture of it open, then the picture of it closed; all of it before power."""
    power = min(places(ids, "on:"))
    for index, id_ in enumerate(ids):
        if id_.startswith("photo:") and id_.endswith(":open"):
            tag = id_.split(":")[1]
            screws = [
                i
                for i, other in enumerate(ids)
                if other.startswith("torque:") and other.partition("@")[2].split(":")[0].split(".")[0] == tag
            ]
            assert max(screws, default=0) < index < ids.index(f"photo:{tag}:closed") < power


def test_islanded_shutdown_is_tried_in_an_island_and_after_back_feed(ids):
    for index in [i for i, id_ in enumerate(ids) if id_.startswith("shutdown:") and id_.endswith(":islanded")]:
        assert max(places(ids, "island:backfeed:")) < index < ids.index("island:return")


def test_every_pair_is_kept_and_every_line_in_one_has_its_reason(evaluation):
    view = view_of(evaluation, "ab" * 32)
    for line in view.lines:
        if line.id.startswith(("torque:", "supply:", "island:backfeed:", "neutral-open:")):
            assert line.reasons, line.id
    assert {reason for line in view.lines for reason in line.reasons} <= {pair.why for pair in order_pairs()}


def test_each_pair_has_a_reason_and_stops_at_a_line_of_some_house():
    seen = set()
    for path in HOUSES:
        view = view_of(evaluate(load_project(path).system, CodeBook(2023), with_suggestions=False), "ab" * 32)
        seen |= {reason for line in view.lines for reason in line.reasons}
    for pair in order_pairs():
        assert pair.scope in SCOPES
        assert len(pair.why.split()) >= 6
        assert pair.why in seen, f"no house has lines of this pair: {pair}"


def test_an_order_that_cannot_be_kept_is_a_fault_and_prints_nothing(evaluation):
    """The main closed before the voltage is read, and after it: no checklist, but an error that names what stands in the way."""
    before = ChecklistSection("before", "Before any power", "", (done_line("dead:X", "", "test", "CP"),))
    lines = (done_line("on:X", "", "close", "CP"), done_line("supply:X", "", "read", "CP"))
    energize = ChecklistSection("energize", "Energize", "", lines)
    kept = [line.id for section in walked(evaluation, [energize, before]) for line in section.lines]
    assert kept == ["dead:X", "supply:X", "on:X"]
    for wrong in (Pair(("on",), ("supply",), "house", "wrong on purpose"), Pair(("on",), ("dead",), "house", "power before isolation")):
        with pytest.raises(UnsafeOrderError, match="no safe order of the checklist"):
            walked(evaluation, [energize, before], (*order_pairs(), wrong))


def test_no_line_is_lost_where_a_section_is_not_there(evaluation):
    """A line that another section would hold stays in its own where that one is not there."""
    lines = (
        done_line("dead:X", "", "test", "CP"),
        done_line("interlock:X", "", "try", "CP"),
        done_line("branch-current:X", "", "read", "CP"),
    )
    alone = walked(evaluation, [ChecklistSection("strings", "PV circuits", "", lines)])
    assert {line.id for section in alone for line in section.lines} == {line.id for line in lines}


def test_what_needs_power_stands_behind_all_that_needs_none(evaluation):
    flags = [section.needs_power for section in view_of(evaluation, "ab" * 32).sections if section.id != "hand-over"]
    assert flags == sorted(flags)
