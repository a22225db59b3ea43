"""An old panel told whole, line by line as on its door, in place of totals counted there: the same house, and more of it known.

The panel of unit A of the duplex: 5 breakers of two poles, the PV among them, and 7 of one; 40 + 40 + 30 + 30 + 25 + 7 x 20 = 305 A, in
17 spaces.
The sum counts a breaker of two poles once: 705.12(B)(3) of 2023, "the sum of the ampere ratings of all overcurrent devices" (from memory).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import build_project, load_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_text
from permitgen.rules.busbars import sum_of_breakers
from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Verdict
from permitgen.system.panel_rows import panel_rows
from permitgen.views.schedules import panel_faces

HERE = Path(__file__).resolve().parent
DUPLEX = HERE / "b25_duplex.yaml"
LINES = """\
    directory: |
      1,3    40A 2P 10kA  K1                        existing
      2,4    30A 2P 10kA  K2                        existing
      5,7    30A 2P 10kA  K3                        existing
      6,8    25A 2P 10kA  K4                        existing
      9      20A 1P 10kA  K5                        existing
      10     20A 1P 10kA  "KITCHEN, NORTH WALL"     existing
      11     20A 1P 10kA  "KITCHEN, SOUTH WALL"     existing
      12     20A 1P 10kA  "LAUNDRY"                 existing
      13     20A 1P 10kA  "BATHROOM"                existing
      14     20A 1P 10kA  "LIGHTING, FRONT"         existing
      15     {last}
      21,23  40A 2P 10kA  C1  "SOLAR"               new, back-fed, lockable, not line/load marked, 120/240V
      rest   blank
"""
LAST = '20A 1P 10kA  "LIGHTING, BACK"          existing'


def told(last: str = LAST) -> str:
    """Return the duplex with the directory of unit A."""
    text = DUPLEX.read_text("utf-8")
    first = next(line for line in text.splitlines(keepends=True) if line.startswith("    spaces_used: 17"))
    second = next(line for line in text.splitlines(keepends=True) if line.startswith("    all_breakers_but_main: 305 A"))
    device = "rating: 40 A, poles: 2, interrupting_rating: 10 kA, lockable: yes, marked_line_and_load: no, voltage: 120/240 V"
    own = f"overcurrent: {{to_end: {{{device}}}}}, "
    changes = [(first, LINES.format(last=last)), (second, ""), (own, "")]
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    lines = [line.replace(", leg: both", "").replace(", leg: L1", "") if "panel: MSPA" in line else line for line in text.splitlines()]
    return "\n".join(lines) + "\n"


def evaluated(text: str) -> Evaluation:
    system = build_project(read_text(text, "duplex.yaml"), HERE).system
    return evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def test_what_the_totals_settled_the_lines_settle_too() -> None:
    system = load_project(DUPLEX).system
    before = evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False).by_id
    after = evaluated(told()).by_id
    changed = {id_ for id_, finding in before.items() if after[id_].verdict is not finding.verdict}
    assert changed == {"panel-directory:MSPA"}
    assert before["panel-directory:MSPA"].verdict is Verdict.NOT_JUDGED
    assert after["panel-directory:MSPA"].verdict is Verdict.PASSES
    assert {id_.partition(":")[2].partition(".")[0] for id_ in after.keys() - before.keys()} == {"MSPA"}


def test_breakers_without_a_circuit_count_in_sum_and_spaces() -> None:
    after = evaluated(told()).by_id
    assert "17 of 24 spaces" in str(after["panel-spaces:MSPA"].judgement.parts)
    rows = panel_rows(evaluated(told()).system, "MSPA")
    assert sum(row.device.rating_a.number for row in rows) == 305
    assert sum(len(row.spaces) for row in rows) == 17


def test_a_rating_that_nobody_knows_is_judged_where_the_others_settle_it() -> None:
    after = evaluated(told('?   1P 10kA  "LIGHTING, BACK"          existing')).by_id
    assert after["standard-ratings:MSPA.15"].verdict is Verdict.NOT_JUDGED
    assert after["listed-overcurrent-maximum:MSPA.15"].verdict is Verdict.NOT_JUDGED
    # 285 A are more than the busbar's 125 A without it; so is every other way that is open.
    assert after["busbar-sources:MSPA"].verdict is Verdict.VIOLATED
    assert after["busbar-sources:MSPA"].judgement.whatever == ("rating of the breaker or fuse at MSPA.15",)
    roomy = evaluated(told('?   1P 10kA  "LIGHTING, BACK"          existing').replace("    busbar: 125 A\n", "    busbar: 300 A\n", 1))
    with pytest.raises(MissingFactError, match=r"MSPA\.15"):
        sum_of_breakers.judge(roomy.system.busbars["MSPA"], roomy.given)


def test_a_breaker_that_cannot_interrupt_the_current_there_is_found() -> None:
    after = evaluated(told('20A 1P 5kA  "LIGHTING, BACK"          existing')).by_id
    assert after["interrupting-rating:MSPA.15"].verdict is Verdict.VIOLATED
    unknown = evaluated(told('20A 1P  "LIGHTING, BACK"          existing')).by_id
    assert unknown["interrupting-rating:MSPA.15"].verdict is Verdict.NOT_JUDGED


def test_two_lines_of_one_name_are_no_directory() -> None:
    after = evaluated(told('20A 1P 10kA  "LIGHTING, FRONT"          existing')).by_id
    assert after["panel-directory:MSPA"].verdict is Verdict.VIOLATED


def test_schedule_and_handles_call_a_device_by_the_words_on_its_label() -> None:
    evaluation = evaluated(told())
    panel = next(face.schedule for face in panel_faces(evaluation) if face.schedule.title.startswith("Panel MSPA"))
    assert ("21,23", "2P 40\N{NO-BREAK SPACE}A", "C1", "SOLAR") in panel.rows
    assert ("12", "1P 20\N{NO-BREAK SPACE}A (E)", "–", "LAUNDRY") in panel.rows
    assert panel.rows[-1] == ("16–20, 22, 24", "–", "–", "blank")
    handles = evaluation.system.handles
    assert (handles["MSPA.21"].name, handles["MSPA.12"].name, handles["MSPA.1"].name) == ("SOLAR", "LAUNDRY", "Range of unit A")


def test_a_leg_that_the_space_tells_is_not_typed_twice() -> None:
    text = told().replace(
        "panel: MSPA, category: fixed appliance, power: 1.2 kW", "panel: MSPA, category: fixed appliance, power: 1.2 kW, leg: L2"
    )
    with pytest.raises(ProblemsError, match="9 is on L1, and K5 states its leg too"):
        evaluated(text)
