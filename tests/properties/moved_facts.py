"""Moves one fact of a project to a side of a limit and tells which rules are violated then; what a row of the table means.

Entries are those of a section of the file (``equipment`` with what its catalog describes); ``row_entries.py`` says where keys lead.
"""

import ast
import copy
import operator
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.run_rule import run_rule
from permitgen.evaluation.unread_edition import sized_by_last_read
from permitgen.project.directories import read_directories
from permitgen.project.load import build_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import ReadFile, read_text
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.rules.subjects import subjects_of, tag_of
from tests.properties import figures
from tests.properties.figures import NUMBER, NoFactError
from tests.properties.row_entries import Entry, stated_at, tags_in
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
PROJECTS = {
    "demo": ROOT / "demo_project" / "project.yaml",
    **{path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("*.yaml"))},
}
TABLE = yaml.load((Path(__file__).with_name("just_beyond_just_within.yaml")).read_text("utf-8"), yaml.CSafeLoader)
ROWS = TABLE["rows"]
COVERAGE = yaml.load((ROOT / "docs" / "demand_coverage.yaml").read_text("utf-8"), yaml.CSafeLoader)["coverage"]
STEP = 0.01
"""How far beyond a limit a fact is moved where a row does not say: a part of the limit."""
OPERATIONS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv}


@cache
def project_file(name):
    """Return a project with the devices of its directories at their circuits, where the rows look for them."""
    file, _, problems = read_directories(read_text(whole_text(PROJECTS[name]), PROJECTS[name].as_posix()))
    assert not problems
    return file


@cache
def book(edition, fire_code):
    return CodeBook(edition, fire_code=fire_code)


@dataclass(frozen=True)
class Case:
    """One row of the table at one entry of one project; ``path`` is the key that is moved, ``other`` what is set beside it."""

    number: int
    project: str
    path: tuple
    beyond: object
    within: object
    edition: str

    @property
    def row(self):
        return ROWS[self.number]

    def __str__(self):
        return f"{self.row['demand']} {self.project} {'.'.join(map(str, self.path))} {self.edition}"


def _calls_for(entry, where):
    """Whether an entry is as a row asks: a text, one of several, ``present``, ``absent``, or a list that has it."""
    for key, asked in (where or {}).items():
        found, wanted = entry.get(key), asked
        if wanted in ("present", "absent"):
            if (found is not None) != (wanted == "present"):
                return False
            continue
        wanted = wanted if isinstance(wanted, list) else [wanted]
        held = found if isinstance(found, list) else [found]
        if not {str(each) for each in wanted} & {str(each) for each in held}:
            return False
    return True


def _number(node):
    if isinstance(node, ast.Expression):
        return _number(node.body)
    if isinstance(node, ast.BinOp):
        return OPERATIONS[type(node.op)](_number(node.left), _number(node.right))
    if isinstance(node, ast.UnaryOp):
        return -_number(node.operand)
    return float(node.value)


def limit_of(text, entry):
    """Return the limit of a row, or its step, at an entry as number and unit.

    Raises:
        NoFactError: a fact in it is not stated.
    """

    def stated(found):
        value = figures.of(entry, found[1], TABLE["tables"])
        number = NUMBER.search(str(value)) if value is not None else None
        if number is None:
            raise NoFactError(found[1])
        return f"({number[0]})"

    expression, unit = re.fullmatch(r"(.*?)\s*([a-zA-Z°Ω%²³]*)", str(text)).groups()
    expression = re.sub(r"\{([^}]+)\}", stated, expression)
    return _number(ast.parse(expression.strip(), mode="eval")), unit


def values_of(row, entry):
    """Return the text just beyond and the text just within."""
    if "pairs" in row:
        by = entry.get(row["pairs"]["by"])
        found = row["pairs"]["rows"].get(by)
        if found is None:
            raise NoFactError(row["pairs"]["by"])
        return tuple(map(as_text, found))
    if "values" in row:
        return tuple(map(as_text, row["values"]))
    limit, unit = limit_of(row["limit"], entry)
    step = limit_of(row["step"], entry)[0] if "step" in row else abs(limit) * STEP
    away = step if row["beyond"] == "more" else -step
    beyond, within = (limit, limit - away) if row.get("equality") == "beyond" else (limit + away, limit)
    return tuple(f"{number:.12g} {unit}".strip() for number in (beyond, within))


@cache
def cases():
    """Return every case of the table, in the order of the rows."""
    return [case for number, row in enumerate(ROWS) for name in PROJECTS for case in _cases_in(number, row, name)]


def _cases_in(number, row, name):
    data = project_file(name).data
    entries = [Entry(data, row["at"], tag) for tag in data.get(row["at"], {})]
    entries = [entry for entry in entries if _is_of(entry, row)] if _is_tried_in(name, row) else []
    if "only_one" in row and (len(entries) == 1) is not row["only_one"]:
        return
    for entry in entries:
        paths = entry.paths(row["key"]) if _calls_for(entry, row.get("where")) else ()
        for path in paths:
            if not row.get("write") and stated_at(data, path) is None:
                continue
            try:
                beyond, within = values_of(row, entry)
            except NoFactError:
                continue
            for edition in row.get("editions", [2023]):
                yield Case(number, name, (entry.tag, *path), beyond, within, str(edition))


def _is_tried_in(name, row):
    return name not in row.get("not_in", ()) and name in row.get("only_in", PROJECTS)


def _is_of(entry, row):
    return "kind" not in row or entry.get("kind") in row["kind"]


def rules_of(row):
    """Return the rules among which a finding has to be: those that answer the demand, or the one that the row names of them."""
    listed = COVERAGE[row["demand"]]["rules"]
    return [row["rule"]] if "rule" in row else list(listed)


def as_text(value):
    """Return what a row says as a file says it: texts, and lists and mappings of them; None stays."""
    if isinstance(value, dict):
        return {str(key): as_text(each) for key, each in value.items()}
    if isinstance(value, list):
        return [as_text(each) for each in value]
    return value if value is None else {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def _put(data, path, value):
    """Write a value at a path; what the catalog says above it is written out first, so that nothing else of it changes."""
    if path[0] == "equipment" and len(path) > 3 and path[2] not in data["equipment"][path[1]]:
        described = Entry(data, "equipment", path[1]).get(path[2])
        data["equipment"][path[1]][path[2]] = copy.deepcopy(described) if isinstance(described, dict) else {}
    tree = data
    for step in path[:-1]:
        if not isinstance(tree.get(step), dict):
            tree[step] = {}
        tree = tree[step]
    if value is None:
        tree.pop(path[-1], None)
    else:
        tree[path[-1]] = value


def moved(case, value):
    """Return the project with the fact of a case as ``value``; with None only what the row sets beside it."""
    data = copy.deepcopy(project_file(case.project).data)
    tag = case.path[0]
    for key, other in (case.row.get("set") or {}).items():
        for path in list(Entry(data, case.row["at"], tag).paths(key)):
            catalog = data.get("catalog", {}).get(data.get(path[0], {}).get(path[1], {}).get("catalog"), {}) if len(path) > 2 else {}
            if other is None and len(path) > 2 and path[2] in catalog:
                data["catalog"] = {**data["catalog"]}
                name = data[path[0]][path[1]].pop("catalog")
                data[path[0]][path[1]] = {**copy.deepcopy(data["catalog"][name]), **data[path[0]][path[1]]}
            _put(data, path, as_text(other))
    if value is not None:
        _put(data, case.path[1:], copy.deepcopy(value))
    return data


def doubled(case, *, worse_first):
    """Return the project with a second entry beside the one of a case, before or behind it in the file, that differs by the fact beyond.

    Equipment comes with circuits of its own to where those of the first lead, a run stands beside the first on each of its ways. None
    where the fact lies in another entry, which has no second.
    """
    tag, section = case.path[0], case.row["at"]
    if case.path[1:3] != (section, tag):
        return None
    data = moved(case, case.within)
    second = f"{tag}x"
    _beside(data[section], tag, second, moved(case, case.beyond)[section][tag], worse_first)
    if section == "equipment":
        _connect(data, tag, second, worse_first)
    if section == "circuits":
        data[section][second] = {**data[section][second], **_own_ends(data, data[section][second], "", "")}
    if section == "raceways":
        _run_beside(data, tag, second, worse_first)
    return data


def _connect(data, tag, second, first):
    """Give a second piece of equipment circuits like those of the first."""
    for name, circuit in list(data.get("circuits", {}).items()):
        if tag in (circuit[key].partition(".")[0] for key in ("from", "to")):
            _beside(data["circuits"], name, f"{name}x", {**copy.deepcopy(circuit), **_own_ends(data, circuit, tag, second)}, first)


def _run_beside(data, tag, second, first):
    """Lay a second run beside the first on each way of it, of power and of control, and in the set of parallel conductors that it holds."""
    for circuit in (*data["circuits"].values(), *data.get("control", {}).values()):
        if "runs" in circuit:
            circuit["runs"] = _with_second(circuit["runs"], tag, second, first)
        for name, runs in circuit.get("parallel", {}).items():
            circuit["parallel"][name] = _with_second(runs, tag, second, first)


def _with_second(runs, tag, second, first):
    tags = tags_in(runs)
    if tag not in tags:
        return runs
    place = tags.index(tag)
    return [*tags[:place], *([second, tag] if first else [tag, second]), *tags[place + 1 :]]


def _beside(section, tag, second, entry, first):
    """Put a second entry directly before or behind the first."""
    entries = list(section.items())
    place = list(section).index(tag) + (0 if first else 1)
    section.clear()
    section.update([*entries[:place], (second, entry), *entries[place:]])


def _own_ends(data, circuit, tag, second):
    """Return where a second circuit ends: at the second equipment, else on a space of its own that nobody names."""
    ends = {}
    for key in ("from", "to"):
        at, _, terminal = circuit[key].partition(".")
        terminals = Entry(data, "equipment", at).get("terminals") or {}
        is_one_device = terminal.isdecimal() or "accepts" in terminals.get(terminal, {})
        ends[key] = circuit[key].replace(at, second, 1) if at == tag else at if is_one_device else circuit[key]
    return ends


def judged(case, value):
    """Return verdicts by rule and subject of the rules concerned, with the fact of a case as ``value``."""
    return judged_data(case, moved(case, value))


def judged_data(case, data):
    """Return verdicts by rule and subject of the rules concerned; the message of the reader where the file is refused."""
    file = project_file(case.project)
    try:
        read = ReadFile(file.file, file.text, data, file.positions)
        loaded = build_project(read, PROJECTS[case.project].parent, edition=case.edition)
    except ProblemsError as refused:
        return {"refused": str(refused)}
    given, _ = sized_by_last_read(loaded.system, book(case.edition, loaded.system.jurisdiction.fire_code))
    wanted = set(rules_of(case.row))
    verdicts = {
        (rule.id, tag_of(subject)): run_rule(rule, subject, given).verdict
        for rule in all_rules()
        if rule.id in wanted
        for subject in subjects_of(given, rule.judges)
    }
    if case.row.get("caution"):
        return {key: Verdict.VIOLATED if verdict is Verdict.CAUTION else verdict for key, verdict in verdicts.items()}
    return verdicts


def violated(verdicts):
    return {key for key, verdict in verdicts.items() if verdict is Verdict.VIOLATED}
