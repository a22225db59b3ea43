"""A key that a question names is one that the project file takes: nobody is sent to a line that the reader then refuses."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.directories import read_directories
from permitgen.project.key_forms import is_declared
from permitgen.project.load import LoadedProject, build_project, load_project
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.views import questions
from permitgen.views.findings import findings_of
from permitgen.views.questions import AskedFact, questions_of
from tests.cli.test_check_questions import _draft as first_draft

ROOT = Path(__file__).resolve().parents[2]
TOPOLOGIES = sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))
DEMO = (ROOT / "demo_project" / "project.yaml", ROOT / "demo_project" / "with_mistakes.yaml")


def asked_of(loaded: LoadedProject) -> list[AskedFact]:
    system = loaded.system
    evaluation = evaluate(system, CodeBook(2023, fire_code=system.jurisdiction.fire_code), with_suggestions=False)
    return [fact for question in questions_of(findings_of(evaluation), system) for fact in question.facts]


def drafted(path: Path, change: Any) -> LoadedProject:
    file = read_directories(read_yaml_file(path))[0]
    return build_project(ReadFile(file.file, file.text, change(file.data), file.positions), path.parent)


def undeclared(loaded: LoadedProject) -> set[tuple[str, str]]:
    return {(fact.asked, fact.path) for fact in asked_of(loaded) if fact.key and not is_declared(loaded, fact.path.split("."))}


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_keys_that_the_demo_is_asked_for_exist(path: Path) -> None:
    assert undeclared(load_project(path)) == set()


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("path", TOPOLOGIES, ids=lambda path: path.stem)
def test_keys_that_a_topology_is_asked_for_exist(path: Path) -> None:
    """As it stands, and as a first draft of which little is known, which is asked most."""
    assert undeclared(drafted(path, lambda data: data)) | undeclared(drafted(path, first_draft)) == set()


def test_whether_a_load_is_new_is_asked_by_the_key_of_loads() -> None:
    """220.83 asks whether heating or cooling is added: of a listed load the key is ``new``, of equipment its ``status``."""
    path = ROOT / "tests" / "topologies" / "b01_pv_load_side.yaml"

    def existing(data: Any) -> Any:
        data["site"]["existing_dwelling"] = "yes"
        data["loads"]["KX"] = {"name": "Heat pump", "panel": "MSP", "category": "heat pump", "power": "5 kW"}
        return data

    system = drafted(path, existing).system
    assert questions._answer_at("whether KX is new", system)[:2] == ("loads.KX", "new")
    assert questions._answer_at("whether MSP is new", system)[:2] == ("equipment.MSP", "status")


def test_the_bending_space_is_asked_for_on_the_side_that_the_terminal_faces() -> None:
    """312.6(B): the distance is measured from the terminal toward the wall that it faces."""
    path = ROOT / "tests" / "topologies" / "b01_pv_load_side.yaml"

    def facing_down(data: Any) -> Any:
        data = first_draft(data)
        data["equipment"]["MSP"].setdefault("terminals", {}).setdefault("main", {})["faces"] = "bottom"
        return data

    asked = {fact.asked: fact for fact in asked_of(drafted(path, facing_down))}
    assert asked["bending space before the terminal at MSP.main"].path == "equipment.MSP.bending_space_bottom"
    unknown = asked["bending space before the terminal at MTR.line"]
    assert (unknown.thing, unknown.key) == ("equipment.MTR", "")
