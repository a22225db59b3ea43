"""Every demand of docs/demands.yaml has its answer, or the reason why it has none, in docs/demand_coverage.yaml; nothing there is stale.

``python tests/house/test_demands_are_answered.py`` prints what no rule answers, and what is answered in part, sorted by kind of thing.
"""

import re
from collections import Counter
from functools import cache
from pathlib import Path

import yaml

from permitgen.rules.rule import all_rules
from permitgen.views.plan_sheets import SHEETS

ROOT = Path(__file__).resolve().parents[2]
FILE = ROOT / "docs" / "demand_coverage.yaml"
DOCUMENT = yaml.load(FILE.read_text(encoding="utf-8"), yaml.CSafeLoader)
COVERAGE = DOCUMENT["coverage"]
DEMANDS = yaml.load((ROOT / "docs" / "demands.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)["demands"]
KIND_OF = {demand["id"]: kind for kind, demands in DEMANDS.items() for demand in demands}

RULES = {rule.id for rule in all_rules()}
LABELS = {path.stem for path in (ROOT / "label_specs").glob("*.yaml") if not path.stem.startswith("_")}
ANSWERS = ("rules", "labels", "checklist", "drawn")
MISSING = "missing rule"
REASONS = {MISSING, "inspection only", "not in the model", "outside the program (listing)", "no numeric demand"}


@cache
def checklist_source():
    """Return the text of the modules that write the field checklist."""
    return "\n".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "permitgen" / "views" / "checklist").glob("*.py")))


def is_checklist_line(name):
    """Whether some line's id begins with ``name``; lines on wiring are also written by their name in words."""
    head, _, rest = name.partition(":")
    in_words = f'"{rest.replace("-", " ")}"'
    literal = re.search(rf'"{re.escape(name)}[:"]', checklist_source())
    return bool(literal) or (head == "wiring" and bool(rest) and in_words in checklist_source().casefold())


EXISTS = {
    "rules": RULES.__contains__,
    "labels": LABELS.__contains__,
    "checklist": is_checklist_line,
    "drawn": SHEETS.__contains__,
}


def named(answer):
    """Return every rule, label, line or sheet that the entries name as ``answer``, with the demand it answers."""
    return [(name, demand) for demand, entry in COVERAGE.items() for name in entry.get(answer, ())]


def kinds_with(holds):
    """Count by kind the demands whose entry ``holds``, without the kinds that have none."""
    return dict(Counter(KIND_OF[demand] for demand, entry in COVERAGE.items() if holds(entry)))


def is_missing(entry):
    return entry.get("none") == MISSING


def is_partly_answered(entry):
    return "partly" in entry


def is_text(value):
    return isinstance(value, str) and bool(value.strip())


def well_formed(entry):
    """An entry names answers, perhaps with what they lack, or says why there is none; a missing rule tells what passes unseen."""
    if "none" in entry:
        has_note = is_text(entry.get("note")) if is_missing(entry) or "note" in entry else True
        return set(entry) <= {"none", "note"} and entry["none"] in REASONS and has_note
    answers = [entry[answer] for answer in ANSWERS if answer in entry]
    lists = all(isinstance(names, list) and names and len(set(names)) == len(names) for names in answers)
    return bool(answers) and lists and set(entry) <= {*ANSWERS, "partly"} and is_text(entry.get("partly", "nothing"))


def test_every_demand_has_an_entry_and_no_entry_is_stale():
    assert list(COVERAGE) == list(KIND_OF), "entries stand in the order of the demands"


def test_no_entry_is_written_twice():
    keys = re.findall(r"^  ([a-z]+\.[a-z0-9-]+):", FILE.read_text(encoding="utf-8"), re.MULTILINE)
    assert not [key for key, times in Counter(keys).items() if times > 1]
    assert len(keys) == len(COVERAGE)


def test_entries_are_well_formed():
    assert not [demand for demand, entry in COVERAGE.items() if not well_formed(entry)]


def test_every_answer_exists():
    unknown = {answer: [pair for pair in named(answer) if not exists(pair[0])] for answer, exists in EXISTS.items()}
    assert not any(unknown.values()), unknown


def test_unknown_answers_would_be_found():
    """A slip of the pen in the file is not taken for an answer."""
    for answer, exists in EXISTS.items():
        assert not exists("no-such-thing"), answer
    assert not is_checklist_line("wiring:no-such-thing")
    assert not is_checklist_line("wiring:")


def test_every_rule_answers_a_demand_or_says_why_not():
    answering = {name for name, _ in named("rules")}
    excused = DOCUMENT["rules_without_demand"]
    assert not RULES - answering - set(excused), "map these rules to demands, or give a reason under rules_without_demand"
    assert not set(excused) & answering
    assert not set(excused) - RULES
    assert all(map(is_text, excused.values()))


def test_every_label_answers_a_demand_or_says_why_not():
    answering = {name for name, _ in named("labels")}
    excused = DOCUMENT["labels_without_demand"]
    assert not LABELS - answering - set(excused), "map these labels to demands, or give a reason under labels_without_demand"
    assert not set(excused) & answering
    assert not set(excused) - LABELS
    assert all(map(is_text, excused.values()))


def test_gaps_are_as_many_as_the_file_says():
    assert kinds_with(is_missing) == DOCUMENT["missing_rules"], f"what no rule answers:\n{gaps(is_missing)}"
    assert kinds_with(is_partly_answered) == DOCUMENT["partly_answered"], f"what is answered in part:\n{gaps(is_partly_answered)}"


def test_lines_are_short():
    assert max(map(len, FILE.read_text(encoding="utf-8").splitlines())) <= 140


def gaps(holds):
    """Return the entries that hold as lines of text, under their kinds with their numbers."""
    lines = []
    for kind, number in kinds_with(holds).items():
        lines.append(f"{kind} ({number})")
        of_kind = [(demand, entry) for demand, entry in COVERAGE.items() if KIND_OF[demand] == kind and holds(entry)]
        lines += [f"  {demand}: {entry.get('partly') or entry['note']}" for demand, entry in of_kind]
    return "\n".join(lines)


if __name__ == "__main__":
    for title, holds in (("MISSING RULE", is_missing), ("ANSWERED IN PART", is_partly_answered)):
        print(f"{title}: {sum(kinds_with(holds).values())}\n{gaps(holds)}\n")  # noqa: T201
