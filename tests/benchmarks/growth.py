"""Prints how evaluation grows with the number of circuits: time for 10, 100 and 1000 of them, and the time per circuit.

    .venv/bin/python tests/benchmarks/growth.py

Everything is invented: branch circuits, twenty to a panel, the panels on a tree of feeders that leaves room for every breaker.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).resolve().parents[2]
BRANCHES_OF_PANEL = 20
FEEDERS_OF_PANEL = 20


def space(breaker: int) -> int:
    """The upper space of the two-pole breaker number ``breaker``: spaces count in two columns, each pole takes one."""
    return 4 * (breaker // 2) + breaker % 2 + 1


def run(length: str, trade_size: str) -> dict[str, str]:
    return {"kind": "EMT", "trade_size": trade_size, "length": length, "ambient": "30 C"}


def circuit(start: str, finish: str, run: str, device: str, size: str, **more: str) -> dict[str, Any]:
    conductors = {"size": size, "insulation": "THWN-2", **more}
    return {"from": start, "to": finish, "runs": run, "overcurrent": {"from_end": device}, "conductors": conductors}


def project_of(branches: int) -> dict[str, Any]:
    """Return a project with so many branch circuits, as its file says it."""
    panel = {"kind": "panelboard", "name": "Panel", "busbar": "400 A", "spaces": "84", "largest_breaker": "400 A"}
    equipment: dict[str, Any] = {
        "UTIL": {"kind": "utility_service", "voltage": "120/240 V", "available_fault_current": "9 kA"},
        "P0": {**panel, "main": "400 A", "neutral_bond": "installed"},
    }
    raceways: dict[str, Any] = {"R0": run("60 ft", "4 in")}
    service = {"size": "600 kcmil", "insulation": "THWN-2", "neutral": "yes"}
    circuits: dict[str, Any] = {"F0": {"from": "UTIL", "to": "P0.main", "runs": "R0", "conductors": service}}
    for number in range(1, -(-branches // BRANCHES_OF_PANEL)):
        above, place = divmod(number - 1, FEEDERS_OF_PANEL)
        equipment[f"P{number}"] = {**panel, "main_lugs_only": "yes", "neutral_bond": "removed"}
        raceways[f"R{number}"] = run("40 ft", "4 in")
        start = f"P{above}.{space(BRANCHES_OF_PANEL + place)}"
        circuits[f"F{number}"] = circuit(start, f"P{number}.main", f"R{number}", "2P 400 A", "600 kcmil", neutral="yes")
    for number in range(branches):
        at, place = divmod(number, BRANCHES_OF_PANEL)
        equipment[f"A{number}"] = {"kind": "appliance", "name": "Fan", "category": "fixed appliance", "current": "0.1 A"}
        raceways[f"B{number}"] = run("20 ft", "3/4 in")
        circuits[f"C{number}"] = circuit(f"P{at}.{space(place)}", f"A{number}", f"B{number}", "2P 20 A", "12 AWG")
    head = {"project": {"name": "Growth"}, "jurisdiction": {"name": "an invented county", "edition": "2023"}}
    return {**head, "equipment": equipment, "raceways": raceways, "circuits": circuits}


def write_project(branches: int, folder: Path) -> Path:
    path = folder / f"branches_{branches}.yaml"
    path.write_text(yaml.safe_dump(project_of(branches), sort_keys=False), encoding="utf-8")
    return path


def main() -> None:
    sys.path.insert(0, str(ROOT))
    from permitgen.code.codebook import CodeBook
    from permitgen.evaluation.evaluate import evaluate
    from permitgen.project.load import load_project

    with tempfile.TemporaryDirectory() as folder:
        systems = {branches: load_project(write_project(branches, Path(folder))).system for branches in (10, 100, 1000)}
        evaluate(systems[10], CodeBook(2023))
        systems[10] = load_project(write_project(10, Path(folder))).system
        each: list[float] = []
        for system in systems.values():
            start = time.process_time()
            findings = len(evaluate(system, CodeBook(2023)).findings)
            each.append((time.process_time() - start) * 1000 / len(system.circuits))
            shown = f"{each[-1] * len(system.circuits):9.1f} ms, {each[-1]:6.3f} ms each, {each[-1] / each[0]:5.2f} × that of the first"
            print(f"{len(system.circuits):5d} circuits, {findings:6d} findings {shown}")  # noqa: T201 - a script that reports


if __name__ == "__main__":
    main()
