"""The six ordinances of ``docs/local_rules.md`` do what the page says, and what they relax is never a silent pass.

The limits without them: 230.79(C) 100 A for a one-family dwelling, R324.6.1 of IRC 2021 pathways of 36 in, 110.26(A)(2) 30 in,
352.44 fittings from a change of 1/4 in, 230.67 and 230.85 of 2023 (all from memory); the towns are invented.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from permitgen.evaluation.evaluate import evaluate
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import Verdict
from tests.reading_paper import put_reading

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs/local_rules.md").read_text("utf-8").partition("# What an ordinance adds")[0]
HOUSES = {
    "small_house": ROOT / "tests/cli/small_house.yaml",
    "b03_whole_home": ROOT / "tests/topologies/b03_whole_home.yaml",
}
EXAMPLE = re.compile(r"^## (.+?)\n.*?```yaml\n(.*?)```\n\n`(\w+)`: (\S+) ([a-z ]+), ([a-z ]+)$", re.MULTILINE | re.DOTALL)
EXAMPLES = {title: rest for title, *rest in EXAMPLE.findall(PAGE)}


def house(folder, name, *ordinances):
    text = HOUSES[name].read_text("utf-8")
    names = ", ".join(f"rule-{number}.yaml" for number, _ in enumerate(ordinances))
    (folder / "project.yaml").write_text(text.replace("jurisdiction: {", f"jurisdiction: {{amendments: [{names}], ", 1), "utf-8")
    (folder / "ordinance.pdf").write_bytes(b"%PDF-1.4 adopted")
    put_reading(folder)
    for number, ordinance in enumerate(ordinances):
        (folder / f"rule-{number}.yaml").write_text(ordinance, "utf-8")
    return folder


def test_the_page_has_six():
    assert len(EXAMPLES) == 6
    assert PAGE.count("```yaml") == 6


@pytest.mark.parametrize("title", EXAMPLES)
def test_an_ordinance_does_what_the_page_says(title, tmp_path):
    ordinance, where, id_, verdict, without = EXAMPLES[title]
    opened = open_project(house(tmp_path, where, ordinance))
    name = opened.code.amendments[0].ordinance
    finding = opened.evaluation.by_id[id_]
    plain = open_project(HOUSES[where]).evaluation.by_id[id_]
    assert (str(finding.verdict), str(plain.verdict)) == (verdict, without)
    assert f"by {name}, {without} without it" in finding.judgement.message
    assert [(change.ordinances, str(change.without)) for change in finding.changed] == [((name,), without)]
    (line,) = (line for line in plan_set_of(opened).cover.codes if name in line)
    assert re.search(rf"{finding.rule} [^;]*: ([^;]*, )?{finding.subject}(,|;| and|$)", line)
    assert ("strikes: " in line) == ("absent" in ordinance)


@pytest.mark.parametrize("title", EXAMPLES)
def test_a_verdict_that_gets_better_needs_number_and_copy(title, tmp_path):
    ordinance, where, *_ = EXAMPLES[title]
    for key in ("number", "copy"):
        bare = re.sub(rf" {key}: [^,}}]*,?", "", ordinance).replace(",}", "}")
        if "number" in ordinance:
            with pytest.raises(ProblemsError, match=rf"rule-0.yaml:1:12: ordinance: it (relaxes|strikes) .*its {key} must be stated"):
                open_project(house(tmp_path, where, bare))
        else:
            assert open_project(house(tmp_path, where, bare)).evaluation


def test_what_is_struck_of_life_safety_keeps_its_section_and_is_no_pass(tmp_path):
    ordinance = EXAMPLES["No emergency disconnect asked for, Village of Underfell"][0]
    finding = open_project(house(tmp_path, "small_house", ordinance)).evaluation.by_id["emergency-disconnect:UTIL"]
    assert finding.verdict is Verdict.CAUTION
    assert finding.citation == "NEC 2023 230.85"


def test_two_ordinances_each_say_what_they_changed(tmp_path):
    first, second = (EXAMPLES[title][0] for title in list(EXAMPLES)[3:5])
    opened = open_project(house(tmp_path, "small_house", first, second))
    changed = {
        finding.id: [name for change in finding.changed for name in change.ordinances]
        for finding in opened.evaluation.findings
        if finding.changed
    }
    assert changed == {"expansion:R1": ["Low Carrow Ordinance"], "service-surge-protection:UTIL": ["Tarn County Resolution"]}
    findings = evaluate(opened.loaded.system, opened.code, with_suggestions=False).findings
    assert {f.id: f.verdict for f in findings} == {f.id: f.verdict for f in opened.evaluation.findings}


def test_two_that_say_the_same_are_seen_together(tmp_path):
    """Without either the other still relaxes it: only the code itself shows that storage stands too near (3 ft, R328.3.1)."""
    rule = "ordinance: {{name: {}, number: 1, date: 2026-01-01, copy: ordinance.pdf}}\n"
    rule += "ess_opening_clearance: {{IRC 2021: {{from_openings_ft: 1}}}}\n"
    folder = house(tmp_path, "b03_whole_home", rule.format("Rule A"), rule.format("Rule B"))
    file = folder / "project.yaml"
    text = file.read_text("utf-8")
    head, tag, rest = text.partition("  ESS1:")
    for now, then in (
        ("space: garage, outdoors: no", "space: outside wall, outdoors: yes"),
        ("to_door_or_window: 6 ft", "to_door_or_window: 2 ft"),
    ):
        assert now in rest
        rest = rest.replace(now, then, 1)
    file.write_text(head + tag + rest, "utf-8")
    finding = open_project(folder).evaluation.by_id["storage-openings:ESS1"]
    assert finding.verdict is Verdict.CAUTION
    assert finding.judgement.message.endswith("; passes by Rule A and Rule B, violated without it")


@pytest.mark.parametrize(
    ("head", "message"),
    [
        ("{name: X, date: 2026-01-01, numbr: 1}", 'numbr: not read here; did you mean "number"? (keys: name, date, number, copy)'),
        ("{name: X, date: 2026-01-01, number: 1, copy: ordnance.pdf}", 'copy: there is no file "ordnance.pdf"'),
        ("{name: X, date: 2026-01-01, number: [1]}", "number: expected its number, one line"),
    ],
)
def test_papers_are_looked_for(head, message, tmp_path):
    with pytest.raises(ProblemsError) as caught:
        open_project(house(tmp_path, "small_house", f"ordinance: {head}\nservice_surge_protection: {{2023: absent}}\n"))
    assert message in str(caught.value)
