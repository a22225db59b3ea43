"""What an ordinance adds beyond the code decides as ``docs/local_rules.md`` says, cites itself, and stands on the cover.

The numbers are as invented as the towns. What they are held against: the service carries 180 A, and its load is at least 69.2 A by 220.82
(3 VA x 1800 ft² + 4500 VA, range 8, dryer 5, water heater 2.4, dishwasher 1.2 kVA: 10 kVA + 40 % of 16.5 kVA at 240 V), so that 2.65
times it is more; Table 250.122 gives 6 AWG copper for 200 A; the roof of the house is 48 ft long with modules from 4 ft to 44 ft; its
battery stands in the garage.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from permitgen.code.amendment import read_amendment
from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import Verdict, all_of, any_of, does_not_apply, require_at_least, require_at_most
from permitgen.rules.local_factor import with_factors
from permitgen.values.origin import Assumed
from permitgen.values.value import Value
from permitgen.views.label_set import label_set_of
from tests.properties.test_local_rules import HOUSES, ROOT, house

PAGE = (ROOT / "docs/local_rules.md").read_text("utf-8").partition("# What an ordinance adds")[2].partition("# Written grants")[0]
EXAMPLE = re.compile(r"^## ([^\n]+)\n.*?```yaml\n(.*?)```(?:\n\n`(\w+)`: ([^\n]+) ([a-z ]+?), ([a-z ]+)$)?", re.MULTILINE | re.DOTALL)
EXAMPLES = {title: rest for title, *rest in EXAMPLE.findall(PAGE)}
JUDGED = [title for title, rest in EXAMPLES.items() if rest[1]]
TARN = next(rest[0] for title, rest in EXAMPLES.items() if "Tarn Light" in title)
HEAD = "ordinance: {name: Rule 1, date: 2026-01-01}\n"


def test_each_form_has_an_example():
    assert len(JUDGED) == 5
    assert all(re.search(rf"^{key}:", PAGE, re.MULTILINE) for key in ("adds", "tables", "factors", "labels", "marks", "notes"))


@pytest.mark.parametrize("title", JUDGED)
def test_an_addition_does_what_the_page_says(title, tmp_path):
    ordinance, where, told, verdict, without = EXAMPLES[title]
    id_, _, last = told.rpartition(" ")
    words = f"{last} {verdict}" if last in ("not", "does") else verdict
    id_ = id_ if last in ("not", "does") else told
    opened = open_project(house(tmp_path, where, ordinance))
    name = opened.code.amendments[0].ordinance
    finding = opened.evaluation.by_id[id_]
    plain = open_project(HOUSES[where]).evaluation.by_id.get(id_)
    assert (str(finding.verdict), str(plain.verdict) if plain else "does not apply") == (words, without)
    assert [(change.ordinances, str(change.without)) for change in finding.changed] == [((name,), without)]
    assert name in f"{finding.citation} {finding.judgement.message}"
    (line,) = (line for line in plan_set_of(opened).cover.codes if name in line)
    assert finding.subject in line


def test_a_changed_cell_is_cited_as_the_ordinances(tmp_path):
    ordinance, where, *_ = EXAMPLES["A larger grounding conductor, County of Tarn"]
    opened = open_project(house(tmp_path, where, ordinance))
    cell = opened.code.table("equipment_grounding_conductor").band_text(200.0, "copper")
    assert (cell.text, str(cell.origin)) == ("4", "Table 250.122 as amended by Tarn County Code 4-4, not over 200 A, copper")
    other = opened.code.table("equipment_grounding_conductor").band_text(200.0, "aluminum")
    assert (other.text, str(other.origin)) == ("4", "Table 250.122, not over 200 A, aluminum")
    assert "200 A needs 4 AWG" in opened.evaluation.by_id["equipment-grounding-conductor-size:F0"].judgement.message


def test_labels_are_marked_as_the_utility_asks(tmp_path):
    opened = open_project(house(tmp_path, "b03_whole_home", TARN))
    plain = label_set_of(open_project(HOUSES["b03_whole_home"]).evaluation)
    assert "utility-ac-disconnect" not in {label.id for label in plain.labels}
    labels = [label for label in label_set_of(opened.evaluation).labels if label.id == "utility-ac-disconnect"]
    assert labels
    for label in labels:
        lines = [line for panel in label.panels for line in panel.lines]
        assert all(line.binding_height_in >= 0.5 for line in lines)
        assert {(panel.text_color, panel.background) for panel in label.panels} == {("safety_black", "safety_yellow")}
        assert lines[-1].text == "CALL THE DISPATCHER BEFORE CLOSING"
        assert "reflective film" in label.material_note
        assert label.material_note.endswith("; marked as Tarn Light and Power Standard 6 asks")
    (line,) = (line for line in plan_set_of(opened).cover.codes if "Tarn Light" in line)
    assert "note: The utility witnesses the first closing of the disconnect." in line


def test_a_height_that_the_code_fixes_is_never_made_smaller(tmp_path):
    """110.24 fixes no height; 690.12(D) fixes 3/8 in for the title of the switch label (from memory)."""
    small = HEAD + "marks: [{labels: [rapid-shutdown-switch], least_letters_in: 0.1}]\n"
    heights = [
        [line.binding_height_in for label in found.labels if label.id == "rapid-shutdown-switch" for p in label.panels for line in p.lines]
        for found in (
            label_set_of(open_project(house(tmp_path, "b03_whole_home", small)).evaluation),
            label_set_of(open_project(HOUSES["b03_whole_home"]).evaluation),
        )
    ]
    assert heights[1]
    assert all(marked >= (plain or 0.1) for marked, plain in zip(*heights, strict=True))


def test_a_struck_label_is_left_out_with_its_paper(tmp_path):
    head = "ordinance: {name: Rule 1, number: 7, date: 2026-01-01, copy: ordinance.pdf}\n"
    struck = "labels: {struck: service-disconnect}\n"
    found = label_set_of(open_project(house(tmp_path, "b03_whole_home", head + struck)).evaluation)
    assert "service-disconnect" not in {label.id for label in found.labels}
    assert [(note.id, note.why) for note in found.left_out] == [("service-disconnect", "struck by Rule 1")]
    with pytest.raises(ProblemsError, match="it strikes service-disconnect, so that its number and copy must be stated"):
        open_project(house(tmp_path, "b03_whole_home", HEAD + struck))


def test_what_an_ordinance_relaxes_shows_in_the_sizes_that_it_let_the_program_choose(tmp_path):
    """Behind 40 A and 50 A stands a 10 AWG copper grounding conductor (Table 250.122); a town that reads 14 AWG there must say so."""
    rule = 'tables: {equipment_grounding_conductor: {2023: [{row: not over 60 A, column: copper, value: "14"}]}}\n'
    with pytest.raises(ProblemsError, match=r"it relaxes equipment-grounding-conductor-size:C3, .* number and copy must be stated"):
        open_project(house(tmp_path, "b03_whole_home", HEAD + rule))


@pytest.mark.parametrize(
    ("rest", "message"),
    [
        ('adds: {"3": {says: x, of: batery, not_in: [basement]}}', 'rule-0.yaml:2:27: adds.3.of: no kind of equipment is called "batery"'),
        ('adds: {"3": {says: x, of: energy storage system, from: gas metre, at_least_ft: 3}}', 'did you mean "gas meter"?'),
        ('adds: {"3": {says: x, of: energy storage system, not_in: [basment]}}', 'did you mean "basement"?'),
        ('adds: {"3": {says: x, of: energy storage system, from: gas meter}}', "at_least_ft is missing"),
        ('adds: {"3": {says: x, of: energy storage system, from: gas meter, at_least_ft: 0}}', '"0" is not a number above zero'),
        (
            'adds: {"3": {says: x, of: generator}}',
            "expected a requirement that says one of: from, not_in, pathways_on_each_roof_plane, roof_edges",
        ),
        ('adds: {"3": {says: x, roof_edges: [hips], from_roof_edge_in: 18}}', 'did you mean "hip"?'),
        ('adds: {"3": {says: x, roof_edges: [hip]}}', "from_roof_edge_in is missing"),
        ('adds: {"3": {says: x, of: generator, from: tree, at_least: 3}}', 'not read here; did you mean "at_least_ft"?'),
        ("adds: {}", "rule-0.yaml:2:1: adds: expected names with what each is"),
        ("tables: {conductor_ampacty: {2023: [{row: a, column: b, value: 1}]}}", 'did you mean "conductor_ampacity"?'),
        ('tables: {conductor_ampacity: {2023: [{row: "13", column: copper_75c, value: 1}]}}', 'has no row "13"'),
        ('tables: {conductor_ampacity: {2023: [{row: "12", column: copper_75, value: 1}]}}', 'did you mean "copper_75c"?'),
        ('tables: {conductor_ampacity: {2023: [{row: "18", column: copper_75c, value: 1}]}}', "the table leaves this cell blank"),
        ('tables: {conductor_ampacity: {2023: [{row: "12", column: copper_75c, value: many}]}}', '"many" is not a number; the cell is 25'),
        ("factors: {service-capasity: {computed: 1.25}}", 'did you mean "service-capacity"?'),
        ("factors: {service-capacity: {computed: 0}}", '"0" is not a number above zero'),
        ("factors: {panel-directory: {computed: 1.25}}", "no verdict of panel-directory compares a number here"),
        ("labels: {required: [pv-disconect]}", 'did you mean "pv-disconnect"?'),
        ("marks: [{labels: [pv-disconnect], colors: white on mauve}]", 'no color is called "mauve"'),
        ("marks: [{labels: [pv-disconnect], material: gold}]", 'no material is called "gold"'),
        ("marks: [{labels: [pv-disconnect]}]", "expected labels, and what is asked of them"),
        ("marks: [{labels: [pv-disconnect], words: ['{volts}']}]", "braces are not"),
        ("notes: []", "expected one text or a list of them"),
        ("adss: {}", 'did you mean "adds"?'),
    ],
)
def test_what_means_nothing_is_refused_with_its_place(rest, message, tmp_path):
    with pytest.raises(ProblemsError) as caught:
        open_project(house(tmp_path, "b03_whole_home", f"{HEAD}{rest}\n"))
    assert message in str(caught.value)


def amperes(number):
    return Value(number, "a", Assumed("tried"))


def factor(number):
    ordinance = HEAD + f"factors: {{service-capacity: {{computed: {number}}}}}\n"
    return CodeBook("2023", [read_amendment(ordinance.encode(), "rule.yaml")]).factors("service-capacity")


def at_most(computed, limit):
    return require_at_most("load", computed=amperes(computed), limit=amperes(limit))


@pytest.mark.parametrize(
    ("judgement", "verdict"),
    [
        (at_most(80, 100), Verdict.PASSES),  # 1.25 x 80 = 100
        (at_most(80.1, 100), Verdict.VIOLATED),
        (at_most(120, 100), Verdict.VIOLATED),
        (require_at_least("rating", computed=amperes(80), limit=amperes(100)), Verdict.PASSES),
        (any_of("one way", [at_most(90, 100), at_most(70, 100)]), Verdict.PASSES),
        (any_of("one way", [at_most(90, 100), at_most(170, 100)]), Verdict.VIOLATED),
        (all_of("every part", [at_most(90, 100), at_most(70, 100)]), Verdict.VIOLATED),
        (all_of("every part", [at_most(60, 100), any_of("one way", [at_most(90, 100), at_most(70, 100)])]), Verdict.PASSES),
        (does_not_apply("nothing here"), Verdict.DOES_NOT_APPLY),
        (replace(at_most(120, 100), verdict=Verdict.PASSES), Verdict.NOT_JUDGED),  # passes for a reason that no factor reaches
    ],
)
def test_a_factor_multiplies_what_is_compared(judgement, verdict):
    assert with_factors(judgement, *factor(1.25)).verdict is verdict


def test_the_sizes_follow_a_factor():
    """C4 takes 8 AWG, 50 A at 75 °C for 50 A required; at 1.2 times that 60 A, which 6 AWG carries with 65 A (Table 310.16)."""
    opened = open_project(HOUSES["b03_whole_home"])
    ordinance = read_amendment((HEAD + "factors: {conductor-ampacity: {limit: 1.2}}\n").encode(), "rule.yaml")
    book = CodeBook("2023", [ordinance], opened.code.fire_code.value)
    sizes = {s.tag: s.chosen for s in evaluate(opened.loaded.system, book, with_suggestions=False).sizings if s.what == "conductor"}
    plain = {s.tag: s.chosen for s in opened.evaluation.sizings if s.what == "conductor"}
    assert (plain["C4"], sizes["C4"]) == ("8 AWG", "6 AWG")
