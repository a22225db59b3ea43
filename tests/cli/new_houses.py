"""Houses whose answers lie under ``new_answers``, started with ``permitgen new`` and judged."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.project.starting.new_project import Given, NewProject, project_of
from permitgen.rules.judgement import Verdict

HERE = Path(__file__).resolve().parent
HOUSES = {file.stem: file for file in sorted((HERE / "new_answers").glob("*.yaml"))}
STRING_INVERTER = "string_inverter"


def answers_of(name: str) -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(HOUSES[name].read_text("utf-8"), Loader=yaml.CBaseLoader)
    return data


def made(given: dict[str, Any]) -> NewProject:
    told = {key: Given(value, "answers") for key, value in given.items()}
    return project_of(told, {}, Path())


def run(*arguments: str) -> Any:
    return CliRunner().invoke(cli, ["new", *arguments])


def started(name: str, folder: Path) -> Path:
    done = run(str(folder), "--answers", str(HOUSES[name]))
    assert done.exit_code == 0, done.output
    return folder


def judged(folder: Path) -> Evaluation:
    system = load_project(folder).system
    return evaluate(system, CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def violated(evaluation: Evaluation) -> set[str]:
    return {finding.rule for finding in evaluation.findings if finding.judgement.verdict is Verdict.VIOLATED}
