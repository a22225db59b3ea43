"""Missing facts as questions: each fact in one question, each question with who knows; a first draft asks few of them.

Who knows what: common practice, no published source.
"""

import ast
import copy
import json
import re
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.directories import read_directories
from permitgen.project.load import build_project
from permitgen.project.schema import sections
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.system.equipment.kinds import KINDS
from permitgen.views.findings import findings_of
from permitgen.views.question_spec import OTHER, WHO_KNOWS, row_of, rows
from permitgen.views.questions import questions_of
from tests.cli.in_process import run

ROOT = Path(__file__).resolve().parents[2]
MISTAKES = "demo_project/with_mistakes.yaml"
TOPOLOGIES = sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))
MOST_QUESTIONS = 15

# What a nameplate says, and what makes the file a file: what is there and how it is joined (common practice, no published source).
NAMEPLATE = frozenset(
    {
        "kind",
        "name",
        "catalog",
        "status",
        "module",
        "module_inverter",
        "modules",
        "strings",
        "branches",
        "output",
        "output_power",
        "output_voltage",
        "ac_voltage",
        "voltage",
        "busbar",
        "main",
        "rating",
        "poles",
        "spaces",
        "directory",
        "energy",
        "chemistry",
        "coupling",
        "nominal_voltage",
        "maximum_voltage",
        "power",
        "functions",
        "short_circuit_rating",
        "electrodes",
        "role",
        "listed_as",
        "positions",
        "autotransformer",
        "contactor_rating",
        "contactor_poles",
        "charge_current",
        "enclosure_type",
        "ports",
        "shuts_down",
        "also_stops",
        "generator",
        "current",
        "transfer_relay",
    }
)
OF_SECTION = {"raceways": {"kind"}, "loads": {"name", "panel", "category", "power", "current", "leg"}}


def _draft(data):
    """The project with what nameplates say and the circuits that join them: no place, distance, listing, terminal, plan or climate."""
    draft = copy.deepcopy(data)
    for item in draft["equipment"].values():
        for key in set(item) - NAMEPLATE - {"terminals"}:
            del item[key]
        for name, terminal in dict(item.get("terminals", {})).items():
            if isinstance(terminal, dict):
                item["terminals"][name] = {key: value for key, value in terminal.items() if key in {"accepts", "relay"}}
    for section, keys in OF_SECTION.items():
        for item in draft.get(section, {}).values():
            for key in set(item) - keys:
                del item[key]
    draft["site"] = {"dwelling": draft["site"]["dwelling"]}
    return draft


def _questions(path, change):
    file = read_directories(read_yaml_file(path))[0]
    system = build_project(ReadFile(file.file, file.text, change(file.data), file.positions), path.parent).system
    evaluation = evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)
    findings = findings_of(evaluation)
    return findings, questions_of(findings, evaluation.system)


@pytest.mark.sample(every=8)
@pytest.mark.parametrize("path", TOPOLOGIES, ids=lambda path: path.stem)
def test_a_first_draft_asks_few_questions_and_loses_no_fact(path):
    findings, questions = _questions(path, _draft)
    missing = {fact for finding in findings if finding.verdict == "not judged" for fact in finding.missing}
    assert len(missing) > MOST_QUESTIONS
    assert len(questions) <= MOST_QUESTIONS, [question.words for question in questions]
    asked = [fact.asked for question in questions for fact in question.facts]
    assert len(asked) == len(set(asked))
    assert set(asked) == missing


def test_the_counts_are_those_of_the_findings():
    findings, questions = _questions(TOPOLOGIES[1], _draft)
    waiting = {finding.id: set(finding.missing) for finding in findings if finding.verdict == "not judged" and finding.missing}
    for question in questions:
        facts = {fact.asked for fact in question.facts}
        assert question.opens == sum(missing <= facts for missing in waiting.values())
        assert question.among == sum(bool(missing & facts) and not missing <= facts for missing in waiting.values())
        for fact in question.facts:
            assert fact.opens == sum(missing == {fact.asked} for missing in waiting.values())
            assert fact.among == sum(fact.asked in missing and len(missing) > 1 for missing in waiting.values())


def test_an_answer_opens_as_many_verdicts_as_its_question_says():
    """The meter socket of the demo with mistakes: whether it is listed opens nothing alone, with its rating one verdict (230.66(B))."""
    found = json.loads(run("check", MISTAKES, "--format", "json").stdout)
    fact = next(f for q in found["questions"] for f in q["facts"] if f["key"] == "equipment.MTR.socket_listed")
    assert (fact["opens"], fact["among"]) == (0, 1)
    lines = (ROOT / MISTAKES).read_text("utf-8").splitlines()
    assert lines[fact["source"]["line"] - 2] == "  MTR:"  # a thing stands where its first key does


# What a rule words from its parts, beside those below: an example of each.
WORDED = {
    "{} of {}": ("current at maximum power of 400 W module", "short-circuit current of 400 W module", "voltage of SD1"),
    "{} ({})": ("distance of ESS1 to the nearest door or window (openings of the south wall)",),
    "{} {}": ("measured load of MSP by a record that is long enough", "measured demand by a record that is long enough"),
    "distance of {} {}": ("distance of R1 over the flat roof", "distance of R1 over driveway", "distance of R1 from the nearest opening"),
    "distance of {} to the nearest {}{}": ("distance of ESS1 to the nearest gas meter (place on the plan of MTR)",),
    "whether metal {} piping is bonded ({})": ("whether metal water piping is bonded (GES)", "whether metal gas piping is bonded (GES)"),
}
ASKED_IN = {"stated": 1, "need": 1, "not_judged": 0, "MissingFactError": 0, "either_way": 1}


def test_every_question_of_a_rule_says_who_knows():
    asked = {text for folder in ("rules", "system") for path in (ROOT / "permitgen" / folder).rglob("*.py") for text in _asked_in(path)}
    assert len(asked) > 300
    examples = [example for text in asked for example in WORDED.get(text, (text.replace("{}", "X1"),))]
    assert [text for text in examples if row_of(text) is None] == []


def _asked_in(path):
    """Yield the words of every question in a module, ``{}`` for what is filled in; words that come from elsewhere are found there."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            name = ast.unparse(node.func).rpartition(".")[2]
            words = node.args[ASKED_IN[name] :] if name in ASKED_IN else []
            for word in (*words, *(keyword.value for keyword in node.keywords if keyword.arg == "missing")):
                for part in (word.body, word.orelse) if isinstance(word, ast.IfExp) else (word,):
                    if isinstance(part, ast.Constant) and isinstance(part.value, str) and part.value:
                        yield part.value
                    elif isinstance(part, ast.JoinedStr):
                        yield "".join(each.value if isinstance(each, ast.Constant) else "{}" for each in part.values)


@pytest.mark.parametrize(
    ("asked", "tag"),
    [
        ("kind of space of ESS1 (garage, utility closet, outside wall …)", "ESS1"),
        ("space in which MSP.2 stands", "MSP.2"),
        ("category of K-1", "K-1"),
        ("category of K1, which is counted", "K1"),
        ("distance of ESS1 to the nearest door or window (openings of the south wall)", "ESS1"),
        ("open-circuit voltage of 400 W module", "400 W module"),
    ],
)
def test_a_question_names_its_thing_whole(asked, tag):
    assert row_of(asked)[1] == tag


def test_rows_are_sound():
    keys = {field.alias or name for model in sections() for name, field in model.model_fields.items()}
    kinds = {"utility_service"}
    for row in rows():
        assert row.knows in WHO_KNOWS, row.asked
        for kind, key in row.keys.items():
            assert kind in (OTHER, "load") or kind in KINDS
            steps = {step for wall in ("top", "left") for step in re.split(r"[./]", key.removeprefix("^").replace("{faces}", wall))}
            assert steps - {"", "…"} <= keys | kinds, key
    assert len({row.asked for row in rows()}) == len(rows())


def test_all_lists_every_fact_and_not_judged_findings_stay_in_json():
    plain = run("check", MISTAKES).stdout
    full = run("check", MISTAKES, "--all").stdout
    found = json.loads(run("check", MISTAKES, "--format", "json").stdout)
    open_ = [finding for finding in found["findings"] if finding["verdict"] == "not judged"]
    assert len(open_) == 20
    for question in found["questions"]:
        for fact in question["facts"]:
            assert fact["asked"] in full
    assert "NOT CHECKED meter-socket" in full
    assert "NOT CHECKED meter-socket" not in plain
    assert plain.splitlines()[-3:] == full.splitlines()[-3:]
