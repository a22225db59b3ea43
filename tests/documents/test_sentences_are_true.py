"""A sentence that speaks of a roof, a battery, rapid shutdown, a generator, a vehicle stands only where the installation has one.

What an installation has is read off its file here; what its documents say is taken from sheets, placard, labels, checklist and record.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.documents.sheets.legend_sheet import texts_of
from permitgen.package.field_and_record import checklist_of, record_of_project
from permitgen.package.label_job import labels_of
from permitgen.package.plan_set_job import drawn_plan_set
from permitgen.rules.rule import all_rules
from permitgen.views.languages import Phrases
from permitgen.views.placard import placards_of
from tests.whole_project import whole_text

TOPOLOGIES = Path(__file__).parent.parent / "topologies"
DEMO = Path(__file__).parent.parent.parent / "demo_project" / "project.yaml"
# First those that lack most: a generator alone, an array in a field, PV alone, storage alone on a garage, all of it.
FIRST = ("b23_inlet_sliding_plate", "b24_ground_mount", "b01_pv_load_side", "b26_garage_with_battery", "demo")
REST = tuple(path.stem for path in sorted(TOPOLOGIES.glob("*.yaml")) if path.stem not in FIRST)

WORDS = {
    "roof": re.compile(r"\broofs?\b(?! decking)(?!-deck)|\btechos?\b", re.IGNORECASE),
    "solar": re.compile(r"\bsolar\b|\bphotovoltaic|\bPV\b|\barrays?\b", re.IGNORECASE),
    "storage": re.compile(r"(?<!starting )\bbatter(?:y|ies)\b|\benergy storage\b|\bstorage\b|\bbaterías?\b", re.IGNORECASE),
    "rapid shutdown": re.compile(r"rapid shutdown|apagado rápido", re.IGNORECASE),
    "generator": re.compile(r"\bgenerators?\b|\bgenerador", re.IGNORECASE),
    "vehicle": re.compile(r"\bvehicles?\b|\bvehículo", re.IGNORECASE),
}

TITLES = [re.compile(re.escape(rule.title), re.IGNORECASE) for rule in all_rules()]
KIND = re.compile(r"[a-z_]+")


def has(data: dict[str, Any]) -> set[str]:
    """Return which of the things a project file describes."""
    catalog = data.get("catalog", {})
    items = [{**catalog.get(item.get("catalog", ""), {}), **item} for item in data["equipment"].values()]
    kinds = {item["kind"] for item in items}
    arrays = [item for item in items if item["kind"] == "pv_array"]
    on_building = [a for a in arrays if a.get("on_building", "none") != "none" or a.get("roof_planes")]
    energy = {item.get("energy", "") for item in items}
    loads = {load.get("category", "") for load in data.get("loads", {}).values()}
    found = {
        "roof": bool(on_building),
        "solar": bool(arrays) or "photovoltaic" in energy,
        "storage": "energy_storage_system" in kinds or "battery" in energy,
        "rapid shutdown": bool(on_building) or "rapid_shutdown_initiator" in kinds,
        "generator": "generator" in kinds,
        # What guards a battery in a garage guards it from vehicles, and a driveway or a vehicle door may be drawn.
        "vehicle": "ev_supply_equipment" in kinds or "ev supply equipment" in loads or "energy_storage_system" in kinds,
    }
    return {thing for thing, there in found.items() if there}


def strings(view: Any) -> Iterator[str]:
    """Yield every text of a view; the book of all phrases that it may take from says nothing."""
    if isinstance(view, str):
        yield view
    if isinstance(view, Phrases):
        return
    for part in parts_of(view):
        yield from strings(part)


def parts_of(view: Any) -> Iterator[Any]:
    if is_dataclass(view) and not isinstance(view, type):
        return (getattr(view, field.name) for field in fields(view))
    if isinstance(view, dict):
        return iter(view.values())
    return iter(view if isinstance(view, tuple | list | frozenset) else ())


def said(opened: Any) -> Iterator[tuple[str, str]]:
    """Yield document and text of everything that people at the desk, on the site and in the house read."""
    _, sheets = drawn_plan_set(opened)
    for drawing in sheets.drawings:
        yield drawing.name.number, drawing.name.title
        yield drawing.name.number, " ".join(texts_of(drawing.shapes))
    for placard in placards_of(opened.evaluation):
        yield from (("placard", text) for text in strings(placard))
    for label in labels_of(opened).labels:
        yield from ((label.id, line.text) for panel in label.panels for line in panel.lines)
    yield from (("checklist", text) for text in strings(checklist_of(opened)))
    record = record_of_project(opened, {})
    yield from (
        ("record", text) for view in (record.public.owner, record.public.emergency, record.public.cautions) for text in strings(view)
    )


def without_titles_of_rules(text: str) -> str:
    """Take out what rules require of whatever they are about; names of kinds, which no document prints, are no sentences."""
    for title in TITLES:
        text = title.sub("", text)
    return "" if KIND.fullmatch(text) else text


def false_sentences(name: str, projects: Any) -> list[str]:
    path = DEMO if name == "demo" else TOPOLOGIES / f"{name}.yaml"
    there = has(yaml.load(whole_text(path), Loader=yaml.CBaseLoader))
    found = set()
    for where, printed in said(projects[name]):
        text = without_titles_of_rules(printed)
        for thing, pattern in WORDS.items():
            if thing not in there:
                found |= {f"{thing}: {where}: {text[max(0, m.start() - 60) : m.end() + 60]}" for m in pattern.finditer(text)}
    return sorted(found)


@pytest.mark.sample(every=5)
@pytest.mark.parametrize("name", FIRST)
def test_no_sentence_speaks_of_what_is_not_there(name, projects):
    assert not (found := false_sentences(name, projects)), "\n".join(found)


@pytest.mark.nightly
@pytest.mark.parametrize("name", REST)
def test_nor_does_one_of_any_other_home(name, projects):
    assert not (found := false_sentences(name, projects)), "\n".join(found)
