"""Every house told a second time, its breakers as lines of their panels' directories: no finding, no schedule, no label says otherwise.

What a line says stands in the words of a panel door (common practice, no published source); that both ways are one house needs none.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.views.schedules import circuit_schedules, equipment_schedules, panel_faces
from tests.whole_project import whole_text

HERE = Path(__file__).resolve().parent
HOUSES = {"demo": HERE.parents[1] / "demo_project" / "project.yaml"} | {file.stem: file for file in sorted(HERE.glob("b*.yaml"))}
HOLD_DIRECTORIES = ("panelboard", "meter_main", "microgrid_interconnect_device", "dc_combiner")
# Of enclosures with one device: its key, and its place by the kind of device; a place of no device kind says nothing of it.
HOLD_ONE_DEVICE = {
    "disconnect": ("device", {"fuse": "fuses", "circuit breaker": "breaker"}),
    "generator": ("breaker", {"circuit breaker": "breaker"}),
    "transfer_switch": ("device", {"fuse": "main", "circuit breaker": "main", "": "main"}),
}
WORDS = {
    ("kind", "fuse"): "fuses",
    ("kind", "circuit breaker"): "breaker",
    ("marked_line_and_load", "yes"): "line/load marked",
    ("marked_line_and_load", "no"): "not line/load marked",
    ("fastened", "yes"): "held down",
    ("fastened", "no"): "not held down",
    ("listed_for_100_percent", "yes"): "100 % rated",
    ("dc_rated", "yes"): "dc",
    ("dc_rated", "no"): "ac",
    ("space", "half"): "half",
    ("space", "full"): "full",
    ("polarity", "positive"): "positive",
}
FIGURES = ("rating", "poles", "interrupting_rating", "voltage")
SHORT = re.compile(r"([1-4])P (.+)")


def line_of(place: str, device: dict[str, str] | str, serves: str, *, columns: int) -> str | None:
    """Return the line that says the same; None where a line cannot, or where it would say more: the spaces tell the poles."""
    short = SHORT.fullmatch(device) if isinstance(device, str) else None
    said: dict[str, str] = ({"poles": short[1], "rating": short[2]} if short else {}) if isinstance(device, str) else dict(device)
    poles = said.get("poles", "")
    if not poles.isdecimal() or any(key not in FIGURES and (key, value) not in WORDS for key, value in said.items()):
        return None
    spaces = ",".join(str(int(place) + columns * row) for row in range(int(poles))) if place.isdecimal() and columns else place
    words = [WORDS[key, value] for key, value in said.items() if key not in FIGURES]
    voltage = [said["voltage"]] if "voltage" in said else []
    return "  ".join(
        (spaces, said.get("rating", "size"), f"{poles}P", said.get("interrupting_rating", ""), *voltage, serves, ", ".join(words))
    )


def told_as_directories(data: dict[str, Any]) -> tuple[dict[str, Any], int]:
    """Return the house with the devices of its panels in directories, and how many there are."""
    lines: dict[str, list[str]] = {}
    kinds = {tag: entry.get("kind") or data["catalog"][entry["catalog"]]["kind"] for tag, entry in data["equipment"].items()}
    for name, circuit in data["circuits"].items():
        for key, side in (("from", "from_end"), ("to", "to_end")):
            tag, _, place = circuit[key].partition(".")
            device = (circuit.get("overcurrent") or {}).get(side)
            if device is None or not place or kinds[tag] not in HOLD_DIRECTORIES:
                continue
            line = line_of(place, device, name, columns=0 if kinds[tag] == "dc_combiner" else 2)
            if line is not None:
                lines.setdefault(tag, []).append(line)
                del circuit["overcurrent"][side]
    for tag, entry in data["equipment"].items():
        main = entry.get("main")
        line = line_of("main", main, "", columns=0) if main is not None and kinds[tag] in HOLD_DIRECTORIES and main != "none" else None
        if line is not None:
            lines.setdefault(tag, []).append(line)
            del entry["main"]
    _tell_single_devices(data, kinds, lines)
    for tag, found in lines.items():
        data["equipment"][tag]["directory"] = "\n".join(found) + "\n"
    return data, sum(map(len, lines.values()))


def _tell_single_devices(data: dict[str, Any], kinds: dict[str, str], lines: dict[str, list[str]]) -> None:
    """The device of a switch, a generator or a transfer switch, told in its entry or in its hardware, becomes a line."""
    done = []
    for tag, entry in data["equipment"].items():
        key, places = HOLD_ONE_DEVICE.get(kinds[tag], ("", {}))
        holder = entry if key in entry else data.get("catalog", {}).get(entry.get("catalog"), {})
        device = holder.get(key)
        place = places.get(device.get("kind", "")) if isinstance(device, dict) else None
        line = line_of(place, device, "", columns=0) if place is not None else None
        if line is not None:
            lines.setdefault(tag, []).append(line)
            done.append((holder, key))
    for holder, key in done:
        holder.pop(key, None)


def evaluated(data: dict[str, Any], folder: Path) -> Evaluation:
    file = folder / "project.yaml"
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    system = load_project(file).system
    return evaluate(system, CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code), with_suggestions=False)


def told(evaluation: Evaluation) -> dict[str, object]:
    """Return what the findings and the schedules of a house say."""
    found: dict[str, object] = {finding.id: (str(finding.verdict), finding.judgement.message) for finding in evaluation.findings}
    schedules = (*circuit_schedules(evaluation), *equipment_schedules(evaluation), *(face.schedule for face in panel_faces(evaluation)))
    return found | {schedule.title: schedule.rows for schedule in schedules}


@pytest.mark.sample(every=6)
@pytest.mark.parametrize("name", HOUSES)
def test_a_house_told_as_directories_is_the_same_house(name: str, tmp_path: Path) -> None:
    def data() -> dict[str, Any]:
        return yaml.load(whole_text(HOUSES[name]), yaml.CBaseLoader)

    # What a directory of the file says already stays as it is.
    plain = {**data(), "equipment": data()["equipment"]}
    again, number = told_as_directories(data())
    before, after = told(evaluated(plain, tmp_path)), told(evaluated(again, tmp_path))
    assert number or name == "demo"
    assert before.keys() == after.keys()
    assert {key: (before[key], after[key]) for key in before if before[key] != after[key]} == {}
