"""``findings.json`` loses nothing: written out by the six sentences of docs/findings.md it is what ``check --format json`` prints."""

import json

from permitgen.documents.findings_json import findings_json
from permitgen.package.asked_job import asked_of
from permitgen.package.standing import findings_of_states, standing_of_project
from permitgen.views.questions import questions_of
from permitgen.views.title import title_of
from tests.documents.drawn import files_of

LISTS = ("methods", "missing", "suggestion", "places", "derivation", "near_limit", "whatever", "amended")
OF_FINDING = ("verdict", "message", "computed", "relation", "limit")


def written_out(file):
    return [finding for group in file["rules"] for finding in map(lambda row, group=group: _finding(file, group, row), group["findings"])]


def _finding(file, group, row):
    found = {**group["most"], **row, "state": group["state"], "rule": group["rule"]}
    found |= file["subjects"][found.pop("of")]
    found.setdefault("id", f"{found['rule']}:{found['subject']}")
    found["message"] = found["message"].replace("{subject}", found["subject"])
    found |= {key: found.get(key) or [] for key in LISTS}
    found["places"] = [file["places"][number] for number in found["places"]]
    found["derivation"] = [file["steps"][number] for number in found["derivation"]]
    found["methods"] = [_method(method, found) for method in found["methods"]]
    return found


def _method(method, finding):
    told = {**{key: finding.get(key) or "" for key in OF_FINDING}, **method}
    return {**told, "comparison": told.get("comparison", told["message"])}


def _flat(opened):
    findings = findings_of_states(opened, with_inapplicable=True)
    gates = standing_of_project(opened).gates
    questions = questions_of(findings, opened.evaluation.system)
    return json.loads(findings_json(findings, questions, gates, title_of(opened.evaluation), opened.fingerprint, asked_of(opened)))


def _named_inside(tree):
    """The same with files named as a package names them: without the folders that somebody typed."""
    if isinstance(tree, list):
        return [_named_inside(each) for each in tree]
    if not isinstance(tree, dict):
        return tree
    return {key: value.rpartition("/")[2] if key == "file" and value else _named_inside(value) for key, value in tree.items()}


def _by_rule(findings):
    """In the order of the file: rules as they are met first."""
    groups = {}
    for finding in findings:
        groups.setdefault((finding["state"], finding["rule"]), []).append(finding)
    return [finding for group in groups.values() for finding in group]


def test_written_out_it_is_what_check_prints(projects):
    for name, opened in projects.items():
        file = json.loads(files_of(opened, "findings")["findings.json"])
        flat = _named_inside(_flat(opened))
        found = written_out(file)
        keys = flat["findings"][0].keys()
        assert [{key: each.get(key) for key in keys} for each in found] == _by_rule(flat["findings"]), name
        assert all(each.keys() <= keys for each in found)
        assert {key: file[key] for key in flat if key != "findings"} == {key: value for key, value in flat.items() if key != "findings"}


def test_the_demo_stays_small(demo):
    assert len(files_of(demo, "findings")["findings.json"]) < 300_000
