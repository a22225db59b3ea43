"""An interconnect device is a busbar: service equipment is in no feeder, and one in a feeder waits for the department's answer.

Source: 705.12(B) (2023) for busbars, 705.12(A)(2) for feeders; figures by hand in ``busbar-sources.yaml``. The disputed reading and who
settles it: common practice, no published source.
"""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import build_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.rules.judgement import Verdict
from tests.reading_paper import put_reading

BASES = Path(__file__).resolve().parents[1] / "bases"
READ_SO = {"interconnect_device_in_feeder": "part of the feeder"}
ANSWER = {
    "reading": "interconnect_device_in_feeder",
    "answer": "part of the feeder",
    "by": "Ida Moor",
    "office": "Building Department",
    "date": "2026-02-03",
    "copy": "reading.pdf",
}


def service_equipment(data):
    """40 + 50 + 200 A of breakers on 200 A, in the enclosure of the service disconnect."""
    data["equipment"]["MID"]["load_device"] = {"rating": "200 A", "poles": "2"}


def in_a_feeder(data):
    """80 + 30 A of the autotransformer on 100 A, behind a feeder of 100 A and ahead of a main of 100 A."""
    data["equipment"]["MID"]["busbar"] = "100 A"
    data["circuits"]["C1"]["overcurrent"]["to_end"]["rating"] = "80 A"


def finding_of(base, change, jurisdiction, folder=BASES):
    read = read_yaml_file(BASES / f"{base}.yaml")
    data = copy.deepcopy(read.data)
    change(data)
    data["jurisdiction"].update(jurisdiction)
    system = build_project(ReadFile(read.file, read.text, data, read.positions), folder, edition="2023").system
    return evaluate(system, CodeBook("2023"), with_suggestions=False).by_id["busbar-sources:MID"]


@pytest.mark.parametrize("jurisdiction", [{}, {"options": READ_SO}])
def test_service_equipment_is_a_busbar_whatever_is_said_of_feeders(jurisdiction):
    finding = finding_of("whole_home_matrix", service_equipment, jurisdiction)
    assert finding.verdict is Verdict.VIOLATED
    assert not any(each.reading in READ_SO for each in finding.readings)
    assert finding.section.startswith("705.12(B)")


@pytest.mark.parametrize(("stated", "verdict"), [({}, Verdict.VIOLATED), ({"options": READ_SO}, Verdict.CAUTION)])
def test_a_device_in_a_feeder_is_not_met_strictly_and_a_caution_where_the_file_alone_reads_it_so(stated, verdict):
    finding = finding_of("partial_backup", in_a_feeder, stated)
    assert finding.verdict is verdict, finding.judgement.message
    assert "jurisdiction: confirmed: interconnect_device_in_feeder settles it" in finding.judgement.message


def test_the_answer_of_the_department_lets_it_pass_as_a_part_of_the_feeder(tmp_path):
    put_reading(tmp_path)
    finding = finding_of("partial_backup", in_a_feeder, {"confirmed": [ANSWER]}, tmp_path)
    assert finding.verdict is Verdict.PASSES
    assert "Ida Moor" in finding.judgement.message
