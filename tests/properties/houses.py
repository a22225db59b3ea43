"""Houses of the repository as data, the findings that each gets, and what is different between two lists of findings."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.directions import read_direction
from permitgen.project.load import load_project
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
HOUSES = {"demo": ROOT / "demo_project" / "project.yaml"} | {
    file.stem: file for file in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))
}
DEMO_IN_COORDINATES = Path(__file__).with_name("demo_in_coordinates.yaml")
WORDS_OF_PLACES = ("wall", "from", "distance", "ground")
Data = dict[str, Any]
Findings = dict[str, tuple[str, float | None, float | None]]


@lru_cache
def told(path: Path) -> str:
    return whole_text(path)


def data_of(name: str) -> Data:
    """Read a file as texts, as the program does: nothing becomes a number, a date or a truth value."""
    return yaml.load(told(HOUSES[name]), yaml.CBaseLoader)


def in_coordinates(name: str) -> Data:
    """Return a house in coordinates alone: the demo, which is told in words, with what was drawn by hand for it."""
    data = data_of(name)
    if name != "demo":
        return data
    drawn = yaml.load(told(DEMO_IN_COORDINATES), yaml.CBaseLoader)
    plan = {key: part for key, part in data["site"]["plan"].items() if key != "front_faces"} | drawn["plan"]
    data["site"]["plan"] = plan
    for tag, place in drawn["places"].items():
        said = data["equipment"][tag]["place"]
        data["equipment"][tag]["place"] = {key: part for key, part in said.items() if key not in WORDS_OF_PLACES} | place
    for tag, route in drawn["routes"].items():
        data["raceways"][tag]["route"] = route
    return data


def findings(data: Data, folder: Path) -> Findings:
    file = folder / "project.yaml"
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    system = load_project(file).system
    evaluation = evaluate(system, CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code), with_suggestions=False)
    found = {}
    for finding in evaluation.findings:
        numbers = (finding.judgement.computed, finding.judgement.limit)
        found[finding.id] = (str(finding.verdict), *(None if value is None else value.number for value in numbers))
    return found


def differences(before: Findings, after: Findings) -> list[str]:
    def same(one: object, other: object) -> bool:
        numbers = isinstance(one, float | int) and isinstance(other, float | int)
        return math.isclose(one, other, rel_tol=1e-6, abs_tol=1e-6) if numbers else one == other

    lost = [f"{id_} is only in one of both" for id_ in before.keys() ^ after.keys()]
    both = ((id_, before[id_], after[id_]) for id_ in before.keys() & after.keys())
    return lost + [f"{id_}: {old}, {new}" for id_, old, new in both if not all(map(same, old, new))]


def has_plan(name: str) -> bool:
    return "plan" in data_of(name).get("site", {})


def north_of(plan: Data) -> float:
    """Return the compass direction of the sheet's up, degrees, as the file says it."""
    if "front_faces" in plan:
        front = read_direction(plan["front_faces"])
        assert front is not None
        return (front.bearing_deg + 180) % 360
    return float(plan.get("north", 0))
