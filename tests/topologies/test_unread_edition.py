"""NEC 2026: its text was not read for this program. What public sources report of it is judged by both texts; of the rest a reader sees
what NEC 2023 says of the same house.

No published source for the house's rule: a pass is never printed for a text that was not read. What is reported is named in each test.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.code.grade import Grade
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.evaluation.finding import Finding
from permitgen.project.load import load_project
from permitgen.rules.judgement import Verdict
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.system import System

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
FILES = ["project.yaml", "with_mistakes.yaml"]
BOOK = CodeBook(2026)


def system_of(file: str) -> System:
    return load_project(DEMO / file).system


@cache
def evaluated(file: str, edition: int) -> Evaluation:
    return evaluate(system_of(file), CodeBook(edition), with_suggestions=False)


def found(system: System, id_: str, edition: int = 2026) -> Finding:
    return evaluate(system, CodeBook(edition), with_suggestions=False).by_id[id_]


def moved(system: System, tag: str, **place: object) -> System:
    """The system with another place of one piece of equipment."""
    item: Equipment = system.equipment[tag]
    assert item.place is not None
    return system.with_equipment(replace(item, place=replace(item.place, **place)))  # type: ignore[arg-type]


@pytest.mark.parametrize("file", FILES)
def test_nothing_passes_or_is_violated_under_a_text_that_was_not_read(file: str) -> None:
    for finding in evaluated(file, 2026).findings:
        if finding.grade is Grade.NOT_READ:
            assert finding.verdict in (Verdict.NOT_JUDGED, Verdict.DOES_NOT_APPLY), finding.id
            assert not finding.suggestions, finding.id


@pytest.mark.parametrize("file", FILES)
def test_what_is_judged_rests_on_reports_alone_and_says_so(file: str) -> None:
    """Every provision and table that a judged finding asked for is reported, or is none of the code's; one that was not read is enough
    to leave it unjudged."""
    before = evaluated(file, 2023).by_id
    judged = [f for f in evaluated(file, 2026).findings if f.grade is Grade.REPORTED and f.citation.startswith("NEC 2026")]
    assert len([f for f in judged if f.verdict is Verdict.PASSES]) > 5
    for finding in judged:
        for asked in finding.rests_on:
            if asked.kind == "table":
                assert BOOK.is_of_no_edition(asked.name) or BOOK.table_report(asked.name) is not None, finding.id
            else:
                assert BOOK.provision(asked.name).is_reported or BOOK.provision(asked.name).is_in_force, finding.id
        if finding.verdict is Verdict.PASSES:
            assert before[finding.id].verdict is Verdict.PASSES, finding.id
            assert "passes 2023 and as reported; text not read" in finding.judgement.message
            assert finding.source


@pytest.mark.parametrize("file", FILES)
def test_what_2023_says_stands_beside_it(file: str) -> None:
    before = evaluated(file, 2023).by_id
    unread = [f for f in evaluated(file, 2026).findings if f.judgement.is_of_unread_text]
    assert len(unread) > 300
    for finding in unread:
        was = before[finding.id]
        # What a disputed reading makes of it is said where it is judged: here stands what 2023 says by the reading of this house.
        told = (was.readings[0].answers[0] if was.readings else was.judgement).message
        verdict = was.readings[0].answers[0].verdict if was.readings else was.verdict
        assert finding.judgement.message.endswith(f"{told} ({verdict})"), finding.id
        assert "NEC 2023" in finding.judgement.message


def test_no_number_of_2023_is_printed_as_if_it_were_one_of_2026() -> None:
    """Sections of the ways and parts of a finding, and of each value it rests on, are reported ones or name their edition."""
    for finding in evaluated("project.yaml", 2026).findings:
        known = {BOOK.provision(asked.name).section for asked in finding.rests_on if asked.kind == "provision"}
        reports = [BOOK.table_report(asked.name) for asked in finding.rests_on if asked.kind == "table"]
        known |= {report.number for report in reports if report is not None}
        for part in finding.judgement.nested():
            if part.section and part is not finding.judgement:
                assert part.section in known or part.section.startswith("NEC 2023 "), (finding.id, part.section)


def test_sizes_are_those_of_2023_and_say_so() -> None:
    chosen = {(s.tag, s.what): s.chosen for s in evaluated("project.yaml", 2023).sizings}
    sizings = evaluated("project.yaml", 2026).sizings
    assert {(s.tag, s.what): s.chosen for s in sizings} == chosen
    assert all("by NEC 2023; NEC 2026 was not read" in s.reason for s in sizings)


def test_what_the_trade_press_reports_is_said() -> None:
    """230.85 is deleted in 2026 and its requirement stands in 230.70: Electrical License Renewal, change page 1878 (2026)."""
    finding = evaluated("project.yaml", 2026).by_id["emergency-disconnect:UTIL"]
    assert finding.verdict is Verdict.PASSES
    assert finding.citation == "NEC 2026 230.70 (reported, text not confirmed)"
    assert "in 230.70" in finding.judgement.doubt
    assert "1878" in finding.source


def test_a_value_that_is_reported_to_be_another_is_shown_beside_that_of_2023() -> None:
    """First tier 8 kVA, 2 VA/ft2, charging equipment whole (120.41, 120.82: EC&M, top changes 2025; a digest for the last)."""
    finding = evaluated("project.yaml", 2026).by_id["service-capacity:UTIL"]
    assert finding.verdict is Verdict.NOT_JUDGED
    assert "; as reported: " in finding.judgement.message
    assert "NEC 2023 220.82: " in finding.judgement.message


def test_a_service_disconnect_indoors_passes_2023_and_is_violated_as_reported() -> None:
    """230.70(A)(1) of 2026, at one- and two-family dwellings outdoors: Electrical License Renewal, change page 1878 (2026).

    Indoors at the point of entrance is what 230.70(A)(1) of 2023 permits.
    """
    indoors = moved(system_of("project.yaml"), "MID", outdoors=False)
    before, after = (found(indoors, "service-disconnect-location:MID", edition) for edition in (2023, 2026))
    assert before.verdict in (Verdict.PASSES, Verdict.CAUTION)
    assert after.verdict is Verdict.VIOLATED
    assert "2023, violated as reported; text not read" in after.judgement.message
    assert not after.suggestions


@pytest.mark.parametrize(("length", "verdict"), [("10 ft", Verdict.PASSES), ("10.1 ft", Verdict.VIOLATED)])
def test_supply_side_conductors_inside_are_held_to_the_length_that_is_reported(length: str, verdict: Verdict, tmp_path: Path) -> None:
    """705.11(C)(1) of 2026: 10 ft inside a dwelling; 2023 gives no length (public summary of the changes to 705.11(C), 2026)."""
    base = Path(__file__).resolve().parents[1] / "rules" / "bases" / "supply_side_source.yaml"
    written = tmp_path / "project.yaml"
    outside = "R2: {kind: RMC, trade_size: 1 in, length: 5 ft, wet: yes, ambient: 36 °C, buried: no, inside_building: no}"
    assert outside in base.read_text("utf-8")
    inside = outside.replace("5 ft", length).replace("inside_building: no", "inside_building: yes")
    written.write_text(base.read_text("utf-8").replace(outside, inside), "utf-8")
    system = load_project(written).system
    finding = found(system, "supply-side-overcurrent-place:T1")
    assert (finding.verdict, finding.grade) == (verdict, Grade.REPORTED)
    assert found(system, "supply-side-overcurrent-place:T1", 2023).verdict is Verdict.PASSES
