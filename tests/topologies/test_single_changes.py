"""Passing projects with one thing changed: what a plan reviewer has to find is found, and what is harmless finds nothing new.

``single_changes/`` holds the changes, a file for each project; its README says how one is written. The expectations were reasoned from
the sections named beside them, by somebody who had not read the rules; none comes from a run. Where the program answers otherwise today,
``open`` says what it answers: such a change fails here as soon as the program gets it right, until ``open`` is struck.
"""

from __future__ import annotations

import copy
import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.rules.judgement import Verdict
from tests.whole_project import whole_text

HERE = Path(__file__).parent
REPOSITORY = HERE.parents[1]
FOLDER = HERE / "single_changes"
USUAL_EDITION = "2023"
WORSE = {Verdict.PASSES: 0, Verdict.DOES_NOT_APPLY: 0, Verdict.CAUTION: 1, Verdict.NOT_JUDGED: 2, Verdict.VIOLATED: 3}
MUST = {"violated": Verdict.VIOLATED, "not judged": Verdict.NOT_JUDGED}
LEAST_TO_BE_FOUND = 250
LEAST_HARMLESS = 100


def read(path: Path) -> dict[str, Any]:
    """Return a project file, or a file of changes, as text of scalars, as the program reads it."""
    data = yaml.load(whole_text(path), Loader=yaml.CBaseLoader)
    assert isinstance(data, dict)
    return data


def all_changes() -> list[tuple[str, dict[str, Any]]]:
    """Return every change with the path of its project, in the order of the files."""
    files = [read(path) for path in sorted(FOLDER.glob("*.yaml"))]
    return [(file["base"], change) for file in files for change in file["changes"]]


def _parent(data: Any, path: str) -> tuple[Any, Any]:
    """Return what holds the last step of ``path`` and that step; steps are keys, or numbers of a list."""
    *steps, last = path.split(".")
    for step in steps:
        data = data[int(step)] if isinstance(data, list) else data.setdefault(step, {})
    return data, int(last) if isinstance(data, list) else last


def _renamed(value: Any, names: dict[str, str]) -> Any:
    """Return ``value`` with tags written otherwise, as whole words of keys and texts."""
    if isinstance(value, dict):
        return {_renamed(key, names): _renamed(part, names) for key, part in value.items()}
    if isinstance(value, list):
        return [_renamed(part, names) for part in value]
    return re.sub(r"[\w-]+", lambda found: names.get(found[0], found[0]), value)


def changed(data: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """Return a copy of the project with the change made; what is taken away was there."""
    data = copy.deepcopy(data)
    for path, value in change.get("set", {}).items():
        holder, key = _parent(data, path)
        holder[key] = yaml.load(value, Loader=yaml.CBaseLoader) if isinstance(value, str) and value.startswith(("[", "{")) else value
    for path in change.get("unset", []):
        holder, key = _parent(data, path)
        del holder[key]
    for path in change.get("turn_over", []):
        holder, key = _parent(data, path)
        holder[key] = dict(reversed(holder[key].items()))
    return _renamed(data, change["rename"]) if "rename" in change else data


def findings_of(data: dict[str, Any], edition: str) -> dict[str, tuple[Verdict, str, str]]:
    """Return verdict, message and citation of each finding by its id."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "project.yaml"
        path.write_text(yaml.safe_dump(data, sort_keys=False, allow_unicode=True), encoding="utf-8")
        project = load_project(path, edition=edition)
    evaluation = evaluate(project.system, CodeBook(int(edition)), with_suggestions=False)
    return {finding.id: (finding.verdict, finding.judgement.message, finding.citation) for finding in evaluation.findings}


@cache
def base_project(base: str) -> dict[str, Any]:
    return read(REPOSITORY / base)


@cache
def base_findings(base: str, edition: str) -> dict[str, tuple[Verdict, str, str]]:
    return findings_of(base_project(base), edition)


def what_got_worse(base: str, change: dict[str, Any]) -> list[tuple[str, Verdict, str, str]]:
    """Return id, verdict, message and citation of each finding that is worse than in the unchanged project."""
    edition = change.get("edition", USUAL_EDITION)
    names = change.get("rename", {})
    before = {_renamed(name, names): verdict for name, (verdict, *_) in base_findings(base, edition).items()}
    after = findings_of(changed(base_project(base), change), edition)
    return [
        (name, verdict, message, citation)
        for name, (verdict, message, citation) in after.items()
        if WORSE[verdict] > WORSE[before.get(name, Verdict.DOES_NOT_APPLY)]
    ]


def answers(base: str, change: dict[str, Any]) -> bool:
    """Whether the program answers as the change says it must."""
    worse = what_got_worse(base, change)
    if change["must"] == "nothing new":
        return not worse
    return any(
        verdict is MUST[change["must"]] and re.search(rf"(?<!\w){re.escape(about)}(?!\w)", f"{name} {message}")
        for name, verdict, message, _ in worse
        for about in change["about"]
    )


CHANGES = all_changes()
CASES = [pytest.param(base, change, id=f"{Path(base).stem}: {change['id']}") for base, change in CHANGES]


@pytest.mark.sample(every=79)
@pytest.mark.parametrize(("base", "change"), CASES)
def test_one_change_is_answered_as_the_code_demands(base: str, change: dict[str, Any]) -> None:
    is_right = answers(base, change)
    if "open" in change:
        assert not is_right, "the program answers this one now: strike open from it"
    else:
        assert is_right, f"{change['why']} ({change['section']}); worse now: {[worse[:3] for worse in what_got_worse(base, change)]}"


def test_there_are_enough_changes_and_each_says_what_it_is() -> None:
    harmless = sum(change["must"] == "nothing new" for _, change in CHANGES)
    assert len(CHANGES) - harmless >= LEAST_TO_BE_FOUND
    assert harmless >= LEAST_HARMLESS
    assert not [change for _, change in CHANGES if not (change["why"] and change["section"])]
    assert not [change["id"] for _, change in CHANGES if change["must"] != "nothing new" and not change["about"]]
    names = [(base, change["id"]) for base, change in CHANGES]
    assert len(set(names)) == len(names)
